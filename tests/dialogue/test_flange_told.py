"""A flange that is told by its head, its bolts or its series is one, though nobody said "flange"."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize(
    "told", ["flange head thirty eight point one", "bolts forty seven point six the long way", "code sixty one"]
)
def test_a_bare_length_is_then_none_of_a_thread(told: str, knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(told)
    talk.say("seven millimeters")
    measured = {reading.option.measurand.value for reading in talk.snapshot.readings}
    assert not measured & {"thread_size", "outside_diameter", "inside_diameter"}, measured
