"""Sizes, angles and ways said in a breath, without pause or name."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context, Measurand

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


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("code sixty two, inch and a quarter", ["series flange62", "thread_size 5/4 in"]),
        ("three quarter code sixty one", ["series flange61", "thread_size 3/4 in"]),
        ("bolt holes fifty seven point two the long way", ["bolt_long 57.2 mm /10"]),
        ("it's got a nut on it that spins round", ["gender female"]),
        ("flat round end", ["seat_form flat"]),
        ("it says fifty five on the leaf", ["flank_angle 55 deg"]),
        ("it says nineteen on the leaf", ["pitch 19 tpi"]),
        ("eighteen, eighteen point eight inside", ["inside_diameter 18.8 mm /10"]),
        ("one forty five elbow", ["elbow_angle 45 deg"]),
        ("four spiral, eight fifty", ["reinforcement four_wire_spirals", "length 850 mm /1"]),
    ],
)
def test_what_numbers_are_of(language: Language, text: str, items: list[str]) -> None:
    assert [notes.item(item) for item in language.interpret(text, Context())[0].items] == items


def test_the_sides_of_a_flange_in_two_ways(language: Language) -> None:
    said = language.interpret("forty seven and a half one way and twenty two the other between bolts", Context())[0]
    assert [notes.item(item).split()[0] for item in said.items] == ["bolt_long", "bolt_short"]


def test_a_taper_pipe_before_a_size_is_no_tube(language: Language) -> None:
    said = [notes.item(item) for item in language.interpret("taper pipe, twenty six two", Context())[0].items]
    assert said[0] == "taper tapered" and said[1].startswith("outside_diameter 26.2"), said


@pytest.mark.parametrize("text", ["yes a good wide one", "yeah, a great big one", "yep a nice deep one"])
def test_what_the_thing_asked_for_is_like_hides_no_yes(language: Language, text: str) -> None:
    found = language.interpret(text, Context(expected=(Measurand.SEAL,), yes_no=True))[0]
    assert [notes.item(item) for item in found.items] == ["!yes"]


@pytest.mark.parametrize("text", ["thirty, steel only", "thirty, bare steel"])
def test_a_clause_that_answers_one_of_two_checks_is_not_lost_beside_the_other(language: Language, text: str) -> None:
    found = language.interpret(text, Context(expected=(Measurand.SEAT_ANGLE, Measurand.SEAL)))[0]
    assert "seal metal" in [notes.item(item) for item in found.items]
