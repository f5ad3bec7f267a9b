"""What is said of the screws of a flange or banjo: their size, length and strength, none of which is the end's in hand.

How it works. A size ("M ten", "seven sixteenths"), with a length behind "by", and a class of strength ("ten point
nine", "grade five") are of screws where the word for screws stands beside them, where a word for the class does, or
where one follows the other. They are taken out of the text, and so is the rest of their clause where it only says of
what they are. The word "bolt" by itself may be the end in hand: it counts where something is asked or ordered besides.

Where it was asked which screw, all else that says nothing but a size, a class or both answers it: "half thirteen",
"twelve", "ten nine".

Duty: these words and their figures. It must not know which screws an end has.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from voicefit.interpretation.chart import Chart, Match
from voicefit.interpretation.tokens import Token
from voicefit.records import Command, Item, Meaning, Rejection

SCREWS = "screws"
_ASKED = frozenset({"torque", "quantity", "order-slip", "order-mate", "order-seal", "sizes"})  # that may be of screws
_METRIC, _BY = "m", frozenset({"by", "x"})
# Sizes of screws in use, property classes of ISO 898-1 and grades of SAE J429: all from memory.
_METRIC_MM = frozenset(map(Fraction, (5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 27, 30)))
_INCHES = frozenset(Fraction(each, 16) for each in (4, 5, 6, 7, 8, 9, 10, 12, 14))
_CLASSES = frozenset(Fraction(each, 10) for each in (56, 88, 98, 109, 129))
_HALVES = frozenset({"clamp", "clamps", "flange", "flanges"})  # "half clamps"
_GRADES = frozenset({Fraction(2), Fraction(5), Fraction(8)})
_NUMBERS = ("fraction", "decimal", "whole")
_NOUN, _ONE, _CLASS, _SAYS = "list-screws", "list-one-screw", "list-screw-class", "list-of-screws"
_ANSWERS = "list-screw-answer"

_Figure = tuple[int, str]  # where it ends, and its figure in writing


def taken_out(
    text: str, tokens: Sequence[Token], chart: Chart, says: Callable[[str], tuple[Meaning, ...]]
) -> tuple[Meaning, ...] | None:
    """The meanings of a text without what it says of screws, which stands with the command that asks for it, or in one
    of its own; ``None`` where nothing is said of them. ``says`` : what the rest may mean."""
    found = _found(tokens, chart)
    if found is None:
        return None
    start, end, figures, sure = found
    first, last = start, end
    while first > 0 and _is_of_screws(chart, first - 1, start):
        first -= 1
    while last < len(tokens) and not tokens[last].paused and _is_of_screws(chart, last, len(tokens)):
        last += 1
    whole = (not first or tokens[first].paused) and (last == len(tokens) or tokens[last].paused)
    cuts = ((first, last),) if whole else ((start, end), (first, last))
    rests = (f"{text[: tokens[a].start].rstrip(' ,')} {text[tokens[b - 1].end :].lstrip(' ,')}" for a, b in cuts)
    said = [says(rest) if (rest := each.strip(" ,.?!")) else (Meaning(text, ()),) for each in rests]
    meanings = next((each for each in said if not all(isinstance(i, Rejection) for i in each[0].items)), said[0])
    own = Command(SCREWS, text, argument=" ".join(figures))
    made = tuple(replace(each, text=text, items=_with(each.items, own)) for each in meanings)
    asked = [any(isinstance(item, Command) and item.name in _ASKED for item in each.items) for each in made]
    return made if sure or any(asked) else None


def told(tokens: Sequence[Token], chart: Chart, asked: Sequence[str] = ()) -> str | None:
    """The figures of a text that tells a size of a screw, its class or both, and nothing else; ``None`` for any other.
    ``asked`` : the sizes of which it was asked which ("M12", "1/2-13"): they are told by a bare number as well."""
    parts = [(size, size.partition("-")) for size in asked]
    numbers = {Fraction(pitch or head[1:]): head for size, (head, _, pitch) in parts if pitch or size[0] == "M"}
    sizes, classes, at = list[str](), list[str](), 0
    while at < len(tokens):
        strength, size = _class(chart, at), _size(tokens, chart, at)
        bare = _number(chart, at, frozenset(numbers))
        ends = [] if bare is None else [(bare[0], 0, numbers[bare[1]])]
        ends += [] if size is None else [(_behind_its_pitch(tokens, chart, size[0]), 1, size[1])]
        ends += [] if strength is None else [(strength[0], 2, strength[1])]
        says = [stop for rule in (_ANSWERS, _NOUN, _CLASS) for stop, *_ in _match(chart, rule, at)]
        if not ends and not says:
            return None
        end, kind, figure = max(ends, default=(max(says, default=at), -1, ""))
        if kind >= 0:
            (classes if kind == 2 else sizes).append(figure)
        at = end
    found = [list(dict.fromkeys(each)) for each in (sizes, classes)]
    return (
        " ".join(figure for each in found for figure in each) if sorted(map(len, found)) in ([0, 1], [1, 1]) else None
    )


def _behind_its_pitch(tokens: Sequence[Token], chart: Chart, at: int) -> int:
    """Where a size ends with what stands behind "by": its pitch or its length."""
    number = _number(chart, at + 1) if at < len(tokens) and tokens[at].text in _BY else None
    while number is not None:  # "by one seventy-five"
        at = number[0]
        number = _number(chart, at) if at < len(tokens) and not tokens[at].paused else None
    return at


def _with(items: tuple[Item, ...], own: Command) -> tuple[Item, ...]:
    """The items with what is said of the screws: of the command that asks for it, where one does."""
    before = [i.argument for i in items if isinstance(i, Command) and i.name == SCREWS and i.argument]
    own = replace(own, argument=" ".join((*before, own.argument or "")))
    kept = tuple(i for i in items if not isinstance(i, Rejection) and not (isinstance(i, Command) and i.name == SCREWS))
    if any(isinstance(item, Command) and item.name in _ASKED for item in kept):
        return tuple(
            replace(item, argument=own.argument)
            if isinstance(item, Command) and item.name == "torque" and item.argument is None
            else item
            for item in kept
        )
    return (*kept, own)


def _found(tokens: Sequence[Token], chart: Chart) -> tuple[int, int, list[str], bool] | None:
    """Where what is said of screws stands, its figures, and whether it is surely said of them."""
    for at in range(len(tokens)):
        for start, end, figures, joined in _figures(tokens, chart, at):
            told = len(figures) > 1 or "." not in figures[0] or _is_whole(tokens, chart, start, end)
            sure = joined or (told and _stands_by(tokens, chart, _NOUN, start, end))
            if sure or _stands_by(tokens, chart, _ONE, start, end):
                return start, end, figures, sure
    return None


def _is_whole(tokens: Sequence[Token], chart: Chart, start: int, end: int) -> bool:
    """Whether a class by itself is no size: "eight point eight bolts", not "four bolts, eight point eight thick"."""
    return bool(_match(chart, _NOUN, end)) or (not tokens[start].paused and (end == len(tokens) or tokens[end].paused))


def _figures(tokens: Sequence[Token], chart: Chart, at: int) -> Iterator[tuple[int, int, list[str], bool]]:
    """What may be the size, the class or both that begin at a place; whether they tell by themselves of screws."""
    size = _size(tokens, chart, at)
    end = size[0] if size else at
    long = end < len(tokens) and tokens[end].text in _BY and size is not None
    length = _number(chart, end + 1) if long else None
    if size is not None and length is not None and length[1] > max(_CLASSES):
        end = length[0]
    strength = _class(chart, end)
    if size is not None and strength is not None:
        yield at, strength[0], [size[1], strength[1]], True
    elif size is not None:
        yield at, end, [size[1]], False
    elif strength is not None:
        yield at, strength[0], [strength[1]], bool(_match(chart, _CLASS, at))


def _size(tokens: Sequence[Token], chart: Chart, at: int) -> _Figure | None:
    if tokens[at].text == _METRIC:
        number = _number(chart, at + 1, _METRIC_MM)
        return None if number is None else (number[0], f"M{int(number[1])}")
    number = _number(chart, at, _INCHES)
    if number is None or any(token.text in _HALVES for token in tokens[number[0] : number[0] + 1]):
        return None
    if any(stop > number[0] for rule in _NUMBERS for stop, *_ in _match(chart, rule, at)):
        return None  # "point five | eight eight" is one number
    end = number[0] + (tokens[number[0] : number[0] + 1] != () and tokens[number[0]].text in ("inch", "inches"))
    return end, f"{number[1].numerator}/{number[1].denominator}"


def _class(chart: Chart, at: int) -> _Figure | None:
    behind = max((stop for stop, *_ in _match(chart, _CLASS, at)), default=None)
    begins = at if behind is None else behind
    number = _without_its_point(chart, begins)
    number = number or _number(chart, begins, _CLASSES if behind is None else _CLASSES | _GRADES)
    if number is None:
        return None
    return number[0], f"{float(number[1]):g}" if number[1] in _CLASSES else f"grade-{int(number[1])}"


def _without_its_point(chart: Chart, at: int) -> tuple[int, Fraction] | None:
    """A class as it is said in the shop: "ten nine", "eight eight"."""
    for middle, whole, _ in _match(chart, "whole", at):
        for end, tenth, _ in _match(chart, "whole", middle):
            if (value := whole.value + tenth.value / 10) in _CLASSES:
                return end, value
    return None


def _number(chart: Chart, at: int, of: frozenset[Fraction] | None = None) -> tuple[int, Fraction] | None:
    """The longest number at a place, of these alone."""
    found = [(stop, value.value) for rule in _NUMBERS for stop, value, _ in _match(chart, rule, at)]
    return max((each for each in found if of is None or each[1] in of), default=None)


def _stands_by(tokens: Sequence[Token], chart: Chart, rule: str, start: int, end: int) -> bool:
    """Whether a word for screws stands right behind, or before with no more than what says that they are so."""
    behind = [stop for stop, *_ in _match(chart, rule, end)]
    if behind:
        return True
    at = start
    while at > 0:
        at -= 1
        if any(stop == start or _all_say(chart, stop, start) for stop, *_ in _match(chart, rule, at)):
            return True
        if not _is_of_screws(chart, at, start):
            return False
    return False


def _all_say(chart: Chart, start: int, end: int) -> bool:
    return start < end and all(_is_of_screws(chart, at, end) for at in range(start, end))


def _is_of_screws(chart: Chart, at: int, end: int) -> bool:
    return any(stop <= end for rule in (_SAYS, _NOUN, _ONE) for stop, *_ in _match(chart, rule, at))


def _match(chart: Chart, rule: str, at: int) -> Sequence[Match]:
    return chart.match(rule, at) if at < len(chart) else ()
