"""How sure it is said to be: nothing makes it surer but a reading, or that something cannot be told."""

from __future__ import annotations

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


def test_a_check_that_is_talked_past_was_not_answered(knowledge: Knowledge) -> None:
    """What is ordered, asked and taken back in between has the check asked again and again."""
    talk = Talk(knowledge)
    talk.say("male three quarter sixteen thirty seven degrees, tube half inch")
    for line in ("order four", "where are we", "undo", "i need eight", "undo", "order slip", "where are we", "mumble"):
        assert "Identified" not in talk.say(line)
        assert not talk.snapshot.advice.identified
