"""What a hose of several possible kinds holds is the lowest of them, and is said to be so.

SAE 100 R17 holds 3000 psi (206 bar) in every size, 2SN of EN 853 275 bar in DN 12: both from memory.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

LEAST = "the hose, not settled, at worst R seventeen dash eight"


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("hose, two wire braids, bore 12")
    return talk


@pytest.mark.parametrize("asked", ["will it hold 300 bar", "is 300 bar ok", "is 300 bar allowed"])
def test_it_is_not_good_for_more_than_the_weakest_that_fits(talk: Talk, asked: str) -> None:
    assert talk.say(asked).startswith(f"No, not for three hundred bar: {LEAST} holds two hundred six bar")
    assert not any(each.option.measurand.value == "pressure" for each in talk.snapshot.readings)


@pytest.mark.parametrize("asked", ["which is the weakest", "what does it hold", "pressure"])
def test_it_is_counted(talk: Talk, asked: str) -> None:
    reply = talk.say(asked)
    assert f"The weakest is {LEAST}: two hundred six bar" in reply and "Not counted" not in reply


def test_it_is_held_against_the_working_pressure_beside_the_ends(talk: Talk) -> None:
    talk.say("working pressure 350 bar")
    talk.say("next fitting")
    talk.say("male, M22 by one and a half, twenty four degrees, fifteen tube")
    reply = talk.say("which is the weakest")
    assert LEAST in reply and "very likely fifteen millimeter light" in reply
    assert "the hose is not counted" not in talk.say("is 200 bar allowed")


def test_a_bore_alone_tells_too_little(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("hose half inch")
    assert talk.say("pressure").startswith("Too many still fit to say.")
