"""The library for other programs: typed readings in, a typed result out."""

from __future__ import annotations

import doctest
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest

import voicefit
from voicefit import identify, public
from voicefit.errors import BadInput
from voicefit.quantities import Quantity, Unit, inches, millimetres
from voicefit.records import Measurand, Option, Reading
from voicefit.resources import data_folder

UNITS = pint.UnitRegistry()


def test_the_example_in_the_docstring_runs() -> None:
    assert doctest.testmod(public).attempted > 5
    assert doctest.testmod(public).failed == 0


def test_alternatives_with_weights_come_in_as_a_reading() -> None:
    """ "Fifteen" or "fifty", both heard: what fits the rest is taken. G3/8 has a minor diameter of 14.95 mm."""
    heard = Reading(
        "fifteen millimeters",
        tuple(
            Option(Measurand.INSIDE_DIAMETER, millimetres(value, Fraction(1)), log_prior)
            for value, log_prior in (("15", -1.1), ("50", -0.4))
        ),
    )
    best = identify([heard, ("pitch", "19 tpi"), ("seat_form", "recessed"), ("thread_side", "internal")]).best
    assert best is not None and best.thread == "G3/8"


def test_a_shop_that_sees_mostly_one_family_says_so_in_a_table(tmp_path: Path) -> None:
    """The prior leads to another first candidate; what no check excluded stays within reach all the same."""
    shipped = (data_folder() / "prior.toml").read_text(encoding="utf-8")
    mine = '[series]\nflare45 = { value = 200.0, source = "our year", basis = "common practice" }\n'
    text = shipped.replace("[series]\n", mine, 1)
    text = "\n".join(line for line in text.splitlines() if not line.startswith("flare45 = { value = 0.7"))
    (tmp_path / "prior.toml").write_text(text, encoding="utf-8")
    readings = {"outside_diameter": "3/4 in", "pitch": "16 tpi", "seat_form": "convex", "gender": "male"}
    shop, anyone = identify(readings, tables=tmp_path), identify(readings)
    assert anyone.best is not None and anyone.best.series == "flare37"
    assert shop.best is not None and shop.best.series == "flare45"
    assert not shop.identified and "flare37/8/male" in shop.look_alikes
    with pytest.raises(BadInput, match="is not a folder"):
        identify(readings, tables=tmp_path / "nowhere")


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("outside_diameter", "19/32 in", inches("19/32", Fraction(1, 32))),
        ("outside_diameter", "1 5/16 in", inches("1 5/16", Fraction(1, 16))),
        ("outside_diameter", "0.594 in", inches("0.594", Fraction(1, 1000))),
        ("outside_diameter", "15.1 mm", millimetres("15.1", Fraction(1, 10))),
        ("outside_diameter", UNITS.Quantity(15.1, "mm"), millimetres("15.1", Fraction(1, 10))),
        ("outside_diameter", UNITS.Quantity(0.594, "inch"), inches("0.594", Fraction(1, 1000))),
        ("outside_diameter", UNITS.Quantity(1.51, "cm"), millimetres("15.1")),
        ("outside_diameter", inches("9/16"), inches("9/16")),
        ("pitch", "19 tpi", Quantity(Fraction(19), Unit.THREADS_PER_INCH)),
        ("pitch", "11.5 tpi", Quantity(Fraction(23, 2), Unit.THREADS_PER_INCH)),
        ("pitch", UNITS.Quantity(19, "1/inch"), Quantity(Fraction(19), Unit.THREADS_PER_INCH)),
        ("pitch", UNITS.Quantity(1.5, "mm"), millimetres("1.5", Fraction(1, 10))),
        ("seat_angle", "37°", Quantity(Fraction(37), Unit.DEGREE, Fraction(1))),
        ("seat_angle", UNITS.Quantity(30, "degree"), Quantity(Fraction(30), Unit.DEGREE)),
        ("dash", 6, Quantity(Fraction(6), Unit.COUNT)),
        ("seat_form", "recessed", "recessed"),
    ],
)
def test_values_come_in_exactly(name: str, value: Any, expected: Any) -> None:
    [option] = public._taken((name, value)).options
    assert option.value == expected


def test_text_pint_and_quantity_give_one_answer() -> None:
    by_text = identify(outside_diameter="15.1 mm", pitch="19 tpi")
    by_pint = identify(outside_diameter=UNITS.Quantity(15.1, "mm"), pitch=UNITS.Quantity(19, "1/inch"))
    by_type = identify({"outside_diameter": millimetres("15.1", Fraction(1, 10)), "pitch": "19 tpi"})
    assert by_text == by_pint == by_type


@pytest.mark.parametrize(
    ("readings", "names"),
    [
        ({"width": "3 mm"}, "'width' is no measurand"),
        ({"outside_diameter": 15.1}, "has no unit"),
        ({"outside_diameter": "15.1"}, "not a number with"),
        ({"outside_diameter": "1/0 in"}, "not a number"),
        ({"outside_diameter": "-3 mm"}, "not a number"),
        ({"outside_diameter": "0 mm"}, "not above zero"),
        ({"outside_diameter": UNITS.Quantity(3, "kg")}, "neither a length, a pitch nor an angle"),
        ({"pitch": "30 deg"}, "not a pitch"),
        ({"seat_form": "crooked"}, "none of convex"),
        ({"seat_form": 3}, "no word"),
    ],
)
def test_a_bad_value_is_named(readings: dict[str, Any], names: str) -> None:
    with pytest.raises(BadInput, match=names):
        identify(readings)


def test_unavailable_checks_are_not_asked() -> None:
    first = identify(pitch="19 tpi").next_check
    assert first is not None
    second = identify(pitch="19 tpi", unavailable=[first.id]).next_check
    assert second is not None and second.id != first.id


def test_importing_the_package_loads_nothing() -> None:
    code = "import sys, voicefit; voicefit.__version__; print('numpy' in sys.modules or 'pint' in sys.modules)"
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ended.stdout.strip() == "False"
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = voicefit.nothing


def test_identify_refuses_a_sentence_by_name() -> None:
    with pytest.raises(BadInput, match="a sentence is for ask"):
        identify("outside nineteen thirty-seconds")
