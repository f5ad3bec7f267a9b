"""The ends hold together: what must follow from dash, thread, tube, seat and seal does, in every series."""

from __future__ import annotations

import csv
from collections import defaultdict
from fractions import Fraction
from itertools import pairwise

import pytest

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.tables import belongs
from voicefit.quantities import exact
from voicefit.records import Gender, SeatForm

SERIES = (
    *("flare37", "flare45", "inverted-flare", "orb", "orfs", "npt", "npsm", "flareless24", "bspp-cone60", "bspp-port"),
    *(
        "bspt",
        "flare30-g",
        "flare30-m",
        "cone60-g",
        "din24-l",
        "din24-s",
        "din24-ll",
        "din60",
        "iso6149",
        "metric-port",
    ),
    *(
        "metric-taper",
        "banjo",
        "gaz24",
        "flange61",
        "flange62",
        "flange-square",
        "flange-pump",
        "staple",
        "coupler-a",
        "coupler-b",
    ),
    "coupler-flat",
    *("test-point", "boss-g", "cone74-m", "face-m"),
    *("ac-o-ring", "brake-bubble", "brake-double", "gas-cylinder"),  # of other trades
    *("ac-flare", "brake-inverted", "air-brake", "injection", "gas-hose"),  # those that the line alone tells
)
MALE, FEMALE = (Gender.MALE, Gender.STUD), (Gender.FEMALE, Gender.PORT)


def sizes_of(catalogue: Catalogue, variant: str = "") -> dict[str, list[CandidateEnd]]:
    """Ends of each series, one a size, in the order of the tables."""
    found: dict[str, dict[str, CandidateEnd]] = defaultdict(dict)
    for end in catalogue.ends:
        if end.id.endswith(variant):
            found[end.series].setdefault(end.id.rpartition("/")[0], end)
    return {series: list(ends.values()) for series, ends in found.items()}


def test_every_series_is_there_in_both_genders(catalogue: Catalogue) -> None:
    assert set(SERIES) <= set(catalogue.series)
    for series in catalogue.series:
        genders = {end.gender for end in catalogue.ends if end.series == series}
        assert genders & set(MALE) and genders & set(FEMALE), series


DASHES = {
    "flare37": "2 3 4 5 6 8 10 12 14 16 20 24 28 32 40",
    "orb": "2 3 4 5 6 8 10 12 14 16 20 24 32",
    "flareless24": "2 3 4 5 6 8 10 12 14 16 20 24 32",
    "flare45": "2 3 4 5 6 7 8 10 12 14 16",
    "inverted-flare": "2 3 4 5 6 7 8 10 12",
    "orfs": "4 6 8 10 12 16 20 24 32",
    "npt": "1 2 4 6 8 12 16 20 24 32 40 48",
    "npsm": "2 4 6 8 12 16 20 24 32",
    "bspt": "1 2 4 6 8 12 16 20 24 32 40 48",
    "bspp-cone60": "2 4 6 8 10 12 16 20 24 32",
    "flare30-g": "4 6 8 10 12 16 20 24 32",
    "flare30-m": "4 6 8 10 12 16 20 24",
}
TUBES = {
    "din24-l": "6 8 10 12 15 18 22 28 35 42",
    "din24-s": "6 8 10 12 14 16 20 25 30 38",
    "din24-ll": "4 5 6 8",
    "din60": "6 8 10 12 15 18 22 28 35 42",
}


def test_every_size_that_the_standard_has(catalogue: Catalogue) -> None:
    """Sizes of SAE J514, J512, J1453, ISO 8434-1, DIN 7631 and the pipe threads (memory)."""
    for series, dashes in DASHES.items():
        for genders in (MALE, FEMALE):
            found = {end.dash for end in catalogue.ends if end.series == series and end.gender in genders}
            assert found == {int(dash) for dash in dashes.split()}, series
    for series, tubes in TUBES.items():
        for genders in (MALE, FEMALE):
            found_mm = {end.tube_od_mm for end in catalogue.ends if end.series == series and end.gender in genders}
            assert found_mm == {float(tube) for tube in tubes.split()}, series


def test_dash_nominal_and_dn_agree(catalogue: Catalogue) -> None:
    for end in catalogue.ends:
        if end.dash is not None:
            assert exact(end.nominal) * 16 == end.dash, end.id
        if end.dash in catalogue.dashes and not end.series.startswith("flange"):
            assert end.dn == catalogue.dashes[end.dash], end.id
        if end.series in TUBES or end.series == "gaz24":
            assert end.dash is None and end.tube_od_mm == float(end.nominal), end.id
            assert end.dn is not None and end.dn < end.tube_od_mm, end.id
    by_dash = sorted(catalogue.dashes.items())
    assert [dn for _, dn in by_dash] == sorted({dn for _, dn in by_dash})
    for dash, dn in by_dash:
        assert dn == pytest.approx(dash / 16 * 25.4, rel=0.06, abs=0.42), dash


# One listed size of each may share the thread of its neighbour: hose and tube sizes on one thread, or two pitches.
SHARED_THREADS = {"flare30-g/10-g34", "din24-ll/6", *(f"{s}/{n}x2" for s in ("cone74-m", "face-m") for n in (27, 30))}


