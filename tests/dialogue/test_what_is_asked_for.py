"""What is asked for by its noun is answered by that: ring, bolts, nut; and of what is refused nothing is asked."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.fixture
def flange(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    for line in ("flange, code sixty one", "head forty four point five", "bolts fifty two long way"):
        talk.say(line)
    return talk


@pytest.mark.parametrize(
    ("asked", "ring", "bolts"),
    [
        ("what o-ring and bolts", True, True),
        ("what oring then", True, False),
        ("how thick bolts", False, True),
        ("what size bolts", False, True),
        ("what spanner do I need for the bolts", False, False),
    ],
)
def test_the_ring_and_the_bolts_of_a_flange(flange: Talk, asked: str, ring: bool, bolts: bool) -> None:
    """Sizes by the tables (ISO 6162-1, SAE AS568)."""
    reply = flange.say(asked)
    assert ("two one nine" in reply) == ring
    assert ("four bolts" in reply) == bolts
    assert ("spanner" in reply) == (not ring and not bolts)


def test_which_nut_to_order_orders_nothing(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("eighteen millimeter light cone male")
    reply = talk.say("what nut do I order")
    assert "it mates with eighteen millimeter light" in reply
    assert "Slip" not in reply and not talk.deeds


def test_the_ring_and_then_its_size(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("eighteen millimeter light cone male")
    assert "cutting ring" in talk.say("what oring then, what size")


@pytest.mark.parametrize("said", ["brake line, small nut", "power steering hose, male"])
def test_what_is_refused_is_not_asked_about(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    assert talk.say(said).startswith("I do not do ")
    assert "?" not in talk.reply


@pytest.mark.parametrize("said", ["off the A C on a tractor", "A C line, male", "it's from the air con of a loader"])
def test_air_conditioning_is_refused_by_any_of_its_names(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    assert "an air-conditioning end. I do not do those" in talk.say(said)


def test_what_is_likeliest_is_named_to_who_asks_and_called_unsure(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside three quarters")
    assert "Likeliest so far, not sure: one-half thirty seven degree flare, male." in talk.say("so what is it")
