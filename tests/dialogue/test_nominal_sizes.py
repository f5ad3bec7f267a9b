"""An inch size before the name of a series is its thread's or its tube's: neither is taken for sure.

Sizes: half-inch tube, 3/4-16 thread, dash 8; 5/16 tube, 1/2-20 thread, dash 5 (ISO 8434-2, from memory). That the trade
says both so is common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize("said", ["half inch j i c male", "male, half inch JIC"])
def test_half_inch_flare_may_be_dash_five_or_eight(said: str, knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert "ery likely" not in talk.say(said)
    ends = [knowledge.catalogue.ends[row].id for row, _ in talk.snapshot.candidates[:2]]
    assert set(ends) == {"flare37/5/male", "flare37/8/male"}
    talk.say("three quarters outside, sixteen pitch")
    assert talk.leader == "flare37/8/male"


def test_half_inch_face_seal_is_of_its_tube(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("half inch face seal, male")
    assert talk.leader == "orfs/8/male"
