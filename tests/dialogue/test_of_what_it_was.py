"""A value that is denied as another thing is moved to that, and nothing else on record is touched."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def values(talk: Talk) -> dict[Measurand, str]:
    return {r.option.measurand: str(r.option.value) for r in talk.snapshot.readings if not r.option.negated}


@pytest.mark.parametrize(
    "said", ["no it isn't fifty five pitch, that's the angle", "it is not fifty five pitch, that's the angle"]
)
def test_a_pitch_that_is_the_angle_becomes_that_of_the_flanks(talk: Talk, said: str) -> None:
    talk.say("male, sixteen and a half outside")
    before = values(talk)
    talk.say("fifty five pitch")
    talk.say(said)
    after = values(talk)
    assert Measurand.FLANK_ANGLE in after and Measurand.PITCH not in after
    assert before.items() <= after.items()


@pytest.mark.parametrize(
    "said", ["no it isn't nineteen pitch, that's the other one", "it isn't nineteen pitch, that was the other end"]
)
def test_a_pitch_of_the_other_one_begins_no_piece(talk: Talk, said: str) -> None:
    talk.say("male, sixteen and a half outside")
    before = values(talk)
    talk.say("nineteen pitch")
    talk.say(said)
    assert values(talk) == before
    assert len(talk.session.state.record.work.job.pieces) == 1
