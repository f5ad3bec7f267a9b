"""A bare value answers what was asked; of two checks asked in one breath, the one that it can be of."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity
from voicefit.records import Check


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def asked(talk: Talk, *checks: str) -> None:
    """As if these had just been asked in one breath."""
    session = talk.session
    open_ = [Check(each, talk.knowledge.checks[each].measurand, 10.0) for each in checks]
    focus = replace(session.state.focus, check=open_[0], beside=tuple(open_[1:]))
    session.state = replace(session.state, focus=focus)


def taken(talk: Talk, before: int = 0) -> list[tuple[str, str]]:
    """Of the readings after the first ones, what each was taken as."""
    return [
        (
            each.option.measurand.value,
            f"{float(v.value):g} {v.unit}" if isinstance(v := each.option.value, Quantity) else v,
        )
        for each in talk.snapshot.readings[before:]
    ]


TUBE_FIRST, ANGLE_FIRST = ("tube", "seat-angle"), ("seat-angle", "pitch")


@pytest.mark.parametrize(
    ("checks", "said", "values"),
    [
        (("tube", "pitch"), "one point seven five", [("pitch", "1.75 mm")]),  # no tube is so thin
        (("tube", "pitch"), "eleven and a half", [("pitch", "11.5 tpi")]),
        (("tube", "pitch"), "one point oh", [("pitch", "1 mm")]),
        (("tube", "pitch"), "a millimeter and a half", [("pitch", "1.5 mm")]),
        (("tube", "pitch"), "the nineteen one", [("pitch", "19 tpi")]),
        (("tube", "pitch"), "um, like, twenty", [("tube_outside_diameter", "20 mm")]),  # both exist: asked first
        (("pitch", "tube"), "twenty", [("pitch", "20 tpi")]),
        (TUBE_FIRST, "sixteen", [("tube_outside_diameter", "16 mm")]),
        (TUBE_FIRST, "sixty", [("seat_angle", "60 deg")]),
        (TUBE_FIRST, "fourteen, twelve", [("tube_outside_diameter", "14 mm"), ("seat_angle", "12 deg")]),
        (TUBE_FIRST, "twelve, fourteen", [("seat_angle", "12 deg"), ("tube_outside_diameter", "14 mm")]),
        (ANGLE_FIRST, "one and a half", [("pitch", "1.5 mm")]),
        (ANGLE_FIRST, "sixty, fourteen", [("seat_angle", "60 deg"), ("pitch", "14 tpi")]),
        (ANGLE_FIRST, "fourteen, sixty", [("pitch", "14 tpi"), ("seat_angle", "60 deg")]),
        (ANGLE_FIRST, "twelve, twelve", [("seat_angle", "12 deg"), ("pitch", "12 tpi")]),
        (ANGLE_FIRST, "fourteen pitch, thirty", [("pitch", "14 tpi"), ("seat_angle", "30 deg")]),
    ],
)
def test_two_asked_at_once(talk: Talk, checks: tuple[str, str], said: str, values: list[tuple[str, str]]) -> None:
    talk.say("male, twenty outside, cone goes in")
    asked(talk, *checks)
    talk.say(said)
    assert taken(talk, 3) == values


@pytest.mark.parametrize(
    ("said", "value", "left_out"),
    [
        ("can't tell, twelve", ("seat_angle", "12 deg"), "tube"),
        ("twelve, can't tell", ("tube_outside_diameter", "12 mm"), "seat-angle"),
    ],
)
def test_cannot_tell_is_one_of_two_answers(talk: Talk, said: str, value: tuple[str, str], left_out: str) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say(said)
    assert taken(talk, 2) == [value]
    assert talk.session.record.work.piece.impossible == {left_out}


def test_neither_leaves_out_both(talk: Talk) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("neither")
    assert talk.session.record.work.piece.impossible == set(TUBE_FIRST)


def test_a_value_that_no_gauge_has_is_no_angle(talk: Talk) -> None:
    """It was asked for an angle, and "eighteen" is none: the pitch is not known yet."""
    talk.say("male, outside three quarters, metal on metal")
    asked(talk, "seat-angle")
    talk.say("eighteen")
    assert ("seat_angle", "18 deg") not in taken(talk)


@pytest.mark.parametrize("words", ["no, the angle", "no that's the angle", "I meant the angle", "that was the angle"])
def test_what_a_value_is_of_is_put_right(talk: Talk, words: str) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("thirty")
    assert taken(talk, 2) == [("tube_outside_diameter", "30 mm")]
    talk.say(words)
    assert taken(talk, 2) == [("seat_angle", "30 deg")]


def test_no_gauge_is_the_gauge_that_was_asked_for(talk: Talk) -> None:
    """Of a caliper and a gauge, asked for at once, "no gauge" is the gauge."""
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("I haven't got a gauge")
    assert talk.session.record.without == {"seat-gauge"}
