"""A reading that is taken otherwise than it was read back is said again once that is likely enough."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.record import OnRecord
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.state import Focus


@pytest.mark.parametrize(("probability", "said"), [(0.59, False), (0.61, True)])
def test_a_side_is_taken_back_aloud_from_six_tenths_on(
    probability: float, said: bool, knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Common practice, no source: less likely than that, the person is not to be told one thing and then another."""
    talk = Talk(knowledge)
    assert "inside" in talk.say("fifteen millimeters")
    believe_in = Knowledge.believe_in

    def otherwise(self: Knowledge, record: OnRecord, focus: Focus) -> Belief:
        belief = believe_in(self, record, focus)
        first = belief.taken[0]
        other = next(each for each in first.reading.options if each.measurand.value == "outside_diameter")
        return replace(belief, taken=(replace(first, option=other, probability=probability), *belief.taken[1:]))

    monkeypatch.setattr(Knowledge, "believe_in", otherwise)
    reply = talk.say("male")
    assert ("but fifteen millimeters outside" in reply or "but one five millimeters outside" in reply) == said, reply
