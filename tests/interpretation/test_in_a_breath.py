"""Sizes, angles and ways said in a breath, without pause or name."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context

IN, OUT = "seat_form recessed", "seat_form convex"


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("thirty seven out", ["seat_angle 37 deg", OUT]),
        ("thirty seven, out", ["seat_angle 37 deg", OUT]),
        ("twenty four in", ["seat_angle 24 deg", IN]),
        ("twenty four degree seat in", ["seat_angle 24 deg", IN]),
        ("sixty degree cone, in", ["seat_angle 60 deg", IN]),
        ("flare thirty seven outwards", ["seat_angle 37 deg", OUT]),
        ("seat in", [IN]),
        ("seat out", [OUT]),
        # a tube and the angle of its cone are no hundredths
        ("tube eighteen twenty four in", ["tube_outside_diameter 18 mm /1", "seat_angle 24 deg", IN]),
        ("pipe twelve twenty four", ["tube_outside_diameter 12 mm /1", "seat_angle 24 deg"]),
        ("tube fifteen eighty eight", ["tube_outside_diameter 15.88 mm /100"]),
        # a thread behind what a nut is called by; and a spanner's size, where no thread begins with it
        ("the nut twenty two", ["hex 22 mm /1"]),
    ],
)
def test_in_a_breath(language: Language, text: str, items: list[str]) -> None:
    meaning = language.interpret(text, Context())[0]
    assert [notes.item(item) for item in meaning.items] == items


@pytest.mark.parametrize("text", ["thirty in the nut", "thirty seven out of the box"])
def test_a_way_that_goes_on_to_a_place_is_no_way_of_a_seat(language: Language, text: str) -> None:
    said = [notes.item(item) for item in language.interpret(text, Context())[0].items]
    assert not any(item in (IN, OUT) for item in said)


@pytest.mark.parametrize("text", ["nut nine sixteenths eighteen", "the nut seven eighths, fourteen"])
def test_a_thread_behind_a_nut_is_no_hexagon(language: Language, text: str) -> None:
    said = [notes.item(item) for item in language.interpret(text, Context())[0].items]
    assert said[0] == "gender female" and not any(item.startswith("hex") for item in said), said


@pytest.mark.parametrize(
    "text", ["seventeen eight one five", "twenty one eight one point five", "fifteen nine, one five"]
)
def test_a_size_with_its_point_left_out_before_a_pitch(language: Language, text: str) -> None:
    said = [notes.item(item) for item in language.interpret(text, Context())[0].items]
    assert said[-1] == "pitch 3/2 mm" and "/10" in said[0], said
