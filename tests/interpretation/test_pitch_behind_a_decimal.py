"""A decimal ends where the number of a pitch begins: "twenty point five sixteen pitch" is two readings."""

from __future__ import annotations

from fractions import Fraction

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Context, Reading


def values(language: Language, text: str) -> list[Fraction]:
    items = language.interpret(text, Context())[0].items
    assert all(isinstance(item, Reading) for item in items)
    first = [item.options[0].value for item in items if isinstance(item, Reading)]
    return [value.value for value in first if isinstance(value, Quantity)]


@pytest.mark.parametrize(
    ("text", "diameter", "pitch"),
    [
        ("outside twenty point five sixteen pitch", "20.5", 16),
        ("fourteen point two eighteen per inch", "14.2", 18),
        ("inside eighteen point six nineteen pitch", "18.6", 19),
        ("outside twelve point nine twenty four threads per inch", "12.9", 24),
        ("outside point five nine four eighteen pitch", "0.594", 18),
    ],
)
def test_the_pitch_is_a_reading_of_its_own(language: Language, text: str, diameter: str, pitch: int) -> None:
    assert values(language, text) == [Fraction(diameter), pitch]


@pytest.mark.parametrize(
    ("text", "value"), [("outside point five ninety four", "0.594"), ("one point seventy five pitch", "1.75")]
)
def test_a_decimal_of_two_figures_stays_whole(language: Language, text: str, value: str) -> None:
    assert values(language, text) == [Fraction(value)]
