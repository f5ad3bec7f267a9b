"""Of which end a figure is wanted: "what torque for dash twelve", "which O-ring goes in a dash eight boss".

How it works. A function has ``topics``, lines of words that stand together (``wordgroups``): a question with the words
of one is of that function, and so is what says one of its words and "for" ("torque for the dash twelve"). What such a
question names of an end is found wherever it stands, cut so that the fewest words are left over; it is asked about, and
never a reading. Where it names neither a series nor a size, it is no question about another end.

Duty: this. It must not know which end of the catalogue is meant.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.alarms import Alarm
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.questions import Stretch
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import Command, Item, Measurand, Option, Reading, Seal

SIZES = frozenset(
    {
        Measurand.DASH,
        Measurand.THREAD_SIZE,
        Measurand.TUBE_OUTSIDE_DIAMETER,
        Measurand.OUTSIDE_DIAMETER,
        Measurand.INSIDE_DIAMETER,
    }
)
_OTHERS_SAY, _SELF = "list-others-say", frozenset({"i", "we", "mine"})
_GOES_ON_WITH = word_set("but though while and yet only")
_NAMES = frozenset({Measurand.SERIES, Measurand.THREAD_SYSTEM})
_BESIDE = frozenset({Measurand.GENDER, Measurand.SHAPE, Measurand.COUNTRY, Measurand.SEAT_ANGLE, Measurand.SEAL})
_SEALS = frozenset({Seal.FACE_O_RING, Seal.CONE_O_RING, Seal.CUTTING_RING})  # that a series is told by
_WEIGHTS, _OF_WHAT = word_set("light heavy"), word_set("one nut series male female end fitting cone")
BY_NOUN = frozenset({"torque", "adapter", "pressure", "spanner", "what-seals-it"})  # asked for by their name alone
_BEHIND = word_set("for of to from between")  # "torque for", and no wrench
_BEFORE = word_set("a an the i we need want what which give tell me please and so but get to know would like o working")
_IS = word_set("is are was were measures")  # what is told of them
_JOINS = word_set(
    "to onto into and with on in for fit fits take takes mate mates seal seals screw screws go goes suit suits"
)
_EACH = word_set("and or versus")  # "dash sixteen and dash twenty"
CONVERT, GOES_ON = "convert", "goes-on"
_IN_UNITS = frozenset((to, unit) for to in ("in", "to", "into") for unit in ("inches", "millimeters"))
_OF_IT = word_set("figure figures value setting rating number")
_BY_SIZE = frozenset({"torque", "spanner"})  # what no reading is called by
_BY_A_SIZE = word_set(
    "on of at for the a an figure value setting please then and what about size is difference in between"
)
_METRIC_THREAD, _FROM = "m", "from"
_NAMES_ONE = "why-not"  # what nothing but a name is taken for in a question
_OTHER_END = ("other", "end")
_THE_ONE, _PIPE, _SYSTEM = "one", "g", Measurand.THREAD_SYSTEM
_BORE = frozenset({Measurand.HOSE_BORE})
_BESIDE_AN_END = _BORE | {Measurand.PRESSURE, Measurand.TEMPERATURE}  # and of no end
_HEAD = 6  # words before what is wanted
_POINTS = frozenset({("that", "one"), ("this", "one"), ("these", "two"), ("those", "two"), ("the", "two")})
_NUMBERS_IT = word_set("it size dash number point and job")  # else "one" is the end itself: "is it the light one"
_MATERIALS = word_set("aluminium aluminum steel brass iron copper")


def topic(words: Sequence[str], topics: Sequence[Alarm], *, asks: bool) -> str | None:
    """The function that a part of a text is of, if it is of one. ``asks`` : it is a question as it stands."""
    if tuple(words[-2:]) in _IN_UNITS:
        return CONVERT
    found = next((each.command for each in topics if each.line.is_in(words)), None)
    if asks and found is not None:
        return found
    words = [word for word in words if word not in _OF_IT]  # "tightening figure for"
    of = [next((each.command for each in topics if each.line.is_in(["what", word])), None) for word in words[:_HEAD]]
    for at, (told, after) in enumerate(zip(of, words[1:], strict=False)):
        leads_in = all(before or word in _BEFORE for before, word in zip(of[:at], words, strict=False))
        behind = after in _BEHIND or of_the_other_end(words[at:])
        if told in BY_NOUN and behind and leads_in and _IS.isdisjoint(words[at:]):
            return told
    return None


def of_the_other_end(words: Sequence[str]) -> bool:
    """Whether it is asked of the end that is not in hand: "torque for the other end"."""
    return len(words) > len(_OTHER_END) and tuple(words[-2:]) == _OTHER_END


def put_on(tokens: Sequence[Token], chart: Chart) -> tuple[Reading, ...]:
    """What the words name that is to go on: a series, a size, a seal by which an end is told, "an O-ring nose", or the
    bore of a hose; else nothing."""
    found = named(tokens, chart, goes_on=True)
    if any(token.text == _PIPE for token in tokens) and not any(_SYSTEM in each.measurands for each in found):
        found = (*found, Reading(_PIPE, (Option(_SYSTEM, _PIPE.upper()),)))  # "a half inch G Japanese male"
    return tuple(each for each in found if each.heard != _THE_ONE or len(found) == 1)  # "a half inch one"


def with_what_goes_on(calls: Sequence[Command], tokens: Sequence[Token], chart: Chart) -> tuple[Command, ...]:
    """The calls, and with those that ask whether something goes on, where a phrase alone told so, what is named."""
    alone = [call.name == GOES_ON and not (call.about or call.other) for call in calls]
    named_too = put_on(tokens, chart) if any(alone) else ()
    return tuple(replace(c, other=named_too) if lacks else c for c, lacks in zip(calls, alone, strict=True))


def named(tokens: Sequence[Token], chart: Chart, *, goes_on: bool = False) -> tuple[Reading, ...]:
    """What the words name of an end, in their order; nothing where they name neither a series nor a size (``goes_on`` :
    nor a seal by which an end is told, nor the bore of a hose)."""
    count = len(tokens)
    best: list[tuple[int, int, float, tuple[Reading, ...]]] = [(0, 0, 0.0, ())] * (count + 1)
    for at in reversed(range(count)):
        left, pieces, cost, readings = best[at + 1]
        ways = [(left + 1, pieces, cost, readings)]
        if tokens[at].text == _METRIC_THREAD and at + 1 < count:
            for end, phrase, weight in chart.match("reading", at + 1):
                if threaded := _as_a_thread(tuple(i for i in phrase.items if isinstance(i, Reading)), tokens[at:end]):
                    left, pieces, cost, readings = best[end]
                    ways.append((left, pieces + 1, cost - weight, (*threaded, *readings)))
        points = at > 0 and (tokens[at - 1].text, tokens[at].text) in _POINTS  # "what seals that one"
        points = points or (0 < at == count - 1 and tokens[at].text == "one" and tokens[at - 1].text not in _NUMBERS_IT)
        if tokens[at].text not in _MATERIALS and not points:
            for end, phrase, weight in chart.match("reading", at):
                own = tuple(item for item in phrase.items if isinstance(item, Reading))
                of_it = not goes_on or all(_of_an_end(item) or item.measurands <= _BESIDE_AN_END for item in own)
                if own and of_it and len(own) == len(phrase.items):
                    left, pieces, cost, readings = best[end]
                    heard = " ".join(token.text for token in tokens[at:end])
                    own = tuple(replace(item, heard=heard) for item in own)
                    ways.append((left, pieces + 1, cost - weight, (*own, *readings)))
        best[at] = min(ways, key=lambda way: way[:3])
    said = (r if goes_on and r.measurands == _BORE else _of_an_end(r) for r in best[0][3])
    found = tuple(reading for reading in said if reading is not None)
    words = [token.text for token in tokens]
    by_weight = any(one in _WEIGHTS and two in _OF_WHAT for one, two in pairwise(words))
    sealed = goes_on and any(reading.measurands in ({Measurand.SEAL}, _BORE) for reading in found)
    return found if by_weight or sealed or names_an_end(found) else ()


def _as_a_thread(said: Sequence[Reading], tokens: Sequence[Token]) -> tuple[Reading, ...]:
    """What says a tube by its series, with "m" before it: the size is that of the thread, "M twenty-two light"."""
    tubes = [each for each in said if each.measurands == {Measurand.TUBE_OUTSIDE_DIAMETER}]
    if len(tubes) != 1 or len(said) < 2:
        return ()
    heard = " ".join(token.text for token in tokens)
    options = tuple(replace(option, measurand=Measurand.THREAD_SIZE) for option in tubes[0].options)
    thread = replace(tubes[0], options=options)
    return tuple(replace(thread if each is tubes[0] else each, heard=heard) for each in said)


def by_size(tokens: Sequence[Token], topics: Sequence[Alarm], chart: Callable[[Sequence[Token]], Chart]) -> str | None:
    """The function that is called by its noun with nothing but sizes before or behind it: "dash twelve torque",
    "torque on dash eight and dash ten"."""
    words = [token.text for token in tokens]
    called = [next((each.command for each in topics if each.line.is_in(["what", word])), None) for word in words]
    at = next((at for at, name in enumerate(called) if name in _BY_SIZE), None)
    if at is None:
        return None
    for side in (tokens[:at], tokens[at + 1 :]):
        left = [token for token in side if token.text not in _BY_A_SIZE - _EACH]
        while left and left[0].text in _BY_A_SIZE:
            left.pop(0)
        if left:
            other = tokens[at + 1 :] if side == tokens[:at] else tokens[:at]
            alone = all(token.text in _BY_A_SIZE | _BEFORE for token in other)
            return called[at] if alone and all(is_a_size(one, chart(one)) for one in _one_by_one(left)) else None
    return None


def _one_by_one(tokens: Sequence[Token]) -> list[list[Token]]:
    """The tokens between those that join sizes."""
    found: list[list[Token]] = [[]]
    for token in tokens:
        if token.text in _EACH and found[-1]:
            found.append([])
        else:
            found[-1].append(token)
    return [each for each in found if each]


def weight_last(tokens: Sequence[Token], chart: Chart) -> tuple[Token, ...]:
    """The tokens with each size before its weight, as a tube is called: "the light twenty two"."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        weighs = tokens[at].text in _WEIGHTS and at + 1 < len(tokens) and tokens[at + 1].text not in _OF_WHAT
        sizes = chart.match("tube-size", at + 1) if weighs else ()
        end = max((end for end, *_ in sizes), default=0)
        if end and not any(token.paused for token in tokens[at + 1 : end]):
            found += [*tokens[at + 1 : end], replace(tokens[at], paused=False)]
            at = end
        else:
            found.append(tokens[at])
            at += 1
    return tuple(found)


