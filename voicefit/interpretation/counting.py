"""Numbers that are none of ours: another thing's, a share of it, a part of a number that was not understood.

"Bay seven", "truck number three", "half the print", "from nineteen eighty-five", "tree quarter", "my set goes up to
twenty-eight": each holds what would be a good reading by itself.

Duty: this judgement of a number and the words right beside it. It must not make or change what was said.
"""

from __future__ import annotations

from collections.abc import Sequence

from voicefit.interpretation.asking import PERSONS
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.scene import Edge, Scene
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.turning import Phrase
from voicefit.quantities import Quantity
from voicefit.records import Context, Item, Measurand, Option, Reading, Rejection

_ARTICLES = frozenset({"the", "a", "an", "this", "that", "its", "my"})
_NUMBERED, _BY = "number", "by"
_LEAD_TO_A_NUMBER = frozenset({"is", "dash", "size", "it", "leaf", "gauge", "at", "was", "hose", "of"})
_OF_THE_OIL = frozenset({Measurand.PRESSURE, Measurand.TEMPERATURE})
_OF_A_HOSE = frozenset(
    {
        Measurand.HOSE_BORE,
        Measurand.HOSE_TYPE,
        Measurand.REINFORCEMENT,
        Measurand.LENGTH,
        Measurand.ELBOW_ANGLE,
        Measurand.DASH,
    }
)
_BETWEEN_NUMBERS = frozenset({"for", "per", "parts", "of", "off"})
_SAYS_SO = word_set(
    "pressure temperature temperatures temp temps heat rated working hot oil fluid system relief pump tested "
    "w wp p pw mwp m mop mawp"  # as hoses are printed
)
_SINCE = frozenset({"from", "since", "until", "till", "before", "after"})
_END = "end"
_AM = frozenset({"am", "is", "are"})
_PLACES = frozenset({"on", "of", "in", "from"})  # "number two on the manifold"
_AWAY = frozenset({"from", "off", "up", "above", "below"})
_SHARED = frozenset({"for", "per", "parts", "the", "of", "my", "your", "this", "that", "these", "those", "them", "our"})


def is_a_number_of_another(tokens: Sequence[Token], chain: Sequence[Edge], at: int, scene: Scene) -> bool:
    """Whether a number is another thing's, or a share of it: "bay seven", "truck number three", "half the print"."""
    edge = chain[at]
    first = tokens[edge.start]
    named = first.text == _NUMBERED
    after = tokens[edge.end] if edge.end < len(tokens) and not tokens[edge.end].paused else None
    counts = isinstance(edge.items[0], Reading) and is_one_of(tokens[edge.end - 1], scene.numbers)
    counted = next((token for token in tokens[edge.end :][:2] if token.paused or token.text in scene.other_units), None)
    if counted is not None and counts and (edge.open or named) and not counted.paused and after is not None:
        return True  # "three bolts", "two copper rings", and not "a ten mil bolt" or "M fourteen by two stud"
    if not (edge.open or named):
        return False
    is_said = at > 0 and any(isinstance(item, Reading) for item in chain[at - 1].items)
    before = tokens[edge.start - 1].text if at and not first.paused and not is_said else ""
    if before in _AM and edge.start > 1 and tokens[edge.start - 2].text in PERSONS:
        return True  # "i am fifty-two"
    told = before == _END and _is_no_whole_number(edge)  # "one end three eighths"
    if (before in scene.numbered | _SINCE and not told) or (
        named and before and before not in _ARTICLES | _LEAD_TO_A_NUMBER
    ):
        return True
    if after is not None and after.text in _AWAY and edge.end + 1 < len(tokens):
        return tokens[edge.end + 1].text in _ARTICLES  # "a foot from the exhaust"
    return after is not None and after.text in (_SHARED if edge.open else _PLACES)


def _is_no_whole_number(edge: Edge) -> bool:
    """Whether what is said is a fraction, or has one: no piece of a job is numbered so."""
    options = edge.items[0].options if isinstance(edge.items[0], Reading) else ()
    return any(isinstance(o.value, Quantity) and o.value.value.denominator != 1 for o in options)


