"""What one goes back on in the same breath, whatever comes of it: "half inch, did I say half, three quarter", "the
length was forty, no, that was the guard", "might be out, might be in, I couldn't say".

How it works. Right behind something told stand words that go back on it (``_GOES_BACK``). Then it goes where something
else is told of the same, or the same value of something else; and also where nothing is, but a "no" says what it was
of, or it is asked whether it was said; and whatever follows, where one says to leave it out, or what one took it for
("scratch that", "sorry, I was holding another"). Of two things that may both be so, or that take turns, goes each,
where one cannot tell.

Likewise goes what another person would have set right ("he reckons it should be eighteen, not nineteen"): it would take
the place of what was measured. And who says that he only asked ("the ring's in, I was only asking") takes back a
question that was heard as more: what is said beside it of the seal that was asked about is what it was before; a value,
and another question, stand.

Duty: this, over the items of one text and the words between them. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.contrasting import differ, values, without_contrasted
from voicefit.interpretation.repairs import ASIDE
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.turning import between
from voicefit.records import Command, Item, Meaning, Measurand, Reading, Rejection

_HOW = frozenset({"how", "how-by-touch"})
_PAUSED = r"^[\s,.;!?]*"
_HESITATES = r"(?:(?:oh|ah|er|um|uh|well|but|and|wait|hang on|hold on|hold up|sorry)[, ]+)*"
_SORRY = r"(?:(?:no|nope|nah|naw|sorry|oops|whoops|hang on|hold on|wait)\b[\s,.;!]*)"
_DENIES = re.compile(
    _PAUSED
    + _HESITATES
    + r"(?:no|nope|nah|naw)\b[\s,.;!]*"
    + _SORRY
    + r"?(?=(?:that|it)(?:(?: was| is| fell| came)|'s)\b"
    r"|(?:that|it) were\b)",
    re.I,
)
_SCRAPS = re.compile(
    _PAUSED + _HESITATES + _SORRY + r"?(?:(?:scratch|scrub|strike|scrap|ignore|forget|disregard) (?:that|it|this|me)|"
    r"(?:don't|do not) (?:write|put|take|record|note|log|use|count) (?:that|it|this)(?: down)?)\b",
    re.I,
)
_SCRAPS_SO = re.compile(  # at the end, behind why: "fifteen, but I can't get it square so don't count it"
    r"(?<!not )(?<!n't )\b(?:"
    r"(?:ignore|forget|disregard|discount|scrap|scratch|scrub|strike|bin|skip) (?:it|that|this|me)|"
    r"(?:leave|strike|cross|throw) (?:it|that|this) (?:out|off)|"
    r"(?:don't|do not|never|wouldn't|would not|can't|cannot) (?:write|put|take|record|note|log|use|count|trust|believe|"
    r"rely on|go by|go on|bank on) (?:it|that|this)(?: one)?)(?: (?:down|yet|now|then|please|for now|mate))*[\s.!?]*$",
    re.I,
)
_EXPLAINS = re.compile(
    _PAUSED
    + _HESITATES
    + _SORRY
    + r"+(?:(?:that|it|this|the \w+)(?:(?:'s| is| was)(?: in| on)? (?:the wrong|upside|back to|crooked|the other)|"
    r" slipped| moved)|(?:i|we)(?:(?:'m| am| was| were) (?:thinking of|looking at|reading|holding|measuring)|"
    r" (?:misread|mixed|muddled)| (?:had|read|held|got) (?:it|that|them|the|my)\b))",
    re.I,
)
_WAS = re.compile(r"(?:it|that) was\b", re.I)  # "don't write that, it was the nut"
_ASKS = re.compile(
    _PAUSED + _HESITATES + r"(?:or )?(?:was (?:it|that)|did i (?:say|read|get|put)|or is (?:it|that|this))\b", re.I
)
_NO = re.compile(
    _PAUSED + _HESITATES + r"(?:no|nope|nah|naw)\b(?=\s*[,.;!?]|\s+(?:wait|hang|hold|sorry|excuse)\b)", re.I
)
_WAITS = re.compile(
    _PAUSED + r"(?:(?:oh|ah|no) )?(?:wait|hang on|hold (?:on|up)|sorry|oops|whoops|(?:scratch|scrub) that|or rather)\b",
    re.I,
)
_CHOOSES = re.compile(r"\b(?:or|between)\b", re.I)
_TURNS = re.compile(r"\b(?:no|nope|wait|sorry|hang on)\b", re.I)
_NEAR = 10  # letters
_CANNOT_TELL, _PAUSE, _ANSWERS = "cannot-tell", "pause", frozenset({"yes", "no"})
_IS_BUSY = re.compile(r"(i|we|let me|give me|just a|one|two)\b", re.I)
_SELF = frozenset({"i", "we"})
_ONLY_ASKED = re.compile(
    r"\b(only|just|merely|simply) (asking|asked|ask|wondering|wondered|curious|thinking (aloud|out loud))\b"
    r"|\b(just|only|merely|was|s) (just |only )?a (question|thought)\b"
)
_SUPPOSED, _OF_READINGS = re.compile(r"^(and |so |but |okay |right )?what if\b"), frozenset({"correct", "undo", "drop"})
_SAYS_NOTHING = word_set("aside all-well yes no cannot-tell drop okay correct missing")


def without_hearsay(meaning: Meaning, tokens: Sequence[Token], chart: Chart) -> Meaning:
    """The meaning, or an aside where another person's word corrects or denies, and nothing is said of one's own."""
    if not tokens or not chart.match("list-others-say", 0) or not _SELF.isdisjoint(token.text for token in tokens):
        return meaning
    corrects = any(isinstance(item, Command) and item.name == "correct" for item in meaning.items)
    denies = any(isinstance(item, Reading) and item.options[0].negated for item in meaning.items)
    denies = denies and not any(chart.match("list-gap", at) for at in range(len(tokens)))  # seen at the gauge oneself
    return replace(meaning, items=(Command(ASIDE, meaning.text),)) if corrects or denies else meaning


def without_only_asked(meaning: Meaning) -> Meaning:
    """The meaning without what was only asked; an aside where nothing is left. Who asks how something is done that is
    done by saying so says it: "how do I make it speak slower"."""
    hows = [isinstance(item, Command) and item.name == item.heard.casefold() == "how" for item in meaning.items]
    done = [is_how and isinstance(two, Command) for is_how, two in zip(hows, meaning.items[1:], strict=False)]
    items = tuple(item for item, is_done in zip(meaning.items, (*done, False), strict=True) if not is_done)
    if _SUPPOSED.search(meaning.text.casefold()):
        calls = (item for item in items if isinstance(item, Command) and item.name not in _OF_READINGS)
        return replace(meaning, items=tuple(calls) or (Command(ASIDE, meaning.text),))
    if not _ONLY_ASKED.search(meaning.text.casefold().replace("'", " ")):
        return replace(meaning, items=items)
    return replace(meaning, items=tuple(filter(_stands, items)) or (Command(ASIDE, meaning.text),))


def _stands(item: Item) -> bool:
    if isinstance(item, Reading):
        return not item.guessed and item.measurands != {Measurand.SEAL}
    return isinstance(item, Command) and item.name not in _SAYS_NOTHING


def without_rest(meaning: Meaning, recording: Set[str]) -> Meaning:
    """The meaning without what is taken back, only wondered about, or said behind a command that records."""
    return _only_recorded(
        _without_wondered(without_retracted(_without_scrapped(without_contrasted(_politely(_not_ready(meaning)))))),
        recording,
    )


def _not_ready(meaning: Meaning) -> Meaning:
    """The meaning without a yes or a no to somebody, where one says only that one heard, or is about to look: "yes, I
    heard you, I'm looking"."""
    first, waits = meaning.items[0], [item for item in meaning.items[1:] if isinstance(item, Command)]
    if len(waits) != len(meaning.items) - 1 or not waits or not isinstance(first, Command):
        return meaning
    waiting = all(item.name == _PAUSE and _IS_BUSY.match(item.heard) for item in waits)
    rest = meaning.text.rpartition(waits[-1].heard)[2].strip(" ,.;!?")
    ends = not rest or _IS_BUSY.match(rest) is not None
    return replace(meaning, items=tuple(waits)) if waiting and ends and first.name in _ANSWERS else meaning