def with_size_behind(
    parts: Sequence[Stretch],
    words: Callable[[str], tuple[Token, ...]],
    chart: Callable[[tuple[Token, ...]], Chart],
    topics: Sequence[Alarm],
) -> list[Stretch]:
    """The parts, a size by itself behind a question of two ends with that: "does a nut go on it, M twenty"."""
    found: list[Stretch] = []
    for part in parts:
        tokens = words(part.text)
        before = [token.text for token in words(found[-1].text)] if found and found[-1].asks else []
        asks = bool(before) and topic(before, topics, asks=True) == GOES_ON
        if asks and not part.asks and tokens and is_a_size(tokens, chart(tokens)):
            found[-1] = replace(found[-1], text=f"{found[-1].text} {part.text}")
        else:
            found.append(part)
    return found


def is_a_size(tokens: Sequence[Token], chart: Chart) -> bool:
    """Whether all of the words are one size and nothing else."""
    for end, phrase, _ in chart.match("reading", 0):
        said = [item for item in phrase.items if isinstance(item, Reading)]
        sized = any(reading.measurands & SIZES for reading in said)
        if end == len(tokens) and sized and len(said) == len(phrase.items):
            return all(reading.measurands & (SIZES | _NAMES) for reading in said)
    return False


def names_an_end(about: Sequence[Reading]) -> bool:
    """Whether what a question is about has a series or a size."""
    return any(reading.measurands & (SIZES | _NAMES) for reading in about)


