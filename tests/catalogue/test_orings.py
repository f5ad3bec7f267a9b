"""O-rings against open tables, and against the ends that take them."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue, orings
from voicefit.catalogue.orings import ORing
from voicefit.errors import BadTable
from voicefit.records import Gender

HEADER = "id,standard,inside_diameter_in,section_in,inside_diameter_mm,section_mm,source,basis\n"


@pytest.fixture(scope="module")
def rings(texts: dict[str, str]) -> dict[str, ORing]:
    return orings.parse(texts)


def test_rings_of_one_series_share_a_section_and_grow(rings: dict[str, ORing]) -> None:
    for hundred in "0123":
        of_series = [ring for ring in rings.values() if ring.as568 is not None and ring.as568[0] == hundred]
        assert len({ring.section_mm for ring in of_series}) == 1
        inside = [ring.inside_diameter_mm for ring in of_series]
        assert inside == sorted(inside)


def test_boss_rings_as_printed(rings: dict[str, ORing]) -> None:
    """900 numbers, SAE AS568, inside diameter x section in mm as commonly printed (values from memory)."""
    printed = {
        "904": (8.92, 1.83),
        "906": (11.89, 1.98),
        "908": (16.36, 2.21),
        "912": (23.47, 2.95),
        "932": (59.36, 3.0),
    }
    for number, sizes in printed.items():
        ring = rings[number]
        assert (ring.inside_diameter_mm, ring.section_mm) == pytest.approx(sizes, abs=0.01)


def test_a_boss_ring_is_stretched_onto_the_thread_undercut(catalogue: Catalogue) -> None:
    """Common practice, no source: it goes over the thread of its stud and grips what lies behind it.

    Free inside it is less than the major diameter and no more than an eighth less than the minor diameter.
    """
    studs = [
        end
        for end in catalogue.ends
        if end.series in ("orb", "iso6149") and end.gender is Gender.STUD and end.o_ring is not None
    ]
    assert len(studs) >= 25
    for end in studs:
        assert end.thread is not None and end.o_ring is not None
        inside = catalogue.orings[end.o_ring].inside_diameter_mm
        assert 0.875 * end.thread.minor_diameter_mm < inside < end.thread.major_diameter_mm, end.id


def test_a_face_seal_ring_lies_within_the_male_face(catalogue: Catalogue) -> None:
    males = [end for end in catalogue.ends if end.series == "orfs" and end.gender is Gender.MALE and end.o_ring]
    assert len(males) == 8
    for end in males:
        assert end.thread is not None and end.o_ring is not None and end.tube_od_mm is not None
        ring = catalogue.orings[end.o_ring]
        assert ring.outside_diameter_mm < end.thread.minor_diameter_mm, end.id


def test_a_cone_ring_lies_around_the_tube_bore(catalogue: Catalogue) -> None:
    """The nose of a 24° cone is as wide as its tube and the ring sits in it."""
    noses = [end for end in catalogue.ends if end.series in ("din24-l", "din24-s") and end.o_ring is not None]
    assert len(noses) >= 20
    for end in noses:
        assert end.o_ring is not None and end.tube_od_mm is not None
        ring = catalogue.orings[end.o_ring]
        assert end.tube_od_mm / 2 < ring.inside_diameter_mm < end.tube_od_mm, end.id
        assert ring.outside_diameter_mm == pytest.approx(end.tube_od_mm, abs=2.0), end.id


def test_larger_ends_take_larger_rings(catalogue: Catalogue) -> None:
    for series in ("orb", "orfs", "iso6149", "din24-l", "din24-s", "flange61", "flange62", "flange-square"):
        inside = list(
            dict.fromkeys(
                catalogue.orings[end.o_ring].inside_diameter_mm
                for end in catalogue.ends
                if end.series == series and end.o_ring is not None
            )
        )
        assert len(inside) >= 6
        assert inside == sorted(inside), series


def test_used_on_counts_the_ends(catalogue: Catalogue) -> None:
    users = orings.used_on(catalogue.ends)
    assert users["012"] == ("orfs/6",)
    assert users["219"] == ("flange61/16", "flange62/16")
    assert "905" in users


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("012,AS568,,,,,as568,memory", "inside_diameter_mm", "both in inches or both in millimetres"),
        ("012,AS568,0.364,,,1.78,as568,memory", "inside_diameter_mm", "both in inches"),
        ("012,AS568,0.364,0.070,9.25,1.78,as568,memory", "inside_diameter_mm", "both in inches"),
        ("012,AS568,0.364,0,,,as568,memory", "section_in", "greater than 0"),
        ("012,AS568,about a third,0.070,,,as568,memory", "inside_diameter_in", "is not a number"),
        ("012,AS568,0.364,0.070,,,as568,hearsay", "basis", "hearsay"),
        ("012,AS568,0.364,0.070,,,a book,memory", "source", "is not in sources.csv"),
    ],
)
def test_a_bad_row_names_its_place(row: str, column: str, reason: str) -> None:
    table = HEADER + "011,AS568,0.301,0.070,,,as568,memory\n" + row + "\n"
    with pytest.raises(BadTable, match=reason) as caught:
        orings.parse({"orings.csv": table}, {"as568": None})
    assert (caught.value.file, caught.value.row, caught.value.column) == ("orings.csv", 3, column)


def test_the_same_size_twice_is_refused() -> None:
    table = HEADER + 2 * "011,AS568,0.301,0.070,,,as568,memory\n"
    with pytest.raises(BadTable, match=r"'011' is already in orings\.csv, row 2"):
        orings.parse({"orings.csv": table})
