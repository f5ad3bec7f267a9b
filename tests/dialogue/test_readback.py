"""A reading that is taken otherwise than it was read back is said again once that is likely enough."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.snapshot import Belief


@pytest.mark.parametrize(("probability", "said"), [(0.59, False), (0.61, True)])
def test_a_side_is_taken_back_aloud_from_six_tenths_on(
    probability: float, said: bool, knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Common practice, no source: less likely than that, the person is not to be told one thing and then another."""
    talk = Talk(knowledge)
    assert talk.say("fifteen millimeters").startswith("One five millimeters.")
    believe = Knowledge.believe

    def otherwise(self: Knowledge, *known: Any) -> Belief:
        belief = believe(self, *known)
        first = belief.taken[0]
        other = next(each for each in first.reading.options if each.measurand.value == "outside_diameter")
        return replace(belief, taken=(replace(first, option=other, probability=probability), *belief.taken[1:]))

    monkeypatch.setattr(Knowledge, "believe", otherwise)
    reply = talk.say("male")
    assert ("So one five millimeters outside." in reply) == said, reply


@pytest.mark.parametrize(
    ("said", "read_back"),
    [
        ("there's a cone", "A cone."),
        ("seat is thirty or forty-five", "Thirty degrees or forty-five degrees."),
        ("the nut's got a cone in it", "A cone."),  # its nose, or the funnel that it is cut to
        ("cone or flat", "A cone or flat face."),
        ("female or port", "Female or port."),
        ("flat or a shoulder", "Flat face or flat shoulder."),
        ("maybe a cone", "Maybe a cone."),
    ],
)
def test_what_was_left_open_is_read_back_as_open(said: str, read_back: str, knowledge: Knowledge) -> None:
    """None of them is claimed, and the words said back mean the same again."""
    reply = Talk(knowledge).say(said)
    assert reply.startswith(read_back), reply
    assert Talk(knowledge).say(read_back.rstrip(".")).startswith(read_back)


def test_a_number_that_is_denied_is_read_back_as_denied(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert talk.say("not eighteen").startswith("Not eighteen millimeters.")
    assert "not three-quarters" in talk.say("half inch, not three quarter").casefold()
