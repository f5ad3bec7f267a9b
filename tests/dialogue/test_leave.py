"""Whether one may, and whether it is dangerous: yes or no comes first, and why; and no is said of what is named.

Answers of common practice, no source, but what mates, which the tables say.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out")
    assert talk.snapshot.concluded == "flare37/6/male"
    return talk


@pytest.mark.parametrize(
    "asked",
    [
        "can I pull it with pressure on",
        "can I open it while it runs",
        "is it okay to connect it with pressure trapped in",
        "can I use a bent nail for the clip",
        "can I run it without the o-ring",
        "is hand tight enough",
        "is finger tight okay",
        "is it safe if it only goes in three turns",
        "can I use it with another make",
        "is it safe to mix the halves",
    ],
)
def test_no_comes_first(talk: Talk, asked: str) -> None:
    assert talk.say(asked).startswith("No: ")


@pytest.mark.parametrize(
    "asked",
    [
        "is it dangerous to mix the halves sixty one with sixty two",
        "is it dangerous to pull it with pressure on",
        "is it risky to knock the staple out",
    ],
)
def test_what_is_dangerous_is_never_answered_by_no(talk: Talk, asked: str) -> None:
    assert talk.say(asked).startswith("Yes, dangerous: ")


def test_what_may_be_done_with_care(talk: Talk) -> None:
    assert talk.say("is it safe to knock the staple out").startswith("Yes, with the pressure off")


def test_how_tight_is_said_where_by_hand_is_not_enough(talk: Talk) -> None:
    assert "newton meters" in talk.say("is hand tight enough")


@pytest.mark.parametrize(
    "asked", ["can I turn it by hand", "can I use it in the pressure line", "what pressure is on it", "can I open it"]
)
def test_other_questions_are_not_forbidden(talk: Talk, asked: str) -> None:
    reply = talk.say(asked)
    assert reply and not reply.startswith("No: ")


@pytest.mark.parametrize(
    "asked",
    ["can I put it on the car one with forty five degrees, it screws on fine", "can I screw it on a forty five"],
)
def test_what_screws_on_and_leaks_is_said_to(knowledge: Knowledge, asked: str) -> None:
    """Thirty-seven and forty-five degree flares share their thread in dash eight (ISO 8434-2, SAE J512)."""
    talk = Talk(knowledge)
    talk.say("male, outside three quarters, sixteen pitch, thirty seven degrees, it sticks out")
    reply = talk.say(asked)
    assert "It screws on, but does not seal: never one-half forty five degree flare, female" in reply
    assert "pitch" not in reply


def test_clamps_of_the_other_code_are_none_of_another_size(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in ("code sixty two flange, head", "head forty seven point six", "bolts fifty seven long way"):
        talk.say(line)
    for line in ("can I use sixty one clamps on it", "can I use code sixty one halves"):
        reply = talk.say(line)
        assert "no" in reply.casefold().replace(":", "").replace(".", "").split()
        assert "one hundred" not in reply and "yes" not in reply.casefold()


@pytest.mark.parametrize(
    "asked",
    [
        "so the o-ring, can I do without it",
        "can I leave that ring off till a new one comes",
        "ring off while we wait, is that okay",
        "seal off for now, would that be all right",
        "the clip, could we do without that",
        "okay to run it without the ring",
        "I can leave the ring off for a bit, can't I",
    ],
)
def test_whether_to_leave_it_out_is_no_reading_and_gets_a_no(talk: Talk, asked: str) -> None:
    talk.say("o-ring")
    before = talk.snapshot.readings
    assert talk.say(asked).startswith("No: ")
    assert talk.snapshot.readings == before


@pytest.mark.parametrize(
    "told",
    ["the ring is there, it was just a question", "the ring's in, I was only asking", "I only asked about the ring"],
)
def test_what_was_only_asked_changes_nothing(talk: Talk, told: str) -> None:
    before = talk.snapshot
    talk.say(told)
    assert talk.snapshot.readings == before.readings and talk.snapshot.concluded == before.concluded


def test_a_value_beside_what_was_only_asked_stands(talk: Talk) -> None:
    talk.say("hex twenty two, I was only asking")
    assert any(each.option.measurand.value == "hex" for each in talk.snapshot.readings)