def goes_on_counting(
    tokens: Sequence[Token], chain: Sequence[Edge], at: int, spoilt: Sequence[bool], scene: Scene
) -> bool:
    """Whether a number stands beside one that is none of ours: "from nineteen | eighty-five", "nineteen | ninety-eight
    model"."""
    if not chain[at].open:
        return False
    for before, after in ((at - 1, at), (at, at + 1)):
        if before < 0 or after == len(chain) or tokens[chain[after].start].paused:
            continue
        both = (tokens[chain[before].end - 1], tokens[chain[after].start])
        if spoilt[after if before == at else before] and all(is_one_of(token, scene.numbers) for token in both):
            return True
    return False


def is_half_of_a_number(tokens: Sequence[Token], edge: Edge, scene: Scene, context: Context) -> bool:
    """Whether an unknown word stands right before a number that says no more, or parts it from the
    number that it belongs to: "eighteen for one and a half"."""
    first, at = tokens[edge.start], edge.start
    if at == 0 or first.paused or not is_one_of(first, scene.numbers):
        return False
    before = tokens[at - 1]
    if before.text not in scene.known and not before.text[0].isdecimal():
        asked = any(isinstance(i, Reading) and not i.measurands.isdisjoint(context.expected) for i in edge.items)
        follows = at > 1 and not before.paused and is_one_of(tokens[at - 2], scene.numbers)
        return follows or (edge.open and not asked)
    parted = before.text in _BETWEEN_NUMBERS and not before.paused and at > 1
    return parted and is_one_of(tokens[at - 2], scene.numbers)


def is_loosely_of_a_hose(tokens: Sequence[Token], edge: Edge, reading: Reading, context: Context) -> bool:
    """Whether a number is of a pressure or a temperature by nothing but "up to" or "at least", and nobody asked."""
    if not reading.measurands <= _OF_THE_OIL or not reading.measurands.isdisjoint(context.expected):
        return False
    if not _OF_A_HOSE.isdisjoint(context.expected):
        return False
    unsaid = len({option.value.unit for option in reading.options if isinstance(option.value, Quantity)}) > 1
    return unsaid and _SAYS_SO.isdisjoint(token.text for token in tokens[edge.start : edge.end])


def is_a_plain_number(option: Option) -> bool:
    """A whole number: without a unit said it may count anything."""
    value = option.value
    return isinstance(value, Quantity) and value.value.denominator == 1


def is_one_of(token: Token, words: frozenset[str]) -> bool:
    return token.text[0].isdecimal() or token.text in words


def refused_places(chart: Chart, tokens: Sequence[Token], scene: Scene) -> frozenset[int]:
    """The places behind the first word of what is said of something by name and can be refused, and not taken: "pitch |
    five hundred" is of no tube."""
    found: set[int] = set()
    at = 0  # where what was taken so far ends: "nineteen pitch | thirty degrees"
    for start in range(len(tokens)):
        stop = next((place for place in range(start + 1, len(tokens)) if tokens[place].paused), len(tokens))
        said = chart.match("said", start)
        taken = max((min(end, stop) for end, phrase, _ in said if is_taken(phrase)), default=start)
        last = max((min(end, stop) for end, phrase, _ in said if refused_values(phrase.items)), default=start)
        by_name = any(token.text != _BY and not is_one_of(token, scene.numbers) for token in tokens[start:last])
        if start >= at and taken < last and by_name:
            found.update(place for place in range(start + 1, last) if not _reaches_past(chart, place, last))
        at = max(at, taken)
    return frozenset(found)


def _reaches_past(chart: Chart, start: int, end: int) -> bool:
    """Whether something that can be so goes on behind the end: "two SN | two hundred | bar"."""
    return any(stop > end and is_taken(phrase) for stop, phrase, _ in chart.match("reading", start))


def refused_values(items: Sequence[Item]) -> tuple[Rejection, ...]:
    """What was said of something by name that cannot be."""
    return tuple(item for item in items if isinstance(item, Rejection) and item.limits)


def is_taken(phrase: Phrase) -> bool:
    """Whether all that a phrase says can be so."""
    return all(isinstance(item, Reading) for item in phrase.items)
