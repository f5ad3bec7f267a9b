"""Where a table is refused and where it is not, and sizes that no other test reads: a case on either side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.checks import check_fit
from voicefit.catalogue.ends import Basis
from voicefit.catalogue.faults import Faults
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.public import FlangeSizeDocument, HoseDocument, end_document, oring_document
from voicefit.catalogue.rows import SizeRow
from voicefit.catalogue.tables import read_table
from voicefit.catalogue.tolerances import r40
from voicefit.catalogue.washers import parse as washers_from
from voicefit.errors import BadTable

INCH = 25.4


def test_the_r40_series_is_a_geometric_one() -> None:
    """ISO 3: forty numbers a decade, each by a fortieth of it over the last, rounded by 1.3 % at most."""
    found = [r40(100 * 10 ** (step / 40)) for step in range(41)]
    assert found == sorted(set(found)) and (found[0], found[-1]) == (100, 1000)
    for step, number in enumerate(found):
        assert number == pytest.approx(100 * 10 ** (step / 40), rel=0.0128)
        assert r40(number) == number


@pytest.mark.parametrize(
    ("designation", "unit", "diameter_mm"),
    [
        ("M18×1.5", "mm", 18),
        ("9/16-18 UNF", "in", 9 / 16 * INCH),
        ("G3/8", "in", 16.662),  # the size of a pipe thread is no diameter of it: ISO 228-1
        ("1/2-14 NPT", "in", 0.8357 * INCH),  # ASME B1.20.1, over E1 by half of the height
        ("W21.8-14", "mm", 21.8),
    ],
)
def test_a_size_is_in_inches_or_in_millimetres(
    designation: str, unit: str, diameter_mm: float, catalogue: Catalogue
) -> None:
    thread = catalogue.threads[designation]
    assert thread.size_unit == unit
    assert thread.major_diameter_mm == pytest.approx(diameter_mm, abs=0.02)


def test_flanks_and_tapers_are_those_of_the_system(catalogue: Catalogue) -> None:
    """ISO 68-1, ASME B1.1 and B1.20.1: 60 degrees; ISO 228-1, ISO 7-1 and Whitworth: 55; tapers one in sixteen."""
    for thread in catalogue.threads.values():
        assert thread.flank_angle_deg == (55 if thread.system in ("G", "R", "W") else 60), thread.designation
        tapered = thread.system in ("R", "NPT", "M-taper")
        assert thread.taper == (Fraction(1, 16) if tapered else 0), thread.designation
        assert (thread.gauge_length_mm is not None) == (thread.thread_length_mm is not None) == tapered
        assert 0 < thread.minor_diameter_mm < thread.pitch_diameter_mm < thread.major_diameter_mm
        low, high = thread.external_major_mm
        assert low < high and (tapered or high <= thread.major_diameter_mm)
        low, high = thread.internal_minor_mm
        assert low < high and (tapered or low == pytest.approx(thread.minor_diameter_mm, abs=0.001))


@pytest.mark.parametrize(
    ("designation", "pitch_in", "end_in", "gauge_in", "height_in"),
    [
        # ASME B1.20.1 (memory): E0, E1 and the greatest height of a sharp thread cut off by 0.033 of the pitch twice
        ("1/8-27 NPT", 1 / 27, 0.36351, 0.37360, 0.02963),
        ("1/4-18 NPT", 1 / 18, 0.47739, 0.49163, 0.04444),
        ("1/2-14 NPT", 1 / 14, 0.75843, 0.77843, 0.05714),
        ("1-11.5 NPT", 1 / 11.5, 1.21363, 1.23863, 0.06957),
    ],
)
def test_limits_of_an_american_taper_within_a_turn(
    designation: str, pitch_in: float, end_in: float, gauge_in: float, height_in: float, catalogue: Catalogue
) -> None:
    """A female is tightest at the small end, full in height, a turn too small; a male widest where its threads end."""
    thread = catalogue.threads[designation]
    turn, least = pitch_in / 16, thread.internal_minor_mm[0] / INCH
    assert least == pytest.approx(end_in - height_in - turn, abs=0.0002)
    assert thread.external_major_mm[1] / INCH > gauge_in + height_in
    assert thread.internal_minor_mm[1] / INCH == pytest.approx(gauge_in - height_in + turn, abs=0.13 * pitch_in)
    assert thread.external_major_mm[0] / INCH == pytest.approx(end_in + height_in - turn, abs=0.13 * pitch_in)


@pytest.mark.parametrize(
    ("make", "inside_mm", "goes"),
    [
        # Over M14: a bonded washer's lip may lie half a millimetre within the crests; two over, it does not centre.
        ("bonded washer", 13.6, True),
        ("bonded washer", 13.4, False),
        ("bonded washer", 15.9, True),
        ("bonded washer", 16.1, False),
        ("copper washer", 13.6, True),
        ("copper washer", 13.4, False),
        ("copper washer", 15.9, True),
        ("copper washer", 16.1, False),
        # A captured ring lies about the undercut.
        ("captured ring", 13.9, True),
        ("captured ring", 14.1, False),
        ("captured ring", 9.1, True),
        ("captured ring", 8.9, False),
    ],
)
def test_a_washer_goes_over_its_thread(make: str, inside_mm: float, goes: bool, catalogue: Catalogue) -> None:
    """Common practice, no source."""
    header = "id,thread,make,inside_diameter_mm,outside_diameter_mm,thickness_mm,source,basis\n"
    table = {"washers.csv": f"{header}x,M14×1.5,{make},{inside_mm},20,1.5,common-practice,memory\n"}
    try:
        ((washer,),) = washers_from(table, catalogue.sources, catalogue.threads).values()
    except BadTable:
        assert not goes
    else:
        assert goes and (washer.inside_diameter_mm, washer.thickness_mm) == (inside_mm, 1.5)


def refused(catalogue: Catalogue, end_id: str, rings: Mapping[str, ORing] | None = None, **change: Any) -> list[str]:
    """The columns refused of the size of an end, with something of it changed. Its thread is 9/16-18 UNF."""
    end: CandidateEnd = replace(catalogue.by_id[end_id], **change)
    columns = "id,series,dash,thread,tube_od_mm,male_hex_in,female_hex_mm,source,basis\n"
    row = f"{end.size_id},{end.series},6,9/16-18 UNF,9.5,5/8,19,sae-j514,memory\n"
    rows = read_table("ends-own.csv", columns + row, SizeRow)
    faults = Faults()
    check_fit({each.id: each for each in rows}, [end], rings or {}, faults)
    return [error.column or "" for error in faults.found]


@pytest.mark.parametrize(
    ("end_id", "across_mm", "column"),
    [
        # A nut is wider than the thread in it, 14.29 mm; a body may be as wide; neither is more than 2.2 times as wide.
        ("flare37/6/female", 14.2875, "female_hex_mm"),
        ("flare37/6/female", 14.4, None),
        ("flare37/6/female", 31.4, None),
        ("flare37/6/female", 31.5, "female_hex_mm"),
        ("orb/6/port", 14.2, "female_hex_mm"),
        ("flare37/6/male", 14.1, "male_hex_in"),
        ("flare37/6/male", 14.2, None),
        ("orb/6/stud", 31.4, None),
        ("orb/6/stud", 31.5, "male_hex_in"),
    ],
)
def test_a_hexagon_goes_with_its_thread(
    end_id: str, across_mm: float, column: str | None, catalogue: Catalogue
) -> None:
    """Common practice, no source."""
    assert refused(catalogue, end_id, hex_mm=(17.0, across_mm)) == ([column] if column else [])


@pytest.mark.parametrize(("tube_mm", "passes"), [(12.7, True), (12.8, False)])
def test_a_tube_passes_its_nut(tube_mm: float, passes: bool, catalogue: Catalogue) -> None:
    """9/16-18 UNF, 2B: 0.502 in across the crests of the nut at least (ASME B1.1, memory)."""
    assert refused(catalogue, "flare37/6/female", tube_od_mm=tube_mm) == ([] if passes else ["tube_od_mm"])
    assert refused(catalogue, "flare37/6/female", also_tube_od_mm=(tube_mm,)) == ([] if passes else ["tube_od_mm"])


@pytest.mark.parametrize(
    ("end_id", "inside_mm", "section_mm", "fits"),
    [
        # On a stud's undercut, 12.76 mm at most: stretched by a third at most, and larger than the thread around it.
        ("orb/6/stud", 9.5, 2.0, True),
        ("orb/6/stud", 9.4, 2.0, False),
        ("orb/6/stud", 12.7, 2.0, True),
        ("orb/6/stud", 12.8, 2.0, False),
        ("orb/6/stud", 9.5, 1.5, False),
        # In a face it lies within the nut's crests, 12.76 mm.
        ("orfs/4/male", 9.0, 1.85, True),
        ("orfs/4/male", 9.0, 1.95, False),
    ],
)
def test_a_ring_goes_with_its_thread(
    end_id: str, inside_mm: float, section_mm: float, fits: bool, catalogue: Catalogue
) -> None:
    """Common practice, no source."""
    ring = ORing("x", "own", None, inside_mm, section_mm, "own", Basis.MEMORY)
    assert refused(catalogue, end_id, {"x": ring}, o_ring="x") == ([] if fits else ["o_ring"])


def test_public_lengths_are_to_a_micrometre(catalogue: Catalogue) -> None:
    """SAE AS568-906: 0.468 x 0.078 in; SAE 100R2 of a quarter inch: 5000 psi to 2005, 400 bar since (memory); J518."""
    ring = oring_document(catalogue.orings["906"], ("orb/6",))
    assert (ring.inside_diameter_mm, ring.section_mm, ring.used_on) == (11.887, 1.981, ["orb/6"])
    hoses = [
        HoseDocument.model_validate(hose) for hose in catalogue.hoses if hose.type.id == "sae-r2" and hose.dash == 4
    ]
    assert {hose.pressure_bar for hose in hoses} & {344.738, 399.896, 400.0} and {hose.bore_mm for hose in hoses} == {
        6.35
    }
    assert all(hose.standard == "SAE 100R" and hose.reinforcement for hose in hoses)
    flange = FlangeSizeDocument.model_validate(next(each for each in catalogue.flanges if each.id == "flange61/16"))
    assert (flange.bolt_long_mm, flange.head_diameter_mm, flange.code) == (52.388, 44.45, "61")


def test_the_public_document_of_an_end(catalogue: Catalogue) -> None:
    """SAE J514, ASME B1.1, SAE J518, ISO 7241: what a program is given of an end that it knows by its id."""
    flare = end_document(catalogue.by_id["flare37/6/male"], catalogue.sources).model_dump(mode="json")
    assert {name: flare[name] for name in ("part", "series", "gender", "dash", "nominal", "thread")} == {
        "part": "flare37/6/male",
        "series": "flare37",
        "gender": "male",
        "dash": 6,
        "nominal": "3/8",
        "thread": "9/16-18 UNF",
    }
    assert (flare["thread_system"], flare["tolerance_class"], flare["tpi"], flare["taper"]) == ("UN", "2A/2B", 18, "0")
    assert flare["pitch_mm"] == pytest.approx(INCH / 18, abs=1e-5)
    assert flare["major_diameter_mm"] == pytest.approx(9 / 16 * INCH, abs=1e-3)
    assert flare["pitch_diameter_mm"] == pytest.approx(0.5264 * INCH, abs=0.003)
    assert flare["minor_diameter_mm"] == pytest.approx(0.5023 * INCH, abs=0.003)
    assert flare["external_major_mm"] == pytest.approx([0.5524 * INCH, 0.5611 * INCH], abs=0.005)
    assert flare["internal_minor_mm"] == pytest.approx([0.502 * INCH, 0.515 * INCH], abs=0.05)
    assert (flare["flank_angle_deg"], flare["seat_half_angle_deg"], flare["seat_included_angle_deg"]) == (60, 37, 74)
    assert (flare["seat_form"], flare["seal"], flare["flange"], flare["profile_mm"]) == ("convex", "metal", None, {})
    assert flare["torque_nm"]["low"] <= flare["torque_nm"]["high"] and flare["turns"] and flare["tube_od_mm"] == 9.525
    assert flare["pressure_bar"]["low"] == min(figure["low"] for figure in flare["pressure_bar"]["figures"])
    assert flare["pressure_bar"]["high"] == max(figure["high"] for figure in flare["pressure_bar"]["figures"])
    coupler = end_document(catalogue.by_id["coupler-a/8/male"], catalogue.sources)
    assert list(coupler.profile_mm) == ["probe"] and coupler.thread is coupler.pitch_mm is coupler.torque_nm is None
    flange = end_document(catalogue.by_id["flange61/16/male"], catalogue.sources)
    assert flange.flange is not None and flange.flange.head_diameter_mm == pytest.approx(1.75 * INCH)
    taper = end_document(catalogue.by_id["npt/8/male"], catalogue.sources)
    assert (taper.taper, taper.seat_half_angle_deg, taper.seat_included_angle_deg) == ("1/16", None, None)
    universal = end_document(catalogue.by_id["din24-l/12/female-universal"], catalogue.sources)
    assert universal.also_seats_half_angle_deg == [30]  # DIN 3863: on 24 and on 60 degrees
