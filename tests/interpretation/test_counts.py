"""Threads counted along a length are a pitch; numbers of other things are none of ours."""

from __future__ import annotations

from fractions import Fraction

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Context, Measurand, Reading

PITCH = Context(expected=(Measurand.PITCH,))
COUNTS = (  # {} : the count; {length}
    "{count} threads in {length}",
    "{count} over {length}",
    "I counted {count} crests along {length}",
    "in {length} I get {count}",
    "{length} has {count} in it",
)
LENGTHS = {
    "half an inch": ("in", Fraction(1, 2)),
    "an inch": ("in", Fraction(1)),
    "ten millimeters": ("mm", Fraction(10)),
}
NUMBERS = {"seven": 7, "eight": 8, "five": 5}
OTHERS = (
    "the thirty tonne dozer",
    "he waited twelve minutes",
    "it cost him ninety dollars",
    "a nineteen eighty-four model",
    "we are sixteen on the crew",
    "eighteen of those to go",
)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("count", COUNTS)
def test_a_count_over_a_length_is_a_pitch(language: Language, count: str, length: str, number: str) -> None:
    """By arithmetic: threads per inch, or millimeters a thread."""
    unit, value = LENGTHS[length]
    pitch = NUMBERS[number] / value if unit == "in" else value / NUMBERS[number]
    (reading,) = language.interpret(count.format(count=number, length=length), PITCH)[0].items
    assert isinstance(reading, Reading)
    first = reading.options[0]
    assert first.measurand is Measurand.PITCH and isinstance(first.value, Quantity)
    assert (first.value.value, first.value.unit) == (pitch, "tpi" if unit == "in" else "mm")


@pytest.mark.parametrize("text", OTHERS)
def test_what_counts_other_things_is_no_reading(language: Language, text: str) -> None:
    items = language.interpret(text)[0].items
    assert not any(isinstance(item, Reading) for item in items), items


def test_how_old_one_is_answers_no_question(language: Language) -> None:
    (item,) = language.interpret("I am thirty", Context(expected=(Measurand.SEAT_ANGLE,)))[0].items
    assert not isinstance(item, Reading)


def test_a_number_is_not_cut_by_an_alternative(language: Language) -> None:
    (reading,) = language.interpret("thirty seven or forty five", Context(expected=(Measurand.SEAT_ANGLE,)))[0].items
    assert isinstance(reading, Reading)
    values = {option.value.value for option in reading.options if isinstance(option.value, Quantity)}
    assert values.isdisjoint({30, 7})
