"""Hoses by what was said, and assemblies judged, against published values."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from voicefit.errors import BadTable
from voicefit.ordering.assembly import Fault, least_length, length_tolerances, most_turn, tolerances_from
from voicefit.ordering.hose import HoseFacts, Topic, facts_from, fitting
from voicefit.ordering.room import Ordering
from voicefit.quantities import Quantity, Unit, inches, millimetres
from voicefit.records import Measurand, Option


def said(measurand: Measurand, value: Quantity | str) -> Option:
    return Option(measurand, value)


def test_the_interview_asks_in_the_trades_order() -> None:
    assert HoseFacts().missing == tuple(Topic)
    facts = HoseFacts(dash=8, temperature_c=(80.0,), fluid="mineral-oil", ends=("a", "b"))
    assert facts.missing == (Topic.LENGTH, Topic.APPLICATION, Topic.PRESSURE, Topic.DELIVERY)


def test_readings_become_facts_the_last_counts() -> None:
    facts = facts_from(
        [
            said(Measurand.HOSE_TYPE, "en-853-2sn"),
            said(Measurand.DASH, Quantity(Fraction(8), Unit.COUNT)),
            said(Measurand.LENGTH, inches("29 1/2")),
            said(Measurand.LENGTH, millimetres("750")),
            said(Measurand.PRESSURE, Quantity(Fraction(3000), Unit.PSI)),
            said(Measurand.TEMPERATURE, Quantity(Fraction(212), Unit.FAHRENHEIT)),
            said(Measurand.TEMPERATURE, Quantity(Fraction(-20), Unit.CELSIUS)),
            said(Measurand.ELBOW_ANGLE, Quantity(Fraction(90), Unit.DEGREE)),
            said(Measurand.REINFORCEMENT, "two_wire_braids"),
            Option(Measurand.HOSE_BORE, millimetres("10"), negated=True),
        ]
    )
    assert (facts.hose_type, facts.dash, facts.length_mm, facts.elbow_angle_deg) == ("en-853-2sn", 8, 750.0, 90.0)
    assert facts.pressure_bar == pytest.approx(206.84, abs=0.01)
    assert facts.temperature_c == (100.0, -20.0)
    assert facts.reinforcement == {"two_wire_braids"} and facts.bore_mm is None
    way = facts_from(
        [
            said(Measurand.HOSE_BORE, inches("1/2")),
            said(Measurand.HOSE_OUTSIDE_DIAMETER, inches("1")),
            said(Measurand.ROUTE_BEND, Quantity(Fraction(180), Unit.DEGREE)),
            said(Measurand.ROUTE_RADIUS, inches("10")),
        ]
    )
    assert (way.bore_mm, way.outside_mm, way.routed_bend_deg, way.routed_radius_mm) == (12.7, 25.4, 180.0, 254.0)
    assert {Topic.SIZE, Topic.TEMPERATURE} & set(facts_from([said(Measurand.HOSE_BORE, inches("1/2"))]).missing) == {
        Topic.TEMPERATURE
    }


@pytest.mark.parametrize(
    ("type_id", "dash", "pressure_bar", "bend_mm"),
    [
        # EN 853:1996, 2SN: DN 6 400 bar 100 mm, DN 12 275 bar 180 mm, DN 25 165 bar 300 mm; 1SN: DN 10 180 bar 130 mm
        ("en-853-2sn", 4, 400, 100),
        ("en-853-2sn", 8, 275, 180),
        ("en-853-2sn", 16, 165, 300),
        ("en-853-1sn", 6, 180, 130),
        # EN 856:1996, 4SP: DN 12 415 bar 230 mm; 4SH: DN 25 380 bar 340 mm
        ("en-856-4sp", 8, 415, 230),
        ("en-856-4sh", 16, 380, 340),
    ],
)
def test_a_layline_finds_its_hose(
    type_id: str, dash: int, pressure_bar: float, bend_mm: float, ordering: Ordering
) -> None:
    (hose,) = ordering.hoses(HoseFacts(hose_type=type_id, dash=dash))
    assert (hose.pressure_bar, hose.bend_radius_mm) == (pressure_bar, bend_mm)
    assembly = ordering.assess(hose, HoseFacts())
    assert assembly.design_factor == 4  # burst to working pressure, EN 853 and EN 856
    assert assembly.burst_bar == 4 * pressure_bar
    assert assembly.rating.bar == pressure_bar and assembly.rating.weakest == hose.id


def test_bore_and_reinforcement_find_the_hose_without_a_layline(ordering: Ordering) -> None:
    # a cut hose: 12.8 mm bore, two wire braids, 22.5 mm over the cover: EN 853 2SN DN 12 is 12.3 to 13.5 and at most 23
    facts = HoseFacts(bore_mm=12.8, reinforcement=frozenset({"two_wire_braids"}), outside_mm=22.5)
    found = ordering.hoses(facts)
    assert "en-853-2sn" in {hose.type.id for hose in found}
    assert {hose.dash for hose in found} == {8}
    one_braid = ordering.hoses(HoseFacts(bore_mm=12.8, reinforcement=frozenset({"one_wire_braid"})))
    assert "en-853-2sn" not in {hose.type.id for hose in one_braid}


def test_a_hose_that_holds_less_or_is_too_cold_is_not_offered(ordering: Ordering) -> None:
    strong = ordering.hoses(HoseFacts(dash=8, pressure_bar=300))
    assert strong and all(hose.pressure_bar >= 300 for hose in strong)
    assert all(hose.type.temperature_c[1] >= 120 for hose in ordering.hoses(HoseFacts(dash=8, temperature_c=(120.0,))))
    assert ordering.hoses(HoseFacts(dash=8, pressure_bar=5000)) == ()


@pytest.mark.parametrize(
    ("practice", "dn", "length_mm", "plus_mm", "minus_mm"),
    [
        # DIN 20066, up to DN 25: 630 mm +7 -3, 1250 +12 -4, 2500 +20 -6, 8000 +1.5 % -0.5 %, over +3 % -1 %
        ("DIN 20066", 12, 630, 7, 3),
        ("DIN 20066", 12, 631, 12, 4),
        ("DIN 20066", 25, 2500, 20, 6),
        ("DIN 20066", 12, 4000, 60, 20),
        ("DIN 20066", 12, 10_000, 300, 100),
        ("DIN 20066", 32, 600, 12, 4),
        # SAE J517: up to 12 in 1/8, 18 in 3/16, 36 in 1/4, over 1 %, either way
        ("SAE J517", 12, 12 * 25.4, 25.4 / 8, 25.4 / 8),
        ("SAE J517", 12, 18 * 25.4, 25.4 * 3 / 16, 25.4 * 3 / 16),
        ("SAE J517", 12, 36 * 25.4, 25.4 / 4, 25.4 / 4),
        ("SAE J517", 12, 2000, 20, 20),
    ],
)
def test_length_tolerances(
    practice: str, dn: int, length_mm: float, plus_mm: float, minus_mm: float, ordering: Ordering
) -> None:
    (found,) = [t for t in length_tolerances(ordering.length_tolerances, length_mm, dn) if t.practice == practice]
    assert (found.plus_mm, found.minus_mm) == (pytest.approx(plus_mm), pytest.approx(minus_mm))


def test_each_practice_says_one_thing_of_every_length(ordering: Ordering) -> None:
    for dn in (6, 25, 32, 51):
        for length in (1, 304.8, 304.9, 457.2, 630, 914.4, 1250, 2500, 2501, 8000, 20_000):
            found = [t.practice for t in length_tolerances(ordering.length_tolerances, length, dn)]
            assert found == ["DIN 20066", "SAE J517"], (dn, length)


def test_bend(ordering: Ordering) -> None:
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-853-2sn", dash=8))
    outside = hose.outside_diameter_mm
    assert outside is not None
    back = least_length(hose)  # a half circle on the hose's middle, and one and a half diameters straight at either end
    assert back == pytest.approx(math.pi * (180 + outside / 2) + 3 * outside)
    assert least_length(hose, 90) < back < least_length(hose, radius_mm=200)


@pytest.mark.parametrize(
    ("length_mm", "turns_deg"),
    [(0, 0), (71, 0), (72, 0), (400, 98), (700, 188), (1277, 360), (5000, 360)],  # three diameters of 23.8 are straight
)
def test_how_far_a_length_turns(length_mm: float, turns_deg: float, ordering: Ordering) -> None:
    """EN 853 2SN DN 12: bend radius 180 mm, 23.8 mm outside at most (memory); straight ends by DIN 20066 (memory)."""
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-853-2sn", dash=8))
    assert most_turn(hose, length_mm) == pytest.approx(turns_deg, abs=1.5)
    if 0 < turns_deg < 360:
        assert least_length(hose, most_turn(hose, length_mm)) == pytest.approx(length_mm)
    bare = replace(hose, outside_limits_mm=(None, None), outside_nominal_mm=None)  # then twice its bore
    assert least_length(bare, 0.0) == pytest.approx(3 * 2 * hose.bore_mm)


def test_those_nearest_the_measured_bore_come_first_then_the_weakest(ordering: Ordering) -> None:
    found = ordering.hoses(HoseFacts(bore_mm=10.0))  # three eighths, or 13/32
    order = [(round(abs(hose.bore_mm - 10.0), 1), hose.pressure_bar) for hose in found]
    assert order == sorted(order) and len({apart for apart, _ in order}) == 2 and len(set(order)) > 5


@pytest.mark.parametrize(
    ("limits", "nominal", "measured", "fits"),
    [
        ((None, None), None, 40.0, True),  # nothing is known of it: nothing speaks against it
        ((None, None), 20.0, 20.9, True),
        ((None, None), 20.0, 21.1, False),
        ((None, None), 20.0, 18.9, False),
        ((None, 22.0), 20.0, 22.9, True),
        ((None, 22.0), 20.0, 18.1, True),  # a greatest alone: down to the nominal, and twice the slack
        ((None, 22.0), 20.0, 17.9, False),
        ((None, 22.0), None, 10.0, True),
        ((18.0, None), None, 17.1, True),
        ((18.0, None), None, 16.9, False),
        ((18.0, None), None, 60.0, True),
    ],
)
def test_a_cover_fits_what_is_known_of_it(
    limits: tuple[float | None, float | None], nominal: float | None, measured: float, fits: bool, ordering: Ordering
) -> None:
    """A millimetre beside its limits for paint and a rule: common practice, no source."""
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-853-2sn", dash=8))
    known = replace(hose, outside_limits_mm=limits, outside_nominal_mm=nominal)
    assert (fitting([known], HoseFacts(outside_mm=measured)) == (known,)) == fits


ENDS = ("flare37/8/female", "flare37/8/female")


@pytest.mark.parametrize(
    ("facts", "faults"),
    [
        (HoseFacts(ends=ENDS, pressure_bar=275, temperature_c=(100.0,)), []),
        (HoseFacts(ends=ENDS, pressure_bar=276), [Fault.PRESSURE]),
        (HoseFacts(ends=ENDS, temperature_c=(101.0,)), [Fault.TEMPERATURE]),
        (HoseFacts(ends=ENDS, routed_radius_mm=179.0), [Fault.BEND]),
        (HoseFacts(ends=ENDS, length_mm=600.0, routed_bend_deg=180.0), [Fault.SHORT]),
        (HoseFacts(ends=ENDS, length_mm=800.0, routed_bend_deg=180.0), []),
        (HoseFacts(ends=("flare37/6/female", "flare37/8/female")), [Fault.SIZE]),
        (HoseFacts(ends=("npsm/8/female", "flare37/8/female")), [Fault.NO_FIGURE]),
    ],
)
def test_faults(facts: HoseFacts, faults: list[Fault], ordering: Ordering) -> None:
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-853-2sn", dash=8))
    assert list(ordering.assess(hose, facts).faults) == faults


def test_the_rating_is_the_lowest_of_hose_ends_and_adapters(ordering: Ordering) -> None:
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-856-4sp", dash=8))  # 415 bar
    with_ends = ordering.assess(hose, HoseFacts(ends=ENDS))
    assert with_ends.rating.bar is not None and with_ends.rating.bar < 415
    assert with_ends.rating.weakest == "flare37/8/female"
    with_pipe = ordering.assess(hose, HoseFacts(ends=ENDS), [ordering.end("npt/8/male")])
    assert with_pipe.rating.bar == pytest.approx(3000 * 0.0689475729)  # SAE J514, half inch pipe


@pytest.mark.parametrize("cells", ["7,,,", "7,3,1,1", ",,,"])
def test_a_bad_tolerance_is_named(cells: str, ordering: Ordering) -> None:
    header = "id,practice,dn_from,dn_to,plus_mm,minus_mm,plus_percent,minus_percent,source,basis\n"
    table = {"length-tolerances.csv": header + f"a,DIN 20066,1,25,{cells},sae-j517,memory\n"}
    with pytest.raises(BadTable, match="both tolerances in mm or both in per cent"):
        tolerances_from(ordering.catalogue, table)


@pytest.mark.parametrize(("over", "fits"), [(0.055, True), (0.065, False), (-0.055, True), (-0.065, False)])
def test_a_bore_may_measure_six_percent_beside_its_limits(over: float, fits: bool, ordering: Ordering) -> None:
    """Measured on a cut rubber edge: common practice, no source."""
    (hose,) = (each for each in ordering.catalogue.hoses if each.type.id == "en-853-2sn" and each.dash == 16)
    low, high = hose.bore_limits_mm
    assert low is not None and high is not None
    measured = (high if over > 0 else low) + over * hose.bore_mm
    assert (hose in ordering.hoses(HoseFacts(hose_type="en-853-2sn", bore_mm=measured))) == fits


@pytest.mark.parametrize(("outside_mm", "fits"), [("16.6", True), ("16.8", False), ("15.7", True)])
def test_a_cover_may_measure_a_millimetre_over_its_greatest(outside_mm: str, fits: bool, ordering: Ordering) -> None:
    """A quarter-inch 2SN is at most 15.7 mm outside (EN 853, memory); paint and a rule add up to a millimetre."""
    facts = HoseFacts(hose_type="en-853-2sn", dash=4, outside_mm=float(outside_mm))
    assert bool(ordering.hoses(facts)) == fits
