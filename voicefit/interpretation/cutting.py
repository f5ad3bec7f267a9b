"""What matches a phrase and cuts something longer: a part of another number, of a thread, of a count or of a way.

How it works. A match knows its own words alone; the longer thing goes on behind it, or behind a pause within it: "one
o-ring" is no ten, "thirty-seven or forty-five" no pair of them, and in "thirty-three outside, eleven" the side is said.

Duty: this, of one match in a text. It must not weigh anything (:mod:`voicefit.interpretation.edges` does).
"""

from __future__ import annotations

from typing import Any

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.turning import Phrase
from voicefit.records import Measurand, Reading

_RINGS = frozenset({"ring", "rings"})
_OR = "or"
_PARTS = word_set("half quarter eighth sixteenth inch point and by")
_POINT, _OF_A_PITCH = frozenset({"point", "dot", "decimal"}), word_set("pitch pitches tpi threads per leaf")
_TO_THE_INCH = frozenset({("to", "the"), ("t", "p")})
_TWO_FIGURES = word_set(
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty"
)
_SEATS = frozenset({"seat", "nose", "cone", "flare"})
_CALLED = frozenset({"the", "nut"})
_ON_TO = word_set("the its my your his her their this that each every both a what of it there")
_THREADS, _LEFT = word_set("thread threads turns"), word_set("left remaining missing gone good engaged showing intact")
_SIDES = frozenset({"inside", "outside"})
_NOTHING = "nothing"
_OTHER, _OTHERS = "other", word_set("one ones leaf gauge blade angle end half fitting hose")
_JUST = word_set("dead exactly bang spot just precisely right smack true clean on over across at the")


def cuts(chart: Chart, tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether it is a part of something longer that is said there."""
    return (
        _cuts_a_thread(chart, tokens, start, end, phrase)
        or _cuts_a_way(tokens, end, phrase)
        or _counts_what_is_left(tokens, end, phrase)
        or _cuts_a_count(chart, tokens, end, phrase)
        or _takes_the_side_of_another(chart, tokens, start, end)
        or _cuts_a_ring(tokens, end)
        or _cuts_the_other(tokens, end)
        or _cuts_a_denial(chart, tokens, start, end, phrase)
        or _cuts_one_of_three(tokens, start, end, phrase.value)
        or _cuts_a_size(tokens, start, end, phrase)
        or _runs_into_a_pitch(tokens, start, end)
    )


def _takes_the_side_of_another(chart: Chart, tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether a side before a pause is of the number before it: "thirty-three mil dead outside, | eleven"."""
    side = next((at for at in range(start, end) if tokens[at].text in _SIDES), None)
    if side is None or side + 1 >= end or not tokens[side + 1].paused:
        return False
    first = start
    while first and not tokens[first].paused and tokens[first - 1].text in _JUST:
        first -= 1
    return not tokens[first].paused and first in (stop for at in range(first) for stop, *_ in chart.match("bare", at))


def _cuts_a_count(chart: Chart, tokens: tuple[Token, ...], end: int, phrase: Phrase) -> bool:
    """Whether the number behind a pause counts what is named with it: "flange head, four | bolts hold it"."""
    if not phrase.value or not tokens[end - 1].paused:
        return False
    return any(stop > end and not other.value for stop, other, _ in chart.match("reading", end - 1))


def _counts_what_is_left(tokens: tuple[Token, ...], end: int, phrase: Phrase) -> bool:
    """Whether the threads are counted that one has: "about nine threads left" is no pitch."""
    counted = end < len(tokens) and not tokens[end].paused and tokens[end - 1].text in _THREADS
    return counted and tokens[end].text in _LEFT and is_of(phrase, Measurand.PITCH)


def _cuts_one_of_three(tokens: tuple[Token, ...], start: int, end: int, value: tuple[Any, ...]) -> bool:
    """Whether two of three alternatives stand side by side with nothing between them: "thirty | seven or forty"."""
    between = [token for token in tokens[start + 1 : end] if token.paused or token.text == _OR]
    return value.count(_OR) > 2 and len(between) < 2


def _cuts_a_size(tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether the last word is the one of a size, and not what a thing is called: "a British parallel one half"."""
    if end in (start + 1, len(tokens)) or tokens[end].paused:
        return False
    options = [option for item in phrase.items if isinstance(item, Reading) for option in item.options]
    called = bool(options) and all(isinstance(option.value, str) for option in options)
    return called and tokens[end - 1].text == "one" and tokens[end].text in _PARTS


def _cuts_a_thread(chart: Chart, tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether what a nut is called by begins a thread: "nut nine-sixteenths | eighteen" has no hexagon of that."""
    if tokens[start].text not in _CALLED or not is_of(phrase, Measurand.HEX) or tokens[end - 1].text in _CALLED:
        return False
    matches = (match for at in range(start + 1, end) for match in chart.match("said", at))
    return any(stop > end and is_of(other, Measurand.THREAD_SIZE, Measurand.PITCH) for stop, other, _ in matches)


def _cuts_a_way(tokens: tuple[Token, ...], end: int, phrase: Phrase) -> bool:
    """Whether the way behind an angle or a seat goes on to a place: "thirty-seven in | the nut", "a nose in | it"."""
    if end == len(tokens) or tokens[end].paused or not is_of(phrase, Measurand.SEAT_FORM):
        return False
    if not is_of(phrase, Measurand.SEAT_ANGLE) and (end < 2 or tokens[end - 2].text not in _SEATS):
        return False
    return tokens[end].text in _ON_TO


def _runs_into_a_pitch(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether its decimals take in the number of a pitch: "twenty point five | sixteen pitch" are two readings."""
    words = [token.text for token in tokens[start : end + 2]]
    point = next((at for at, word in enumerate(words) if word in _POINT), len(words))
    for at in range(point + 3, min(len(words), end - start + 1)):
        pitched = words[at] in _OF_A_PITCH or tuple(words[at : at + 2]) in _TO_THE_INCH
        number = words[point + 2 : at]
        if pitched and number[0] in _TWO_FIGURES and len(number) < 3:  # behind one decimal
            return True
    return False


def _cuts_a_ring(tokens: tuple[Token, ...], end: int) -> bool:
    """Whether the last word is the O of a ring: "there's one o-ring" is not ten."""
    return end < len(tokens) and tokens[end - 1].text == "o" and tokens[end].text in _RINGS


def _cuts_the_other(tokens: tuple[Token, ...], end: int) -> bool:
    """Whether the last word is the other of a thing, and no other way: "forty-five, the other | one left a gap"."""
    named = end < len(tokens) and not tokens[end].paused and tokens[end - 1].text == _OTHER
    return named and tokens[end].text in _OTHERS


def _cuts_a_denial(chart: Chart, tokens: tuple[Token, ...], start: int, end: int, phrase: Phrase) -> bool:
    """Whether it is the "nothing" that denies what follows on it: "nothing | rubber"."""
    if [token.text for token in tokens[start:end]] != [_NOTHING] or end == len(tokens) or tokens[end].paused:
        return False
    return any(stop > end and other.denies for stop, other, _ in chart.match("reading", start))


def is_of(phrase: Phrase, *measurands: Measurand) -> bool:
    """Whether it says each of these."""
    said = {m for item in phrase.items if isinstance(item, Reading) for m in item.measurands}
    return said.issuperset(measurands)
