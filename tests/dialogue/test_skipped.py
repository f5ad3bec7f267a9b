"""What is skipped by name, tools that are not at hand or are found again, and "done" amid the steps of a check."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("male, fourteen pitch")
    return talk


@pytest.mark.parametrize("text", ["skip seat", "I'm in a hurry skip the seat", "skip the seat for now"])
def test_what_is_skipped_by_name_is_not_asked_next(talk: Talk, text: str) -> None:
    assert talk.say(text).startswith("Later, then.")
    put_off = talk.session.state.record.work.piece.put_off
    assert {talk.knowledge.checks[each].measurand.value for each in put_off} == {"seat_form", "seat_angle"}


def test_only_the_caliper_is_both_gauges_away_and_each_comes_back_by_itself(talk: Talk) -> None:
    talk.say("only the caliper")
    assert talk.session.state.record.without == {"pitch-gauge", "seat-gauge"}
    talk.say("I've got the thread gauge now")
    assert talk.session.state.record.without == {"seat-gauge"}


def test_done_goes_to_the_next_step(talk: Talk) -> None:
    assert talk.say("how").startswith("Step one of three.")
    assert talk.say("done, wiped it").startswith("Step two of three.")
    assert talk.say("skip the rest").startswith("Cancelled.")
