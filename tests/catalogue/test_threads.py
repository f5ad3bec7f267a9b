"""Limits and printed values of the threads; every basic diameter is compared in :mod:`tests.catalogue.outside`.

Printed values marked "memory" were recalled, not read; they are here because a formula and a recollection that agree to
the last digit are worth more than either.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.catalogue.planes import diameters_at
from voicefit.catalogue import Catalogue, Thread
from voicefit.catalogue.rows import ThreadRow
from voicefit.catalogue.tables import read_table
from voicefit.catalogue.threads import threads_from
from voicefit.catalogue.tolerances import metric_limits_um, r40
from voicefit.errors import BadTable

INCH = 25.4


@pytest.mark.parametrize(
    ("designation", "pitch_diameter", "minor_diameter"),
    [
        ("M10×1", 9.350, 8.917),
        ("M12×1.5", 11.026, 10.376),
        ("M14×1.5", 13.026, 12.376),
        ("M18×1.5", 17.026, 16.376),
        ("M22×1.5", 21.026, 20.376),
        ("M27×2", 25.701, 24.835),
        ("M33×2", 31.701, 30.835),
        ("M42×2", 40.701, 39.835),
    ],
)
def test_metric_threads_as_printed(
    catalogue: Catalogue, designation: str, pitch_diameter: float, minor_diameter: float
) -> None:
    """ISO 724 (memory)."""
    thread = catalogue.threads[designation]
    assert thread.pitch_diameter_mm == pytest.approx(pitch_diameter, abs=0.0006)
    assert thread.minor_diameter_mm == pytest.approx(minor_diameter, abs=0.0006)


@pytest.mark.parametrize(
    ("pitch_mm", "deviation", "external", "internal"),
    [
        (0.8, 24, 150, 200),
        (1, 26, 180, 236),
        (1.25, 28, 212, 265),
        (1.5, 32, 236, 300),
        (2, 38, 280, 375),
        (3, 48, 375, 500),
    ],
)
def test_metric_tolerances_as_printed(pitch_mm: float, deviation: float, external: float, internal: float) -> None:
    """ISO 965-1 tables of es (g), Td (6) and TD1 (6) in micrometres (memory); es is printed with hand rounding."""
    es, td, td1 = metric_limits_um(pitch_mm)
    assert es == pytest.approx(-deviation, abs=1)
    assert (td, td1) == (external, internal)


@given(st.floats(min_value=5, max_value=900))
@settings(max_examples=60, deadline=None)
def test_rounding_to_r40_moves_less_than_a_step(value: float) -> None:
    """ISO 3: the ratio of the R40 series is 10^(1/40), 5.9 %; the printed numbers are rounded by up to 1.3 %."""
    assert abs(math.log(r40(value) / value)) < 0.5 * math.log(10) / 40 + 0.013


@pytest.mark.parametrize(
    ("designation", "major_in", "minor_in"),
    [
        ("5/16-24 UNF", (0.3042, 0.3114), (0.267, 0.277)),
        ("3/8-24 UNF", (0.3667, 0.3739), (0.330, 0.340)),
        ("7/16-20 UNF", (0.4281, 0.4362), (0.383, 0.395)),
        ("1/2-20 UNF", (0.4906, 0.4987), (0.446, 0.457)),
        ("9/16-18 UNF", (0.5524, 0.5611), (0.502, 0.515)),
        ("5/8-18 UNF", (0.6149, 0.6236), (0.565, 0.578)),
        ("3/4-16 UNF", (0.7391, 0.7485), (0.682, 0.696)),
        ("7/8-14 UNF", (0.8631, 0.8734), (0.798, 0.814)),
        ("1-1/16-12 UN", (1.0494, 1.0608), (0.972, 0.990)),
        ("1-5/16-12 UN", (1.2994, 1.3108), (1.222, 1.240)),
    ],
)
def test_unified_limits_as_printed(
    catalogue: Catalogue, designation: str, major_in: tuple[float, float], minor_in: tuple[float, float]
) -> None:
    """ASME B1.1 limits of size, 2A major and 2B minor (memory). The minors are printed to a thousandth."""
    thread = catalogue.threads[designation]
    assert [limit / INCH for limit in thread.external_major_mm] == pytest.approx(major_in, abs=0.00016)
    assert [limit / INCH for limit in thread.internal_minor_mm] == pytest.approx(minor_in, abs=0.0016)


def test_straight_mechanical_pipe_as_printed(catalogue: Catalogue) -> None:
    """ASME B1.20.1, NPSM external major and internal minor in inches (memory)."""
    for designation, largest_major, smallest_minor in [
        ("1/8-27 NPSM", 0.397, 0.358),
        ("1/4-18 NPSM", 0.526, 0.468),
        ("3/8-18 NPSM", 0.662, 0.603),
        ("1/2-14 NPSM", 0.823, 0.747),
        ("3/4-14 NPSM", 1.034, 0.958),
        ("1-11.5 NPSM", 1.293, 1.201),
    ]:
        thread = catalogue.threads[designation]
        assert thread.external_major_mm[1] / INCH == pytest.approx(largest_major, abs=0.0011)
        assert thread.internal_minor_mm[0] / INCH == pytest.approx(smallest_minor, abs=0.0011)


@settings(max_examples=40, deadline=None)
@given(distance=st.floats(min_value=-5, max_value=40), step=st.floats(min_value=0.1, max_value=20))
def test_a_taper_grows_by_a_sixteenth_of_the_distance(catalogue: Catalogue, distance: float, step: float) -> None:
    for thread in catalogue.threads.values():
        grown = diameters_at(thread, distance + step).major_mm - diameters_at(thread, distance).major_mm
        assert grown == pytest.approx(step * float(thread.taper))


def test_limits_are_in_order_and_a_new_pair_goes_together(catalogue: Catalogue) -> None:
    """Of every parallel thread the male's crests stay under the major, the female's over the minor, and both engage."""
    for thread in catalogue.threads.values():
        assert thread.external_major_mm[0] < thread.external_major_mm[1]
        assert thread.internal_minor_mm[0] < thread.internal_minor_mm[1]
        assert thread.minor_diameter_mm < thread.pitch_diameter_mm < thread.major_diameter_mm
        assert thread.internal_minor_mm[1] < thread.external_major_mm[0]
        if not thread.taper:
            assert thread.external_major_mm[1] <= thread.major_diameter_mm
            assert thread.internal_minor_mm[0] >= thread.minor_diameter_mm
        if thread.tpi is not None:
            assert thread.pitch_mm == pytest.approx(INCH / float(thread.tpi), abs=1e-6)


HEADER = "id,system,size,tpi,pitch_mm,form,tolerance_class,gauge_length_in,pipe_outside_diameter_in,source,basis,like\n"


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("9/16-20 UNF,UN,9/16,18,,UNF,2A/2B,,,s,memory", "id", "make it 9/16-18 UNF"),
        ("M22×2,M,22,,1.5,,6g,,,s,memory", "id", "make it M22×1.5"),
        ("M22×1.5,M,22,17,1.5,,6g,,,s,memory", "tpi", "either tpi or pitch_mm"),
        ("M22×1.5,M,22,,,,6g,,,s,memory", "tpi", "either tpi or pitch_mm"),
        ("Mx×1.5,M,x,,1.5,,6g,,,s,memory", "size", "not a size"),
        ("3/16-24 UNF,UN,3/16,24,,UNF,2A,,,s,memory", "size", "1/4 in up"),
        ("9/16-18 ,UN,9/16,18,,,2A,,,s,memory", "form", "system UN needs it"),
        ("G3/8,G,3/8,19,,,A,,,s,memory", "major_diameter_mm", "system G needs it"),
        ("3/8-18 NPT,NPT,3/8,18,,,,,0.675,s,memory", "tolerance_class", "must not be empty"),
        ("3/8-18 NPT,NPT,3/8,18,,,x,,0.675,s,memory", "gauge_length_in", "system NPT needs it"),
        ("3/8-20 NPT,NPT,3/8,20,,,x,0.24,0.675,s,memory", "tpi", "27, 18, 14"),
        ("M2×3,M,2,,3,,6g,,,s,memory", "size", "too coarse"),
        ("R1/8,R,1/8,28,,,x,,,s,memory,G1/8", "like", "'G1/8' is in no table"),
        ("R1/8,R,1/8,28,,,x,,,s,memory,R1/8", "like", "comes back to this one"),
    ],
)
def test_a_row_that_contradicts_itself_is_refused(row: str, column: str, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        threads_from(read_table("threads-own.csv", HEADER + _whole(row), ThreadRow))
    assert (caught.value.file, caught.value.row, caught.value.column) == ("threads-own.csv", 2, column)


def _whole(row: str) -> str:
    """With empty cells at its end where it is shorter than the header."""
    return row + "," * (HEADER.count(",") - row.count(",")) + "\n"


def test_a_thread_like_another_has_its_sizes() -> None:
    """NPSM has the pitch diameter of NPT at its gauge plane (E1); what its own row says counts before that."""
    npt = _whole("1/8-27 NPT,NPT,1/8,27,,,ASME B1.20.1,0.1615,0.405,s,memory")
    npsm = _whole("1/8-27 NPSM,NPSM,1/8,27,,,2A/2B,{},,s,memory,1/8-27 NPT")
    taken = threads_from(read_table("t.csv", HEADER + npt + npsm.format(""), ThreadRow))
    at_gauge = taken["1/8-27 NPT"].pitch_diameter_mm
    assert taken["1/8-27 NPSM"].pitch_diameter_mm == at_gauge
    own = threads_from(read_table("t.csv", HEADER + npt + npsm.format("0.17"), ThreadRow))
    assert own["1/8-27 NPSM"].pitch_diameter_mm == pytest.approx(at_gauge + (0.17 - 0.1615) / 16 * INCH, abs=2e-4)
    with pytest.raises(BadTable, match="not of the same size and pitch"):
        threads_from(read_table("t.csv", HEADER + npt + npsm.format("").replace(",27,", ",18,"), ThreadRow))


def test_no_two_threads_are_one(catalogue: Catalogue) -> None:
    """Two designations of the same numbers would be a typing error, but for R beside Rc."""
    seen: dict[Thread, str] = {}
    for thread in catalogue.threads.values():
        bare = replace(thread, designation="", source="", tolerance_class="", basis=thread.basis)
        before = seen.setdefault(bare, thread.designation)
        assert before == thread.designation or before.replace("R", "Rc") == thread.designation


@pytest.mark.parametrize(("size", "minor_mm"), [("21.8", 19.476), ("24.32", 21.996)])
def test_cylinder_outlets_have_the_form_of_whitworth(size: str, minor_mm: float, catalogue: Catalogue) -> None:
    """DIN 477-1: the form of ISO 228-1, h = 0.640327 P, at 14 per inch on a diameter in millimetres."""
    thread = catalogue.threads[f"W{size}-14"]
    assert (thread.major_diameter_mm, thread.flank_angle_deg) == (float(size), 55)
    assert thread.minor_diameter_mm == pytest.approx(minor_mm, abs=0.001)