def test_sizes_grow_with_their_thread_tube_bore_and_hexagon(catalogue: Catalogue) -> None:
    for series, ends in sizes_of(catalogue, "male").items():
        families = [[end for end in ends if "-thick/" not in end.id]]
        if series == "gaz24":  # two series of tubes
            families = [[e for e in ends if "gas" in e.notes], [e for e in ends if "gas" not in e.notes]]
        elif series == "banjo":  # two systems of threads
            families = [[e for e in ends if e.thread and e.thread.system == system] for system in ("M", "G")]
        for family in families:
            assert family
            for small, large in pairwise(family):
                pair = f"{small.id}, {large.id}"
                if small.thread and large.thread:
                    grown = large.thread.major_diameter_mm - small.thread.major_diameter_mm
                    shared = large.id.rpartition("/")[0] in SHARED_THREADS or small.id.startswith("flare30-g/10")
                    assert grown > 0 or (grown == 0 and shared), pair
                if small.tube_od_mm and large.tube_od_mm:
                    assert small.tube_od_mm < large.tube_od_mm, pair
                if small.dn and large.dn:
                    assert small.dn <= large.dn, pair
                if small.hex_mm and large.hex_mm:
                    assert max(small.hex_mm) <= max(large.hex_mm), pair


def test_there_is_enough_to_check(catalogue: Catalogue) -> None:
    """That hexagon, tube and O-ring go with the thread is checked when tables are loaded: ``catalogue/checks.py``."""
    threaded = [end for end in catalogue.ends if end.thread is not None]
    assert sum(bool(end.hex_mm) for end in threaded) > 150
    assert sum(end.tube_od_mm is not None for end in threaded) > 200
    assert sum(end.o_ring is not None for end in threaded) > 80


def test_boss_rings_are_the_nine_hundreds(catalogue: Catalogue) -> None:
    """ISO 11926 and SAE J1926: the ring of a boss is AS568 9 and the dash (memory)."""
    for end in catalogue.ends:
        if end.series == "orb":
            assert end.o_ring == f"9{end.dash:02d}"


CONES = (SeatForm.CONVEX, SeatForm.RECESSED)


def test_seats_of_a_pair_belong_together(catalogue: Catalogue) -> None:
    """Of every size each female finds a male of its series that it seats on: cone in cone, or flat on flat."""
    for female in catalogue.ends:
        if female.gender not in FEMALE:
            continue
        size = female.id.rpartition("/")[0]
        males = [end for end in catalogue.ends if end.gender in MALE and end.id.rpartition("/")[0] == size]
        assert males, female.id
        assert any(_seats(female, male) for male in males), female.id


def _seats(female: CandidateEnd, male: CandidateEnd) -> bool:
    if female.seat_form not in CONES:
        return male.seat_form is female.seat_form
    angles = [
        {end.seat_half_angle_deg, *end.also_seats_deg} for end in (female, male) if end.seat_half_angle_deg is not None
    ]
    return {female.seat_form, male.seat_form} == set(CONES) and len(angles) == 2 and bool(angles[0] & angles[1])


def test_angles_are_half_angles_of_the_trade(catalogue: Catalogue) -> None:
    for end in catalogue.ends:
        assert end.seat_half_angle_deg in (None, 12, 30, 37, 42, 45, 57.5), end.id
        if end.seat_half_angle_deg is not None:
            assert end.seat_included_angle_deg == 2 * end.seat_half_angle_deg


def test_no_two_ends_measure_alike_unless_interchangeable(catalogue: Catalogue) -> None:
    """What cannot be told apart by thread, seat, seal, tube, head or profile must be one part."""
    alike: dict[tuple[object, ...], set[str]] = defaultdict(set)
    for end in catalogue.ends:
        thread = end.thread
        measured = (
            end.gender in MALE,
            end.shape,
            thread and (thread.pitch_mm, thread.external_major_mm, thread.internal_minor_mm, thread.taper),
            *(end.seat_form, end.seat_half_angle_deg, end.also_seats_deg, end.seal, end.carries_seal),
            *(end.tube_od_mm, end.flange, end.profile_mm, end.line, end.around_shoulder == "ring"),
        )
        alike[measured].add(end.part)
    assert not [sorted(parts) for parts in alike.values() if len(parts) > 1]


def test_parts_name_ends(catalogue: Catalogue) -> None:
    for end in catalogue.ends:
        assert end.part in catalogue.by_id, end.id
        assert catalogue.by_id[end.part].part == end.part, end.id
        assert (catalogue.by_id[end.part].gender in MALE) == (end.gender in MALE)


def test_every_source_is_used_and_every_used_source_is_there(catalogue: Catalogue, texts: dict[str, str]) -> None:
    tables = [text for path, text in texts.items() if not belongs(path, "sources")]
    assert {row["source"] for text in tables for row in csv.DictReader(text.splitlines())} == set(catalogue.sources)


def test_every_thread_is_used(catalogue: Catalogue) -> None:
    assert {end.thread.designation for end in catalogue.ends if end.thread} == set(catalogue.threads)


def test_figures_came_to_the_ends(catalogue: Catalogue) -> None:
    end = catalogue.by_id["flare37/6/female"]
    assert len({figure.source for figure in end.torque}) > 1 and end.turns and end.pressure
    assert {figure.unit for figure in end.torque} == {"N·m"} and {figure.unit for figure in end.pressure} == {"bar"}


def test_words_name_one_series(catalogue: Catalogue) -> None:
    """But for the two 30 degree flares: their common name is as open as the trade leaves it."""
    named: dict[str, list[str]] = defaultdict(list)
    for series in catalogue.series.values():
        assert series.words, series.id
        for word in series.words:
            named[word].append(series.id)
    shared = {word: series for word, series in named.items() if len(series) > 1}
    assert shared == {"thirty degree flare": ["flare30-g", "flare30-m"]}


def test_origins_are_weak_and_name_what_is_there(catalogue: Catalogue) -> None:
    assert {"america", "britain", "germany", "japan", "italy", "france"} <= set(catalogue.origins)
    limit = float(Fraction(11, 10))  # log 3: a country may not say more than a seat form just seen
    for country, odds in catalogue.origins.items():
        assert odds, country
        assert all(0 < abs(value) <= limit and series in catalogue.series for series, value in odds.items()), country