def _without_scrapped(meaning: Meaning) -> Meaning:
    """The meaning without the last thing told, and all behind it, where it ends in that it is not to be taken."""
    if not _SCRAPS_SO.search(meaning.text):
        return meaning
    told = [(at, readings[0]) for at, readings in enumerate(map(_readings, meaning.items)) if readings]
    if not told or told[-1][1].options[0].negated or _SCRAPS_SO.search(told[-1][1].heard):
        return meaning
    last = next(at for at, reading in told if reading.heard == told[-1][1].heard)
    return replace(meaning, items=meaning.items[:last] or (Command(ASIDE, meaning.text),))


def _politely(meaning: Meaning) -> Meaning:
    """The meaning without a "sorry" that asks to hear it again: "sorry, what was that" goes back on nothing."""
    names = [item.name if isinstance(item, Command) else "" for item in meaning.items]
    asks = {at for at, pair in enumerate(pairwise(names)) if pair == ("correction", "repeat")}
    return replace(meaning, items=tuple(item for at, item in enumerate(meaning.items) if at not in asks))


def without_retracted(meaning: Meaning) -> Meaning:
    """The meaning without what was gone back on."""
    items = list(meaning.items)
    for at, (item, behind) in enumerate(zip(meaning.items, _behind(meaning), strict=True)):
        readings = _readings(item)
        alone = len({reading.heard for reading in readings}) == 1
        if alone and _is_gone_back_on(readings[0], meaning.items[at + 1 :], behind):
            items[at : at + 1] = []
            return without_retracted(replace(meaning, items=_answering_nothing(items, at, behind)))
    return replace(meaning, items=_without_less_sure(_without_either(meaning.items, meaning.text)))


