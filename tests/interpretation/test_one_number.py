"""What can be one number is taken as one, whatever was asked: a question is answered once, not by each piece."""

from __future__ import annotations

from fractions import Fraction

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Context, Measurand, Reading

NUMBERS = {
    "length seven hundred fifty millimeters": "750",
    "length seven hundred and fifty millimeters": "750",
    "seven hundred and fifty millimeters": "750",
    "twelve hundred and fifty millimeters": "1250",
    "two thousand one hundred and fifty millimeters": "2150",
    "one meter fifty": "1500",
    "seven fifty millimeters": "750",
    "outside point five five four": "0.554",
    "point five five four inch": "0.554",
    "outside fifteen point zero five": "15.05",
    "outside one and five sixteenths": "21/16",
}


ASKED = (
    None, Measurand.LENGTH, Measurand.HOSE_BORE, Measurand.OUTSIDE_DIAMETER, Measurand.PITCH, Measurand.DASH
)  # fmt: skip
# "seven fifty" is 750 of a length alone: of a diameter it may be 7.50.
CASES = [(t, a) for t in NUMBERS for a in ASKED if a is Measurand.LENGTH or not t.startswith("seven fifty")]


@pytest.mark.parametrize(("text", "asked"), CASES)
def test_one_number_stays_one(language: Language, text: str, asked: Measurand | None) -> None:
    context = Context(expected=() if asked is None else (asked,))
    (item,) = language.interpret(text, context)[0].items
    assert isinstance(item, Reading)
    values = {option.value.value for option in item.options if hasattr(option.value, "value")}
    assert Fraction(NUMBERS[text]) in values


POINTLESS = {
    "eighteen ninety five outside": {"18.95", "1.895"},
    "inside eighteen nine five": {"18.95"},
    "inside twenty two oh five": {"22.05"},
    "outside twenty oh five": {"20.05"},
    "tube sixteen oh two": {"16.02"},
    "head forty seven six": {"47.6"},
    "the bolts fifty seven": {"57"},
    "outside ten sixty two": {"10.62", "1.062"},
    "outside eleven sixteen": {"11/16"},
}


@pytest.mark.parametrize("text", POINTLESS)
def test_without_a_point_it_is_still_one_number(language: Language, text: str) -> None:
    found = [meaning.items for meaning in language.interpret(text, Context())]
    assert len(found[0]) == 1
    readings = [item for items in found for item in items if len(items) == 1 and isinstance(item, Reading)]
    values = {o.value.value for reading in readings for o in reading.options if isinstance(o.value, Quantity)}
    assert values >= {Fraction(each) for each in POINTLESS[text]}


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("bolts fifty two twenty six", ["52", "26"]),
        ("bolts fifty two point four twenty six point two", ["52.4", "26.2"]),
        ("M twenty two one five", ["22", "1.5"]),
    ],
)
def test_two_numbers_stay_two(language: Language, text: str, values: list[str]) -> None:
    items = [item for item in language.interpret(text, Context())[0].items if isinstance(item, Reading)]
    found = [item.options[0].value.value for item in items if isinstance(item.options[0].value, Quantity)]
    assert found == [Fraction(each) for each in values]


def test_an_exclamation_is_no_nought(language: Language) -> None:
    for text in ("oh", "male, oh", "o"):
        assert not any(
            isinstance(i, Reading) and Measurand.TEMPERATURE in i.measurands
            for meaning in language.interpret(text, Context())
            for i in meaning.items
        )


def test_a_loose_value_said_finer_is_one_reading(language: Language) -> None:
    port = Context(expected=(Measurand.INSIDE_DIAMETER,))
    for text, value in (
        ("almost sixteen outside, like fifteen point eight", "15.8"),
        ("about three quarters outside, point seven four five", "0.745"),
    ):
        (item,) = language.interpret(text, port)[0].items
        assert isinstance(item, Reading) and item.measurands == {Measurand.OUTSIDE_DIAMETER}
        assert isinstance(item.options[0].value, Quantity) and item.options[0].value.value == Fraction(value)
    assert len(language.interpret("about nineteen outside, nineteen", Context())[0].items) == 2  # a pitch


def test_a_number_behind_a_pause_is_no_name_of_a_place(language: Language) -> None:
    items = language.interpret("o-ring in the face, twenty five three outside", Context())[0].items
    values = [
        o.value.value for i in items if isinstance(i, Reading) for o in i.options if isinstance(o.value, Quantity)
    ]
    assert values == [Fraction("25.3")]
