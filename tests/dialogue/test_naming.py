"""A yes or no is of what the sentence names, and not of the check that is open."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from tests.dialogue.test_resolving import taken
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand

FLANKS = ("male, twenty point nine outside, fourteen pitch, tapered",)


def asked(talk: Talk) -> Measurand | None:
    check = talk.session.snapshot().advice.check
    return None if check is None else check.measurand


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("yes there's a ring at the base", ("seal", "base_o_ring", False)),
        ("yes straight edge touches all along", ("taper", "parallel", False)),
        ("no it's a thirty degree flare gauge", ("seat_angle", 30, False)),
        ("no there's no ring at the base", ("seal", "base_o_ring", True)),
    ],
)
def test_it_says_nothing_of_the_flanks(knowledge: Knowledge, text: str, meant: tuple[str, object, bool]) -> None:
    talk = Talk(knowledge)
    for line in FLANKS:
        talk.say(line)
    assert asked(talk) is Measurand.FLANK_ANGLE
    talk.say(text)
    assert meant in taken(talk)
    assert all(measurand != "flank_angle" for measurand, *_ in taken(talk))


def test_what_is_taken_back_by_name_answers_nothing_else(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in ("male, twenty point nine outside, fourteen pitch, tapered", "flat face"):
        talk.say(line)
    before = [each for each in taken(talk) if each[0] == "flank_angle"]
    talk.say("no not flat face")
    assert ("seat_form", "flat", True) in taken(talk)
    assert [each for each in taken(talk) if each[0] == "flank_angle"] == before


def test_behind_a_pause_it_answers_the_check(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in FLANKS:
        talk.say(line)
    talk.say("yes, and it's male")
    assert any(measurand == "flank_angle" for measurand, *_ in taken(talk))


def test_sorry_what_was_that_takes_nothing_away(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    first = talk.say("male, twenty point nine outside, fourteen pitch")
    before = taken(talk)
    assert talk.say("sorry, what was that") == first
    assert taken(talk) == before