def is_of_others(tokens: Sequence[Token], chart: Chart) -> bool:
    """Whether it begins with another person's saying so, and nothing is said of one's own."""
    return bool(chart.match(_OTHERS_SAY, 0)) and _SELF.isdisjoint(token.text for token in tokens)


def named_by_others(
    tokens: tuple[Token, ...], chart_of: Callable[[tuple[Token, ...]], Chart], *, asks: bool
) -> tuple[Reading, ...]:
    """What another person says that the end is, by its series, and nothing besides: the checks tell whether it is. By
    a size or a thread too, where it is asked whether that is so (``asks``). The words for that person name nothing: "my
    boss"."""
    chart = chart_of(tokens)
    end = max((end for end, *_ in chart.match(_OTHERS_SAY, 0)), default=0)
    told = tokens[end:]
    alone = is_of_others(tokens, chart) and (
        asks or not any(token.paused or token.text in _GOES_ON_WITH for token in told[1:])
    )
    about = named(told, chart_of(told)) if alone and told else ()
    return about if asks or any(Measurand.SERIES in reading.measurands for reading in about) else ()


def ends_of(
    tokens: Sequence[Token], chart_of: Callable[[Sequence[Token]], Chart]
) -> tuple[tuple[Reading, ...], tuple[Reading, ...]]:
    """What is named of the first and of the second of two ends, the second behind what joins them: "from half inch JIC
    to half inch NPT". Nothing of the first is "from this to"; nothing of the second is no question of two ends."""
    whole = chart_of(tokens)
    for at in reversed(range(len(tokens) - 1)):
        if any(end > at + 1 for begin in range(at) for end, *_ in whole.match("reading", begin)):
            continue  # "one and a half"
        if tokens[at].text in _JOINS and (second := named(tokens[at + 1 :], chart_of(tokens[at + 1 :]))):
            begin = next((i + 1 for i in reversed(range(at)) if tokens[i].text == _FROM), 0)  # "from three" is no count
            first = tokens[begin:at]
            return named(first, chart_of(first)) if first else (), second
    return (), ()


