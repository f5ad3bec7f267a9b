"""What can be one number is taken as one, whatever was asked: a question is answered once, not by each piece."""

from __future__ import annotations

from fractions import Fraction

import pytest

from voicefit.interpretation import Language
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
