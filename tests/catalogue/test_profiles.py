"""Couplers and staple connectors: both halves, and diameters far enough apart to be told."""

from __future__ import annotations

from itertools import pairwise

import pytest

from voicefit.catalogue import Catalogue, profiles
from voicefit.errors import BadTable
from voicefit.records import Gender, Seal, SeatForm

SERIES = ("coupler-a", "coupler-b", "coupler-flat", "staple")


def test_every_size_has_both_halves_and_they_enter_each_other(catalogue: Catalogue) -> None:
    for series in SERIES:
        ends = {end.id: end for end in catalogue.ends if end.series == series}
        males = [end for end in ends.values() if end.gender is Gender.MALE]
        assert len(males) >= 5
        assert len(ends) == 2 * len(males)
        for male in males:
            female = ends[male.id.replace("/male", "/female")]
            ((_, outside),), ((_, inside),) = male.profile_mm, female.profile_mm
            assert outside <= inside <= outside + 0.2
            assert male.carries_seal != female.carries_seal
            assert male.seal is Seal.BORE_O_RING
            assert male.thread is None and male.seat_half_angle_deg is None


def test_only_the_flat_face_coupler_has_a_flat_face(catalogue: Catalogue) -> None:
    flat = {end.series for end in catalogue.ends if end.series in SERIES and end.seat_form is SeatForm.FLAT}
    assert flat == {"coupler-flat"}


def test_profiles_grow_and_hold_the_bore(catalogue: Catalogue) -> None:
    for series in SERIES:
        males = [end for end in catalogue.ends if end.series == series and end.gender is Gender.MALE]
        for smaller, larger in pairwise(males):
            assert smaller.profile_mm[0][1] < larger.profile_mm[0][1]
        for end in males:
            assert end.dash is not None
            assert end.profile_mm[0][1] > end.dash / 16 * 25.4


@pytest.mark.parametrize(
    ("end_id", "diameter"),
    [  # mm as printed, values from memory
        ("coupler-a/8/male", 20.5),  # ISO 7241 series A, the agricultural half inch also in ISO 5675
        ("coupler-b/8/male", 23.5),  # ISO 7241 series B
        ("coupler-flat/8/male", 24.5),  # ISO 16028
        ("staple/12/male", 28.9),  # SAE J1467, DIN 20043
    ],
)
def test_diameters_as_printed(catalogue: Catalogue, end_id: str, diameter: float) -> None:
    assert catalogue.by_id[end_id].profile_mm[0][1] == pytest.approx(diameter, abs=0.05)


STAPLES = "id,series,dash,nominal,spigot_diameter_mm,bore_diameter_mm,source,basis\n"
COUPLERS = "id,series,dash,nominal,probe_diameter_mm,source,basis\n"


@pytest.mark.parametrize(
    ("file", "text", "column", "reason"),
    [
        (
            "staples.csv",
            STAPLES + "staple/6,staple,6,3/8,20,19.9,s,memory\n",
            "bore_diameter_mm",
            "greater than spigot",
        ),
        ("staples.csv", STAPLES + "staple/6,staple,six,3/8,19.9,20,s,memory\n", "dash", "integer"),
        ("staples.csv", STAPLES + "staple/6,staple,6,3/8,,20,s,memory\n", "spigot_diameter_mm", "must not be empty"),
        (
            "couplers.csv",
            COUPLERS + "b/6,coupler-b,6,3/8,19,s,memory\n",
            "id",
            "must begin with its series, coupler-b/",
        ),
        ("couplers.csv", COUPLERS + "coupler-b/6,coupler-b,6,3/8,900,s,memory\n", "probe_diameter_mm", "200"),
        ("couplers.csv", COUPLERS + "coupler-b/6,coupler-b,6,3/8,19,t,memory\n", "source", "is not in sources.csv"),
    ],
)
def test_a_bad_row_names_its_place(file: str, text: str, column: str, reason: str) -> None:
    with pytest.raises(BadTable, match=reason) as caught:
        profiles.parse({file: text}, {"s": None})
    assert (caught.value.file, caught.value.row, caught.value.column) == (file, 2, column)
