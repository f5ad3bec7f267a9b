"""A number said over: "six feet long, no wait, five and a half", "the head is forty one, no, forty four".

How it works. A word of repair stands between a clause with one number in it and another number, which a pause or a
unit ends. The second number is put into the words of the first, with its own unit if it has one, where that makes
something that is said. A clause that is nothing but a number goes.

Likewise what a number is of is said once: "it's not two wire, it's four", also where it stands behind the number:
"sixteen isn't the pitch, eighteen is". And where it was begun with another name, that goes: "outside, no, inside
eighteen point nine".

Duty: these tokens in place of others. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import replace

from voicefit.interpretation.asking import asks
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.tokens import Token

_POINT = "point"
_NOES = frozenset({"no", "nope", "nah", "naw"})
_NOTS = frozenset({"not", "never"})
_IT_IS = frozenset({"it", "is", "that", "but", "a", "the", "more", "like"})
_A = frozenset({"a", "an", "one"})
_HUNDREDS = frozenset({"hundred", "thousand"})
_IS, _THE, _BUT = frozenset({"is", "was", "are"}), frozenset({"the", "its", "my"}), "but"
_REPAIRS = ("list-edits", "list-waits")
_NEVER_FIRST = frozenset({"in", "o", "oh", "over", "s", "comma", "k", "and", "th", "nd", "nds", "ths", "dot", "slash"})
_INSIDE = frozenset({"and", "a", "an", "point", "half", "quarter"})  # of a number, between words of it


def retaken(
    tokens: tuple[Token, ...],
    read: Callable[[tuple[Token, ...]], Chart],
    numbers: Set[str],
    units: Set[str],
) -> tuple[Token, ...]:
    """The tokens with a number that was said over in place of the one before it. ``numbers``, ``units`` : words of
    either; ``read`` makes a chart of tokens."""
    chart = read(tokens)
    for at in range(1, len(tokens)):
        end = _end_of_repair(tokens, chart, at)
        if end in (at, len(tokens)) or tokens[end].text == _POINT:  # "eighteen point three, sorry, point eight"
            continue
        stop = _end_of_number(tokens, end, numbers)
        last = _end_of_units(tokens, stop, units)
        if stop == end or not (last == len(tokens) or tokens[last].paused or last > stop):
            continue
        start = max((place for place in range(at) if tokens[place].paused), default=0)
        found = _numbers_in(tokens, start, at, numbers)
        if len(found) != 1 or asks(tokens[start:at]):  # "did I say nineteen, I meant eighteen"
            continue
        ((first, behind),) = found
        old_units = _end_of_units(tokens, behind, units)
        if last < len(tokens) and not tokens[last].paused:
            continue
        said = (replace(tokens[end], paused=tokens[first].paused), *tokens[end + 1 : last])
        place = tokens[last - 1].end  # what is heard reaches from the first of its words to the last of the repair
        rest = (
            replace(token, start=place, end=place, joined=False)
            for token in tokens[old_units if last > stop else behind : at]
        )
        again = (*tokens[:first], *said, *rest, *tokens[last:])
        if _is_said(read(again), start, first, len(again) - len(tokens) + last):
            return again
    return tokens


def with_its_noun(
    tokens: tuple[Token, ...], read: Callable[[tuple[Token, ...]], Chart], numbers: Set[str], units: Set[str]
) -> tuple[Token, ...]:
    """The tokens with what a denied number is of behind the number that is right as well: "it's not two wire, it's
    four", "it isn't a metre long, it's eight fifty mil"."""
    starts = [0, *(at for at in range(1, len(tokens)) if tokens[at].paused), len(tokens)]
    for start, at, last in zip(starts, starts[1:], starts[2:], strict=False):
        found = _numbers_in(tokens, start, at, numbers) or _a_unit_in(tokens, start, at, units)
        if len(found) != 1 or _NOTS.isdisjoint(token.text for token in tokens[start : found[0][0]]):
            continue
        first = next((place for place in range(at, last) if tokens[place].text not in _IT_IS), last)
        noun, place = tokens[found[0][1] : at], tokens[last - 1].end
        stop = _end_of_number(tokens, first, numbers) if first < last else last
        if stop < last == _end_of_units(tokens, stop, units):  # it has its own
            noun, stop = tokens[_end_of_units(tokens, found[0][1], units) : at], last
        if first == last or stop != last or not noun:
            continue
        said = (replace(token, start=place, end=place, joined=False) for token in noun)
        again = (*tokens[:last], *said, *tokens[last:])
        if _is_said(read(again), first, first, last + len(noun)):
            return again
    return tokens