def _behind(meaning: Meaning) -> list[str]:
    """What of the text stands behind each item."""
    found: list[str] = []
    place = 0
    for item in meaning.items:
        heard = item.text if isinstance(item, Rejection) else item.heard
        at = meaning.text.find(heard, place)
        if found and at < 0 and meaning.text[:place].endswith(heard):
            found.append(found[-1])  # two things that the same words say: "a bonded washer"
            continue
        place = at + len(heard) if at >= 0 else place
        found.append(meaning.text[place:] if at >= 0 else "")
    return found


def _readings(item: Item) -> tuple[Reading, ...]:
    if isinstance(item, Reading):
        return (item,)
    return item.readings if isinstance(item, Command) and item.name == "correct" else ()


def _is_gone_back_on(reading: Reading, after: Sequence[Item], behind: str) -> bool:
    if any(option.negated for option in reading.options):
        return False
    if _SCRAPS.match(behind) or _EXPLAINS.match(behind):
        return True
    denies, asks = _DENIES.match(behind), _ASKS.match(behind)
    if not (denies or asks or _NO.match(behind) or _WAITS.match(behind)):
        return False
    told = [each for item in after for each in _readings(item) if not any(o.negated for o in each.options)]
    if any(differ(reading, each) for each in told):
        return True
    if denies or _NO.match(behind):
        moved = told[:1] and bool(values(reading) & values(told[0])) and not reading.measurands & told[0].measurands
        if moved:
            return True  # "the thread's twenty seven, no, the hex is twenty seven"
    return bool(asks) or (bool(denies) and not told)


