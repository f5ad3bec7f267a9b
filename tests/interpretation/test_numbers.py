"""Number -> words -> number, in every way of saying one, and the joint inference of units left unsaid."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicefit.interpretation import Language
from voicefit.interpretation.spelling import (
    Style,
    say_decimal,
    say_digits,
    say_number,
    say_quantity,
)
from voicefit.quantities import Quantity, Unit, inches, millimetres
from voicefit.records import Context, Meaning, Measurand, Reading

FEW = settings(max_examples=30, deadline=None)

fractions = st.sampled_from([2, 4, 8, 16, 32, 64]).flatmap(
    lambda bottom: st.integers(1, bottom * 3).map(lambda top: Fraction(top, bottom))
)
tenths = st.integers(50, 1200).map(lambda value: Fraction(value, 10))
hundredths = st.integers(500, 12000).map(lambda value: Fraction(value, 100))


def values(found: Meaning, measurand: Measurand) -> list[Quantity]:
    return [
        option.value
        for item in found.items
        if isinstance(item, Reading)
        for option in item.options
        if option.measurand is measurand and isinstance(option.value, Quantity)
    ]


def heard(language: Language, text: str, measurand: Measurand) -> Quantity:
    """The one value of that measurand in the likeliest meaning."""
    found = language.interpret(text, Context())[0]
    assert len(found.items) == 1, (text, found.items)
    (value,) = values(found, measurand)
    return value


@FEW
@given(value=fractions.filter(lambda value: Fraction(3, 16) <= value))
def test_fractions_of_an_inch(language: Language, value: Fraction) -> None:
    for text in (f"outside {say_number(value)}", f"outside {say_number(value).replace('-', ' ')} inch"):
        found = heard(language, text, Measurand.OUTSIDE_DIAMETER)
        assert (found.value, found.unit) == (value, Unit.INCH)
        assert found.resolution == min(Fraction(1, 16), Fraction(1, value.denominator))


@FEW
@given(value=fractions.filter(lambda value: Fraction(3, 16) <= value))
def test_fractions_in_digits(language: Language, value: Fraction) -> None:
    whole, part = divmod(value, 1)
    if part:
        before = f"{whole}-" if whole else ""
        text = f"outside {before}{part.numerator}/{part.denominator}"
        assert heard(language, text, Measurand.OUTSIDE_DIAMETER).value == value


@FEW
@given(value=st.one_of(tenths, hundredths))
def test_millimetres(language: Language, value: Fraction) -> None:
    text = f"outside {say_decimal(value)} millimeters"
    found = heard(language, text, Measurand.OUTSIDE_DIAMETER)
    assert (found.value, found.unit) == (value, Unit.MILLIMETRE)
    assert found.resolution in (Fraction(1), Fraction(1, 10), Fraction(1, 100))
    assert (value / found.resolution).denominator == 1
    assert heard(language, f"outside {float(value)}mm", Measurand.OUTSIDE_DIAMETER).value == value


@FEW
@given(thousandths=st.integers(200, 999))
def test_thousandths_of_an_inch_are_one_value_in_all_ways(language: Language, thousandths: int) -> None:
    figures = f"{thousandths:03d}"
    value = Fraction(thousandths, 1000)
    ways = [
        f"outside {say_decimal(value)} inches",
        f"outside point {say_digits(thousandths)}",
        f"outside {say_number(thousandths)} thou",
        f"outside {say_digits(thousandths)} thousandths",
        f"outside 0.{figures}",
    ]
    if figures[1] != "0":
        ways.append(f"outside {say_number(int(figures[0]))} {say_number(int(figures[1:]))} thou")
    for text in ways:
        found = heard(language, text, Measurand.OUTSIDE_DIAMETER)
        assert (found.value, found.unit) == (value, Unit.INCH), text


@FEW
@given(value=st.integers(1, 30_000))
def test_whole_numbers(language: Language, value: int) -> None:
    if value >= 10:
        assert heard(language, f"pressure {say_number(value)} psi", Measurand.PRESSURE).value == value
    if value >= 50:
        assert heard(language, f"length {value} millimeters", Measurand.LENGTH).value == value


@FEW
@given(value=st.integers(-60, 300))
def test_temperatures_below_zero_too(language: Language, value: int) -> None:
    text = say_quantity(Quantity(Fraction(value), Unit.CELSIUS), Measurand.TEMPERATURE)
    assert heard(language, text, Measurand.TEMPERATURE).value == value


@FEW
@given(value=st.integers(10, 119))
def test_digit_by_digit(language: Language, value: int) -> None:
    assert heard(language, f"outside {say_digits(value)} millimeters", Measurand.OUTSIDE_DIAMETER).value == value


@pytest.mark.parametrize("pitch", ["8", "10", "11", "11.5", "12", "14", "16", "18", "19", "20", "24", "27", "28"])
def test_threads_per_inch(language: Language, pitch: str) -> None:
    quantity = Quantity(Fraction(pitch), Unit.THREADS_PER_INCH)
    for style in Style:
        text = say_quantity(quantity, Measurand.PITCH, style).partition(":")[0]
        text += " pitch" if style is Style.SHORT else ""
        assert heard(language, text, Measurand.PITCH) == quantity


@pytest.mark.parametrize("pitch", ["0.75", "1", "1.25", "1.5", "1.75", "2", "2.5", "3"])
def test_pitches_in_millimetres(language: Language, pitch: str) -> None:
    quantity = Quantity(Fraction(pitch), Unit.MILLIMETRE)
    assert heard(language, say_quantity(quantity, Measurand.PITCH), Measurand.PITCH) == quantity
    if quantity.value >= 1:  # nobody says "three-quarters pitch"
        assert heard(language, f"{say_number(quantity.value)} pitch", Measurand.PITCH) == quantity


@pytest.mark.parametrize(
    ("designation", "words", "size", "pitch"),
    [
        ("G3/8", "G three-eighths", inches("3/8"), None),
        ("9/16-18 UNF", "nine-sixteenths eighteen U N F", inches("9/16"), "18"),
        ("1-5/16-12 UN", "one and five-sixteenths twelve U N", inches("1-5/16"), "12"),
        ("1/2-14 NPT", "one-half fourteen N P T", inches("1/2"), "14"),
        ("M18×1.5", "M eighteen by one and a half", millimetres("18"), "1.5"),
        ("M22x1.5", "M twenty-two by one and a half", millimetres("22"), "1.5"),
        ("R3/4", "R three-quarters", inches("3/4"), None),
        ("1-11 1/2 NPT", "one eleven and a half N P T", inches("1"), "11.5"),
    ],
)
def test_designations(language: Language, designation: str, words: str, size: Quantity, pitch: str | None) -> None:
    for text in (words, designation):
        found = language.interpret(text, Context())[0]
        assert [value.value for value in values(found, Measurand.THREAD_SIZE)] == [size.value], text
        assert [value.value for value in values(found, Measurand.PITCH)] == ([Fraction(pitch)] if pitch else []), text


@pytest.mark.parametrize(
    ("quantity", "measurand", "style", "words"),
    [
        (inches("19/32", Fraction(1, 32)), None, Style.FULL, "nineteen thirty-seconds of an inch"),
        (inches("19/32", Fraction(1, 32)), None, Style.SHORT, "nineteen thirty-seconds"),
        (inches("3/8", Fraction(1, 16)), None, Style.FULL, "three-eighths of an inch"),
        (inches("21/16", Fraction(1, 16)), None, Style.FULL, "one and five-sixteenths inches"),
        (inches("1"), None, Style.FULL, "one inch"),
        (inches("0.594", Fraction(1, 1000)), None, Style.FULL, "point five nine four inch"),
        (inches("0.625", Fraction(1, 1000)), None, Style.FULL, "point six two five inch"),
        (millimetres("15.1", Fraction(1, 10)), None, Style.FULL, "fifteen point one millimeters"),
        (millimetres("15"), None, Style.DIGITS, "fifteen millimeters: one five"),
        (millimetres("1.5"), Measurand.PITCH, Style.FULL, "one point five pitch"),
        (millimetres("2"), Measurand.PITCH, Style.FULL, "two millimeter pitch"),
        (Quantity(Fraction(19), Unit.THREADS_PER_INCH), None, Style.FULL, "nineteen threads per inch"),
        (Quantity(Fraction(6), Unit.COUNT), Measurand.DASH, Style.FULL, "dash six"),
        (Quantity(Fraction(30), Unit.DEGREE), None, Style.FULL, "thirty degrees"),
        (Quantity(Fraction(250), Unit.BAR), None, Style.FULL, "two hundred fifty bar"),
        (Quantity(Fraction(3000), Unit.PSI), None, Style.FULL, "three thousand P S I"),
        (Quantity(Fraction(-40), Unit.CELSIUS), None, Style.DIGITS, "minus forty degrees celsius: minus four zero"),
    ],
)
def test_quantities(quantity: Quantity, measurand: Measurand | None, style: Style, words: str) -> None:
    assert say_quantity(quantity, measurand, style) == words
