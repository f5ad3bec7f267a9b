"""A question that offers two names of one thing of an end: "what's in the nut, a cone or a flat face", "has it got an
O-ring or a cone".

Duty: the two that are named. Which end is asked about, and which of the two it has, is for the dialogue.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.tokens import Token
from voicefit.records import Measurand, Reading

_OR = "or"
_SEATS = frozenset({Measurand.SEAT_FORM, Measurand.SEAL})  # "an O-ring or a cone"
_THINGS = frozenset({Measurand.GENDER, *_SEATS})


def either(tokens: Sequence[Token], chart: Chart) -> tuple[Reading, ...]:
    """The two readings on either side of an "or"; nothing where none is between two names of one thing."""
    for at in (at for at, token in enumerate(tokens) if token.text == _OR):
        before = [reading for start in range(at) for reading in _said(chart, start, at)]
        behind = [reading for end in range(len(tokens), at + 1, -1) for reading in _said(chart, at + 1, end)]
        pairs = (pair for pair in product(before, behind) if _of_one_thing(*pair))
        if pair := next(pairs, None):
            return pair
    return ()


def _said(chart: Chart, start: int, end: int) -> list[Reading]:
    """What the phrases say that take these words and name one thing."""
    found = [phrase.items for stop, phrase, _ in chart.match("reading", start) if stop == end]
    return [items[0] for items in found if len(items) == 1 and isinstance(items[0], Reading)]


def _of_one_thing(first: Reading, second: Reading) -> bool:
    one, two = first.measurands, second.measurands
    alike = one == two or one | two <= _SEATS
    return alike and one | two <= _THINGS and first.options != second.options


def chooses(reading: Reading) -> bool:
    """Whether it leaves two names of one thing open: "is it male or female"."""
    names = [option.measurand for option in reading.options if isinstance(option.value, str)]
    return "or" in reading.heard.split() and len(set(names)) < len(names)
