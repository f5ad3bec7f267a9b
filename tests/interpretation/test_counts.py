"""Threads counted along a length are a pitch; numbers of other things are none of ours."""

from __future__ import annotations

from fractions import Fraction

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Measurand, Reading

PITCH = Context(expected=(Measurand.PITCH,))
COUNTS = (  # {} : the count; {length}
    "{count} threads in {length}",
    "{count} over {length}",
    "I counted {count} crests along {length}",
    "in {length} I get {count}",
    "{length} has {count} in it",
    "{count} threads come to {length}",
    "{count} threads measure {length} with the ruler",
    "{count} crests across {length}",
    "{length} for {count} threads",
    "{count} threads take up about {length}",
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
    items = language.interpret(count.format(count=number, length=length), PITCH)[0].items
    (reading,) = (item for item in items if not isinstance(item, Command))
    assert isinstance(reading, Reading)
    first = reading.options[0]
    assert first.measurand is Measurand.PITCH and isinstance(first.value, Quantity)
    assert (first.value.value, first.value.unit) == (pitch, "tpi" if unit == "in" else "mm")


@pytest.mark.parametrize(
    "text", ["six threads in ten mil, or five and a half", "about six threads in ten mil, maybe five and a half"]
)
def test_of_two_counts_over_one_length_what_lies_between_is_the_pitch(language: Language, text: str) -> None:
    (reading,) = language.interpret(text, Context())[0].items
    assert isinstance(reading, Reading)
    assert {(o.measurand, getattr(o.value, "value", None)) for o in reading.options} == {
        (Measurand.PITCH, 10 / Fraction("5.75"))
    }


@pytest.mark.parametrize("text", ["threads measure fifteen mil across", "ten pitch, fifteen mil outside"])
def test_a_diameter_beside_threads_is_no_length_that_they_are_counted_along(language: Language, text: str) -> None:
    readings = [item for item in language.interpret(text, Context())[0].items if isinstance(item, Reading)]
    values = {getattr(option.value, "value", None) for reading in readings for option in reading.options}
    assert 15 in values and Fraction(3, 2) not in values


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
