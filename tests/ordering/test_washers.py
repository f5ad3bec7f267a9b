"""Sealing washers have a size, from memory and said to be so; the slip orders one of two makes."""

from __future__ import annotations

import csv

import pytest

from voicefit.catalogue import load_catalogue
from voicefit.errors import BadTable
from voicefit.ordering.job_slip import EndFacts, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text

RING_14 = {"captured ring": (11.6, 16.5, 1.5)}


@pytest.mark.parametrize(
    ("end", "sizes"),
    [
        # DIN 7603, copper; DIN 3869, captured; bonded: common practice. All from memory. A banjo's eye has no groove.
        ("bspp-port/4/stud", {"bonded washer": (13.74, 20.57, 2.03), "copper washer": (14, 18, 1.5)} | RING_14),
        ("metric-port/14/port", {"bonded washer": (14.7, 22, 1.5), "copper washer": (14, 18, 1.5)} | RING_14),
        ("banjo/14/male", {"bonded washer": (14.7, 22, 1.5), "copper washer": (14, 18, 1.5)}),
        ("banjo/14/female", {"bonded washer": (14.7, 22, 1.5), "copper washer": (14, 18, 1.5)}),
    ],
)
def test_a_washer_has_its_size(end: str, sizes: dict[str, tuple[float, ...]], ordering: Ordering) -> None:
    need = ordering.follow_up(end).seals[0]
    found = {each.make: (each.inside_diameter_mm, each.outside_diameter_mm, each.thickness_mm) for each in need.washers}
    assert found == sizes and need.recalled


def test_the_slip_orders_it(ordering: Ordering) -> None:
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts("bspp-port/4/stud"),)))
    told = "bonded washer 13.74 × 20.57 × 2.03 mm, or copper washer 14 × 18 × 1.5 mm"
    told += ", or captured ring 11.6 × 16.5 × 1.5 mm"
    assert f"on this end: {told}, from memory" in to_text(slip)
    rows = [row for row in csv.DictReader(to_csv(slip).splitlines()) if row["kind"] == "seal"]
    assert told in rows[0]["description"] and rows[0]["from_memory"] == "ring"


def test_a_washer_lies_within_the_hexagon_and_around_the_thread(ordering: Ordering) -> None:
    for thread, washers in ordering.catalogue.washers.items():
        major = ordering.catalogue.threads[thread].major_diameter_mm
        for washer in washers:
            least = major - 5 if washer.make == "captured ring" else major - 0.5
            assert least < washer.inside_diameter_mm < washer.outside_diameter_mm < 2 * major


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ("M14×1.5,copper washer,24,30,1", "inside_diameter_mm"),
        ("M14×1.5,copper washer,14,13,1", "outside_diameter_mm"),
        ("M99×1,copper washer,14,18,1", "thread"),
        ("M14×1.5,tin washer,14,18,1", "make"),
        ("M14×1.5,captured ring,14.7,18,1", "inside_diameter_mm"),
        ("M14×1.5,captured ring,11.6,13.9,1", "outside_diameter_mm"),
    ],
)
def test_a_washer_that_does_not_go_with_its_thread_is_refused(cells: str, column: str, data: dict[str, str]) -> None:
    header = "id,thread,make,inside_diameter_mm,outside_diameter_mm,thickness_mm,source,basis\n"
    with pytest.raises(BadTable) as caught:
        load_catalogue(data, extra={"washers-own.csv": f"{header}x,{cells},common-practice,memory\n"})
    assert caught.value.column == column