def _answering_nothing(items: Sequence[Item], at: int, behind: str) -> tuple[Item, ...]:
    """The items, the one behind ``at`` without being the words that went back; where they say why, none of those."""
    if _SCRAPS.match(behind) or _EXPLAINS.match(behind):
        said = [at for at, item in enumerate(items) if any(not _WAS.match(each.heard) for each in _readings(item))]
        end = next((place for place in said if place >= at), len(items))
        return (*items[:at], *items[end:]) or (Command(ASIDE, behind),)
    found = next((m for m in (_DENIES.match(behind), _ASKS.match(behind), _NO.match(behind)) if m), None)
    if at < len(items) and found is not None:
        item = items[at]
        heard = item.text if isinstance(item, Rejection) else item.heard
        begins = 0 <= behind.find(heard) <= found.end()
        if begins and (isinstance(item, Rejection) or (isinstance(item, Command) and item.name == "no")):
            items = [*items[:at], *items[at + 1 :]]
    return tuple(items) or (Command(ASIDE, behind),)


def _without_either(items: tuple[Item, ...], text: str) -> tuple[Item, ...]:
    """The items without two values of one thing that may each be so, or that take turns, where one cannot tell: "in,
    wait, no, out, I don't know", "an o-ring or a washer, can't tell"."""
    if not any(isinstance(item, Command) and item.name == _CANNOT_TELL for item in items):
        return items
    maybe = [
        item
        for item in items
        if isinstance(item, Reading) and all(o.certainty < 1.0 and not o.negated for o in item.options)
    ]
    both = [one for one in maybe if any(differ(one, two) for two in maybe)]
    told = [(item, reading.heard) for item in items for reading in _readings(item)]
    took = [item for item, heard in told if _CHOOSES.search(heard) or _takes_turns(text[: text.find(heard)], heard)]
    return tuple(item for item in items if item not in both and item not in took)


def _takes_turns(before: str, heard: str) -> bool:
    """Whether something stands before it, and a word of repair between the two."""
    return bool(before.strip()) and bool(_TURNS.match(heard) or _TURNS.search(before[-_NEAR:]))


def _without_less_sure(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items without what is only perhaps so where the same breath surely says that it is not, or something far from
    it: "it isn't metric, I had a metric nut on it"."""
    readings = [item for item in items if isinstance(item, Reading)]
    sure = [reading for reading in readings if all(option.certainty == 1.0 for option in reading.options)]
    gone = [
        reading
        for reading in readings
        if all(o.certainty < 1.0 and not o.negated for o in reading.options)
        and any(_denies(each, reading) or _is_far_from(each, reading) for each in sure)
    ]
    return tuple(item for item in items if item not in gone)


def _denies(sure: Reading, reading: Reading) -> bool:
    denied = {(option.measurand, option.value) for option in sure.options if option.negated}
    return all((option.measurand, option.value) in denied for option in reading.options)


def _is_far_from(sure: Reading, reading: Reading) -> bool:
    if any(o.negated for o in sure.options) or len(reading.measurands) > 1 or not differ(sure, reading):
        return False
    return not (between(sure.options, reading.options) or between(reading.options, sure.options))


def _without_wondered(meaning: Meaning) -> Meaning:
    """The meaning without what might be so, where it is asked how one tells: "could be a washer, how do I tell"."""
    if not any(isinstance(item, Command) and item.name in _HOW for item in meaning.items):
        return meaning
    kept = (i for i in meaning.items if not isinstance(i, Reading) or any(o.certainty == 1.0 for o in i.options))
    return replace(meaning, items=tuple(kept))


def _only_recorded(meaning: Meaning, recording: Set[str]) -> Meaning:
    """The meaning without what stands behind a command that records: "make a note, the clamp is missing"."""
    places = [at for at, item in enumerate(meaning.items) if isinstance(item, Command) and item.name in recording]
    return replace(meaning, items=meaning.items[: places[0] + 1]) if places else meaning