def with_its_noun_first(
    tokens: tuple[Token, ...], read: Callable[[tuple[Token, ...]], Chart], numbers: Set[str], units: Set[str]
) -> tuple[Token, ...]:
    """The tokens with what a number is said not to be of beside that number, and beside the right one behind it:
    "sixteen isn't the pitch, eighteen is"."""
    starts = [0, *(at for at in range(1, len(tokens)) if tokens[at].paused), len(tokens)]
    for start, at, last in zip(starts, starts[1:], starts[2:], strict=False):
        behind = _end_of_units(tokens, _end_of_number(tokens, start, numbers), units)
        words = [token.text for token in tokens[behind : behind + 3]]
        if behind == start or len(words) < 3 or words[0] not in _IS or words[1] not in _NOTS:
            continue
        noun = tokens[behind + 2 + (words[2] in _THE) : at]
        first = at + (tokens[at].text == _BUT)
        stop = _end_of_units(tokens, _end_of_number(tokens, first, numbers), units) if first < last else first
        if not noun or stop in (first, last) or stop + 1 != last or tokens[stop].text not in _IS:
            continue
        place, end = tokens[start].start, tokens[stop].end
        no = replace(tokens[behind + 1], start=place, end=place, paused=tokens[start].paused, joined=False)
        denied = (no, replace(tokens[start], paused=False), *tokens[start + 1 : behind], *noun)
        of_it = (replace(token, start=end, end=end, joined=False) for token in noun)
        right = (replace(tokens[first], paused=True), *tokens[first + 1 : stop], *of_it)
        again = (*tokens[:start], *denied, *right, *tokens[last:])
        if _is_said(read(again), start, start, start + len(denied)):
            return again
    return tokens


def renamed(
    tokens: tuple[Token, ...],
    read: Callable[[tuple[Token, ...]], Chart],
    numbers: Set[str],
    units: Set[str],
) -> tuple[Token, ...]:
    """The tokens without what a number was first said to be of: "outside no inside eighteen point nine"."""
    chart = read(tokens)
    for at in range(1, len(tokens)):
        end = _end_of_repair(tokens, chart, at, paused=False)
        start = max((place for place in range(at) if tokens[place].paused), default=0)
        if end in (at, len(tokens)) or _numbers_in(tokens, start, at, numbers):
            continue
        counts = (place for place in range(end, len(tokens)) if _end_of_number(tokens, place, numbers) > place)
        first = next(counts, end)
        last = _end_of_units(tokens, _end_of_number(tokens, first, numbers), units) if first > end else end
        if any(token.paused for token in tokens[end + 1 : last]) or not _is_said(chart, end, end, last):
            continue
        begun = (*tokens[start:at], *tokens[first:last])
        if last > end and _is_said(read(begun), 0, 0, len(begun)):
            return (*tokens[:start], replace(tokens[end], paused=tokens[start].paused), *tokens[end + 1 :])
    return tokens


def _is_said(chart: Chart, start: int, first: int, end: int) -> bool:
    """Whether something that is said reaches from a place between the first two to the last."""
    return any(stop == end for at in range(start, first + 1) for stop, *_ in chart.match("reading", at))


def _end_of_repair(tokens: Sequence[Token], chart: Chart, at: int, *, paused: bool = True) -> int:
    """Where words of repair end that begin here; ``at`` itself where there are none. ``paused`` : only after a pause,
    or with a no."""
    if paused and not tokens[at].paused and tokens[at].text not in _NOES:
        return at
    longest = max((end for rule in _REPAIRS for end, _, _ in chart.match(rule, at)), default=at)
    return at + 1 if longest == at and tokens[at].text in _NOES else longest


def _end_of_number(tokens: Sequence[Token], at: int, numbers: Set[str]) -> int:
    end = at
    if tokens[at].text == "a" and [token.text in _HUNDREDS for token in tokens[at + 1 : at + 2]] == [True]:
        return _end_of_number(tokens, at + 1, numbers)  # "a hundred and twenty"
    if tokens[at].text in _NEVER_FIRST:
        return at
    while end < len(tokens) and (end == at or not tokens[end].paused):
        if tokens[end].text not in numbers and not tokens[end].text[0].isdecimal():
            goes_on = tokens[end].text in _INSIDE and end > at and end + 1 < len(tokens) and not tokens[end + 1].paused
            if not goes_on or not (tokens[end + 1].text in numbers | _INSIDE or tokens[end + 1].text[0].isdecimal()):
                break
        end += 1
    return end


def _end_of_units(tokens: Sequence[Token], at: int, units: Set[str]) -> int:
    while at < len(tokens) and not tokens[at].paused and tokens[at].text in units:
        at += 1
    return at


def _a_unit_in(tokens: Sequence[Token], start: int, end: int, units: Set[str]) -> list[tuple[int, int]]:
    """Where the "a" of a unit stands: "a metre"."""
    return [(at, at + 1) for at in range(start, end - 1) if tokens[at].text in _A and tokens[at + 1].text in units]


def _numbers_in(tokens: Sequence[Token], start: int, end: int, numbers: Set[str]) -> list[tuple[int, int]]:
    found, at = [], start
    while at < end:
        stop = min(_end_of_number(tokens, at, numbers), end)
        if stop > at:
            found.append((at, stop))
        at = max(stop, at + 1)
    return found
