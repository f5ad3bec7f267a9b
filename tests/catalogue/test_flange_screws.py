"""Whether flange screws hold what they are said to hold, tightened as they are said to be."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from tests.catalogue.conftest import span
from voicefit.catalogue import Catalogue, figures
from voicefit.catalogue.ends import Figure
from voicefit.catalogue.figures import Figures, look_up

INCH = 25.4
NUT_FACTOR = 0.2  # torque = factor x force x diameter, dry to lightly oiled steel: common handbook value


@pytest.fixture(scope="module")
def known(texts: dict[str, str]) -> Figures:
    return figures.parse(texts)


def stress_area_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """Of a screw, ISO 898-1 and ASME B1.1: pi/4 (d - 0.9382 P)²."""
    return math.pi / 4 * (diameter_mm - 0.9382 * pitch_mm) ** 2


COARSE_MM = {8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0, 20: 2.5}  # ISO 261


def screw(figure: Figure) -> tuple[float, float]:
    """Diameter and pitch in mm of the screw that a figure holds for."""
    assert figure.holds_for is not None
    name = figure.holds_for.screw
    if name.startswith("M"):
        return float(name[1:]), COARSE_MM[int(name[1:])]
    size, tpi = name.split("-")
    return float(Fraction(size)) * INCH, INCH / int(tpi)


def test_flange_screws_stay_below_their_proof_stress(known: Figures) -> None:
    """Proof stress: ISO 898-1 class 10.9, 830 MPa; SAE J429 grade 5, 85 ksi, and grade 8, 120 ksi."""
    checked = 0
    for series in ("flange61", "flange62"):
        for dash in (8, 12, 16, 20, 24, 32, 40, 48, 56, 64, 80):
            for figure in look_up(known.torques, series, dash=dash):
                diameter, pitch = screw(figure)
                stress_mpa = figure.high * 1000 / (NUT_FACTOR * diameter) / stress_area_mm2(diameter, pitch)
                proof = 586 if "grade 5" in figure.condition else 827
                assert stress_mpa < proof, (series, dash, figure)
                checked += 1
    assert checked > 40


def test_four_flange_screws_hold_the_working_pressure(catalogue: Catalogue, known: Figures) -> None:
    """The pressure within the O-ring's outside diameter pulls on four screws: they hold it with half to spare."""
    for flange in catalogue.flanges:
        if flange.o_ring is None or flange.series == "flange-square":
            continue
        area_mm2 = math.pi / 4 * catalogue.orings[flange.o_ring].outside_diameter_mm ** 2
        _, greatest_bar = span(look_up(known.pressures, flange.series, dash=flange.dash))
        pull_n = area_mm2 * greatest_bar / 10
        for figure in look_up(known.torques, flange.series, dash=flange.dash):
            diameter, _ = screw(figure)
            clamp_n = 4 * figure.low * 1000 / (NUT_FACTOR * diameter)
            assert clamp_n > 1.5 * pull_n, (flange.id, figure)


def test_flange_torques_name_screws_of_the_flange(catalogue: Catalogue, known: Figures) -> None:
    for flange in catalogue.flanges:
        if flange.series not in ("flange61", "flange62") or not (flange.head.bolt_metric or flange.head.bolt_inch):
            continue
        own = {flange.head.bolt_inch, *(flange.head.bolt_metric or "").split(" or ")}
        found = look_up(known.torques, flange.series, dash=flange.dash)
        assert found
        for figure in found:
            assert figure.holds_for is not None and figure.holds_for.screw in own, (flange.id, figure)
