"""Units of the trade against a general library of units, and exact numbers as people and tables write them."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from pydantic import TypeAdapter, ValidationError

from voicefit.quantities import Exact, Quantity, Unit, exact, inches, millimetres, written

PINT = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("unit", "name"),
    [(Unit.INCH, "inch"), (Unit.MILLIMETRE, "millimeter"), (Unit.FOOT, "foot"), (Unit.METRE, "meter")],
)
def test_lengths(unit: Unit, name: str) -> None:
    quantity = Quantity(Fraction(19, 32), unit, Fraction(1, 32))
    assert quantity.is_length
    assert float(quantity.mm) == pytest.approx(PINT.Quantity(19 / 32, name).to("mm").magnitude, rel=1e-12)
    assert quantity.resolution_mm is not None
    assert quantity.resolution_mm * 19 == quantity.mm == quantity.pitch_mm  # a length may be a pitch
    assert Quantity(Fraction(1), unit).resolution_mm is None


@pytest.mark.parametrize(("unit", "name"), [(Unit.BAR, "bar"), (Unit.MEGAPASCAL, "megapascal"), (Unit.PSI, "psi")])
def test_pressures(unit: Unit, name: str) -> None:
    """3000 psi is 206.8 bar, 25 MPa is 250 bar."""
    assert float(Quantity(Fraction(3000), unit).bar) == pytest.approx(PINT.Quantity(3000, name).to("bar").magnitude)


@pytest.mark.parametrize(("unit", "name"), [(Unit.CELSIUS, "degC"), (Unit.FAHRENHEIT, "degF")])
@pytest.mark.parametrize("value", [-40, 0, 212])
def test_temperatures(unit: Unit, name: str, value: int) -> None:
    celsius = Quantity(Fraction(value), unit).celsius
    assert float(celsius) == pytest.approx(PINT.Quantity(value, name).to("degC").magnitude, abs=1e-9)


def test_a_pitch_in_threads_per_inch() -> None:
    """ISO 228-1: 19 threads per inch are 1.337 mm, 11 are 2.309 mm."""
    for tpi, pitch_mm in ((19, 1.337), (11, 2.309)):
        assert float(Quantity(Fraction(tpi), Unit.THREADS_PER_INCH).pitch_mm) == pytest.approx(pitch_mm, abs=0.0005)


@pytest.mark.parametrize("what", ["mm", "bar", "celsius", "pitch_mm"])
def test_what_it_is_not_is_refused(what: str) -> None:
    angle = Quantity(Fraction(37), Unit.DEGREE)
    assert not angle.is_length
    with pytest.raises(ValueError, match="deg is not a"):
        getattr(angle, what)


@pytest.mark.parametrize(
    ("text", "number"),
    [("13/16", Fraction(13, 16)), ("1-5/16", Fraction(21, 16)), (" 1 5/16 ", Fraction(21, 16)), ("0.594", "0.594")],
)
def test_numbers_as_they_are_written(text: str, number: Fraction | str) -> None:
    assert exact(text) == written(text) == Fraction(number)
    assert inches(text, Fraction(1, 8)) == Quantity(Fraction(number), Unit.INCH, Fraction(1, 8))
    assert millimetres(text) == Quantity(Fraction(number), Unit.MILLIMETRE)


@pytest.mark.parametrize("text", ["", "five", "1/0", "1-1/0", "1//2", "1 2 3"])
def test_what_is_no_number_says_what_one_looks_like(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a number such as 13/16, 1-5/16 or 15\.1"):
        written(text)


def test_an_exact_number_in_a_document() -> None:
    adapter = TypeAdapter(Exact)
    assert adapter.json_schema() == {"type": "string", "format": "fraction"}
    for given, number in (("-13/16", Fraction(-13, 16)), ("-5", Fraction(-5)), ("1 5/16", Fraction(21, 16)), (7, 7)):
        assert adapter.validate_python(given) == number
    for wrong in (True, 0.1, None, "x"):
        with pytest.raises(ValidationError):
            adapter.validate_python(wrong)
