"""Speech that repairs itself, as what was meant in the end: "it's a, it's a nut", "ou- in", "yes, hang on, no".

How it works. The tokens of a text are mended before they are read, by the model of the field: a reparandum, which was
not meant, an interregnum ("no wait", "I mean": the list ``edits`` of ``words.toml``), and the repair.

- What is said again at once goes the first time: "twenty one point, twenty one point eight"; numbers only where
  something was left open or a pause parts them, for "one one" is eleven.
- What is begun, left at "point", and after some other clause begun again, goes with that clause.
- A word broken off ("ou-") goes; where a word of repair follows, so does what was begun with it.
- Of several answers in a row the last counts: "yeah, no, yeah" (:mod:`voicefit.interpretation.in_a_row`).
- Any other interregnum between two things becomes one word of correction, "sorry"; a mere pause for thought (the list
  ``waits``) only between two things of which the second can stand for the first. What is corrected is decided where
  the things are known (:mod:`voicefit.interpretation.repairs`).

Duty: this, over words. It must not know what is on record, and must not drop a denial that is not said again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import replace

from voicefit.interpretation import in_a_row, loosening, retakes
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.in_a_row import REPAIRS, end_of
from voicefit.interpretation.tokens import Token
from voicefit.records import Measurand, Reading

_SORRY = "sorry"
_SAID = "said"
_AFTERTHOUGHTS = frozenset({("i", "mean"), ("i", _SAID), ("i", "meant")})
_AS, _ASKS = (
    frozenset({"like", "as"}),
    frozenset({"what", "that", "which", "did", "do", "is", "was", "no", "yes", "and"}),
)
_POINT = "point"
_BETWEEN = "between"
_NO, _TAG = "no", 3  # words
_BROKEN = "-"
_OPEN_ENDS = frozenset({"point", "and", "over", "by", "a", "an", "the", "is", "of", "not", "it", "in", "to"})
_GO_ON = _OPEN_ENDS - {"not", "it", "in", "over"}  # more was to come when one waited
_AGREES = frozenset({"yes", "no", "nope", "nah", "yeah", "yep", "aye", "very", "double"})  # twice is no repair
_FILLERS = frozenset({"yeah", "yes", "yep", "like", "well", "so", "right", "okay"})
_OTHER_THINGS_TOO = frozenset({"in", "o", "oh", "over", "s", "negative", "foot", "feet", "second", "seconds"})
_SUBJECTS = frozenset({"it", "that", "this", "there", "they", "here"})
_NOTS = frozenset({"not", "no", "never"})
_NAYS = frozenset({"nah", "nope", "naw"})
_LONGEST = 8  # words said again
_MOST_REPEATS = 12


def mended(
    text: str,
    tokens: tuple[Token, ...],
    read: Callable[[tuple[Token, ...]], Chart],
    *,
    numbers: Set[str],
    counts: Set[str],
    units: Set[str],
    known: Set[str],
    turning: Set[str],
    yes_no: bool,
) -> tuple[Token, ...]:
    """The tokens as they were meant in the end. ``read`` makes a chart of tokens; ``numbers`` : the words of numbers,
    units and spelled letters, ``counts`` and ``units`` of numbers and units alone; ``known`` : all words of the
    grammar; ``turning`` : those that turn a meaning; ``yes_no`` : yes or no answers what was asked."""
    tokens = _without_afterthoughts(tokens, counts | units)
    tokens = loosening.without_similes(tokens)
    tokens = _without_begun(loosening.without_pronoun(tokens, counts), counts)
    now = _without_fillers(tokens)
    now = _without_repeats(_without_tag(now, read(now)), numbers)  # "it does, doesn't it" says nothing twice
    if any(_is_broken_off(text, now, at, known) for at in range(len(now))):
        now = _without_repeats(_without_broken(text, now, read(now), numbers, known), numbers)
    now = retakes.with_its_noun(retakes.retaken(now, read, counts, units), read, counts, units)
    now = retakes.with_its_noun_first(now, read, counts, units)
    now = retakes.renamed(now, read, counts, units)
    now = in_a_row.last_answer(now, read(now), ("command", "answer-yes-no") if yes_no else ("command",))
    now = in_a_row.without_what_it_is_like(now, read(now), turning | counts) if yes_no else now
    return _with_one_word_of_repair(now, read(now), numbers) or tokens


def _without_afterthoughts(tokens: tuple[Token, ...], counts: Set[str]) -> tuple[Token, ...]:
    """The tokens without what belongs to the clause before it and not to the next: "the bolt I mean, thirteen nine",
    "the plug I said, goes in"; but "sixteen I mean" corrects."""
    gone: set[int] = set()
    for at in range(1, len(tokens) - 1):
        who, says = tokens[at : at + 2]
        if (who.text, says.text) not in _AFTERTHOUGHTS or who.paused or says.paused or tokens[at - 1].text in _ASKS:
            continue
        before, ends = tokens[at - 1].text, at + 2 == len(tokens)
        if says.text != _SAID and (ends or before in counts or before[0].isdecimal()):
            continue
        if ends or tokens[at + 2].paused:
            gone |= {at, at + 1} | ({at - 1} if tokens[at - 1].text in _AS and at > 1 else set())
    return tuple(token for at, token in enumerate(tokens) if at not in gone)


def _without_begun(tokens: tuple[Token, ...], counts: Set[str]) -> tuple[Token, ...]:
    """The tokens without a number left at its point, and what was said to somebody before it was said to its end:
    "twenty one point, keep that still Dave, twenty one point eight"."""
    starts = [at for at in range(1, len(tokens)) if tokens[at].paused]
    for end in starts:
        begin = end - 1
        while tokens[end - 1].text == _POINT and begin > 0 and tokens[begin - 1].text in counts:
            begin -= 1
        begun = [token.text for token in tokens[begin:end]]
        for again in starts if len(begun) > 1 else ():
            if again > end and [token.text for token in tokens[again : again + len(begun)]] == begun:
                first = replace(tokens[again], paused=tokens[begin].paused)
                return (*tokens[:begin], first, *tokens[again + 1 :])
    return tokens


def _without_fillers(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """The tokens without a "yeah" between a word and the same word: "in, yeah, in"."""
    kept: list[Token] = []
    for at, token in enumerate(tokens):
        again = 0 < at < len(tokens) - 1 and tokens[at - 1].text == tokens[at + 1].text
        if token.text in _FILLERS and again and tokens[at - 1].text not in _FILLERS | _SUBJECTS:
            kept.pop()
        else:
            kept.append(token)
    return tuple(kept)


def _without_repeats(tokens: tuple[Token, ...], numbers: Set[str]) -> tuple[Token, ...]:
    """The tokens without what is said again at once."""
    for _ in range(_MOST_REPEATS):
        found = next(
            (
                (at, length)
                for length in range(_LONGEST, 0, -1)
                for at in range(len(tokens) - 2 * length + 1)
                if _is_said_again(tokens, at, length, numbers)
            ),
            None,
        )
        if found is None:
            return tokens
        at, length = found
        again = replace(tokens[at + length], paused=tokens[at].paused, joined=False)
        tokens = (*tokens[:at], again, *tokens[at + length + 1 :])
    return tokens


def _is_said_again(tokens: Sequence[Token], at: int, length: int, numbers: Set[str]) -> bool:
    once, twice = tokens[at : at + length], tokens[at + length : at + 2 * length]
    if any(one.text != two.text for one, two in zip(once, twice, strict=True)):
        return False
    if length == 1 and not twice[0].paused and once[0].text in _NOTS:
        return False  # "not not a washer"
    if length == 1 and twice[0].paused and once[0].text in _SUBJECTS:
        return False  # "no cone in it, it's flat"
    if length == 1 and twice[0].paused and at + 2 < len(tokens) and tokens[at + 2].text == "is":
        return False  # "a ferrule on the pipe, pipe is fifteen"
    if length == 1 and (once[0].text in _AGREES or not once[0].text.isalpha() or len(once[0].text) == 1):
        return False
    counts = [token.text in numbers - _OTHER_THINGS_TOO or not token.text.isalpha() for token in once]
    if not any(counts):
        return True
    if at and tokens[at - 1].text in _NOTS | {_BETWEEN}:
        return False  # "between nineteen and nineteen and a half", "not the thirty, the thirty seven"
    return (twice[0].paused and not all(counts)) or (length > 1 and once[-1].text in _OPEN_ENDS)


def _is_broken_off(text: str, tokens: Sequence[Token], at: int, known: Set[str]) -> bool:
    """Whether a hyphen ends a word that is none, or that the next one begins with: "ou- in", "fif- fifteen"."""
    token = tokens[at]
    if (
        not token.text.isalpha()
        or text[token.end : token.end + 1] != _BROKEN
        or text[token.end + 1 : token.end + 2].isalnum()
    ):
        return False
    after = tokens[at + 1].text if at + 1 < len(tokens) else ""
    return token.text not in known or after.startswith(token.text)


def _without_broken(
    text: str, tokens: tuple[Token, ...], chart: Chart, numbers: Set[str], known: Set[str]
) -> tuple[Token, ...]:
    """The tokens without words broken off, and what was begun with them where a word of repair follows."""
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        if not _is_broken_off(text, tokens, at, known):
            kept.append(tokens[at])
            at += 1
            continue
        at += 1
        repair = end_of(chart, REPAIRS, at) if at < len(tokens) else at
        if repair == at and at < len(tokens) and tokens[at].text == _NO:
            repair = at + 1
        begins = next((place for place in reversed(range(len(kept))) if kept[place].paused), 0)
        if repair > at and not any(one.text in numbers or one.text[0].isdecimal() for one in kept[begins:]):
            del kept[begins:]
            at = repair
    return tuple(kept)


def _without_tag(tokens: tuple[Token, ...], chart: Chart) -> tuple[Token, ...]:
    """The tokens without a tag behind the last pause: "it's a flange, isn't it"."""
    at = next((at for at in range(len(tokens) - 1, 0, -1) if tokens[at].paused), 0)
    texts = [token.text for token in tokens]
    if not at and texts[-2:] == ["not", "it"] and texts[-_TAG] in texts[1:-_TAG]:
        at = len(tokens) - _TAG  # "that's near enough isn't it", in one breath
    return tokens[:at] if at > 1 and end_of(chart, ("list-tags",), at) == len(tokens) else tokens


def _with_one_word_of_repair(tokens: tuple[Token, ...], chart: Chart, numbers: Set[str]) -> tuple[Token, ...]:
    """Each interregnum between two things as one "sorry"."""
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        end = end_of(chart, ("list-edits",), at)
        waits = end_of(chart, ("list-waits",), at)
        if tokens[at].text == _NO and at + 1 < len(tokens):
            waits = end_of(chart, ("list-waits",), at + 1)  # "inside, no, hang on, twenty four"
            waits = waits if waits > at + 1 else at
        if (
            kept
            and at < waits < len(tokens)
            and (kept[-1].text in _GO_ON or _awaits_its_number(kept, tokens[waits], numbers))
        ):
            tokens = (*tokens[:waits], replace(tokens[waits], paused=False), *tokens[waits + 1 :])
            at = waits  # "the outside is, hang on, twenty point eight"
            continue
        if waits > end and _can_stand_for(tokens, chart, at, waits):
            end = waits
        begins = not kept or all(token.text in _NAYS for token in kept)  # nothing was said that it could repair
        if not kept and tokens[at].text in _NAYS and end_of(chart, ("list-waits",), at + 1) > at + 1:
            at += 1  # "nah hang on, fourteen pitch"
            continue
        if begins and at < end < len(tokens) and not tokens[at].paused:
            kept.clear()
        if end == at or end == len(tokens) or begins or _is_an_answer(tokens, at, end):
            kept.append(tokens[at])
            at += 1
            continue
        if tokens[end].text == _POINT and (places := _decimals(kept, numbers)):
            kept[-places:] = [replace(tokens[end], paused=False)]  # "twenty-six point four, sorry, point six"
            at = end + 1
            continue
        kept.append(replace(tokens[at], text=_SORRY, paused=True, joined=False))
        at = end
    return tuple(kept)


def _awaits_its_number(kept: Sequence[Token], behind: Token, numbers: Set[str]) -> bool:
    """Whether a number comes behind the wait and none in the clause before it: "inside the nut, hang on, thirty"."""
    begin = next((at for at in reversed(range(len(kept))) if kept[at].paused), 0)
    is_number = [token.text in numbers or token.text[0].isdecimal() for token in (*kept[begin:], behind)]
    return is_number[-1] and not any(is_number[:-1])


def _is_an_answer(tokens: Sequence[Token], at: int, end: int) -> bool:
    """Whether a "nah" is one in itself, and repairs nothing: "nah, it is not", "yeah nah mate"."""
    return tokens[at].text in _NAYS and (
        tokens[end].text in _NOTS or (tokens[at - 1].text in _FILLERS and not tokens[at].paused)
    )


def _decimals(kept: Sequence[Token], numbers: Set[str]) -> int:
    """How many words at the end are a point and the figures after it."""
    for back, token in enumerate(reversed(kept), start=1):
        if token.text == _POINT:
            return back if back > 1 else 0
        if token.text not in numbers:
            break
    return 0


def _can_stand_for(tokens: Sequence[Token], chart: Chart, end: int, start: int) -> bool:
    """Whether what begins at ``start`` may be of the same as something said that ends at ``end``."""
    if start >= len(tokens) or tokens[start].text in _NOTS:
        return False
    after = frozenset(_measurands(chart, start, None))
    return any(not after.isdisjoint(_measurands(chart, at, end)) for at in range(end))


def _measurands(chart: Chart, at: int, end: int | None) -> Iterator[Measurand]:
    for stop, phrase, _ in chart.match("reading", at):
        if end is None or stop == end:
            for item in phrase.items:
                if isinstance(item, Reading):
                    yield from item.measurands