def _of_an_end(reading: Reading) -> Reading | None:
    """The reading as far as it is of what an end is called by."""
    options = tuple(
        replace(option, negated=False, hedge=None, certainty=1.0)
        for option in reading.options
        if option.measurand in SIZES | _NAMES | _BESIDE | {Measurand.PITCH}
        and (option.measurand is not Measurand.SEAL or option.value in _SEALS)
    )
    return replace(reading, options=options, guessed=False) if options else None


def of_the_same(first: tuple[Item, ...], second: tuple[Item, ...]) -> tuple[Item, ...]:
    """What two sides of an "and" ask; of the end that the second names, where the first names none: "torque and ring
    for a dash twelve"; and the same of both, where the second only names one: "torque dash twelve and dash sixteen"."""
    about = next((item.about for item in second if isinstance(item, Command)), ())
    told = any(isinstance(item, Command) and item.about for item in first)
    if not names_an_end(about):
        return (*first, *second)
    if told:
        only_named = all(isinstance(item, Command) and item.name == _NAMES_ONE for item in second)
        return (*first, *(_of_other(first, about) if only_named else second))
    return (*_of_other(first, about), *second)


def _of_other(items: tuple[Item, ...], about: tuple[Reading, ...]) -> tuple[Item, ...]:
    return tuple(replace(item, about=about) if isinstance(item, Command) else item for item in items)
