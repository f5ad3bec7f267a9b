"""A job is called by its name, its place or its number; its slip is read in another job, which stays in hand."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    for each in ("call this one Dave's crane", "male, face seal, one inch fourteen", "new job", "female"):
        talk.say(each)
    assert talk.session.record.work.job.number == 2
    return talk


@pytest.mark.parametrize(
    "said",
    [
        "back to Dave's crane", "go back to the Dave's crane job", "back to crane", "switch to Dave's crane",
        "take me back to Dave's crane again", "back to the first job", "back to the other job",
        "carry on with Dave's crane",
    ],
)  # fmt: skip
def test_a_job_is_called_by_its_name_or_place(talk: Talk, said: str) -> None:
    assert talk.say(said).startswith("Job one, piece one.")
    assert talk.session.record.work.job.number == 1


@pytest.mark.parametrize(
    "said",
    [
        "slip of job one", "read the slip of the first job", "the slip of the last job",
        "read me the order for job one",
        "what's on the list of the other job", "read the slip of Dave's crane",
    ],
)  # fmt: skip
def test_the_slip_of_another_job_is_read_and_the_job_in_hand_stays(talk: Talk, said: str) -> None:
    assert talk.say(said) == "Slip of job one: five-eighths O-ring face seal, male, dash ten. We are in job two."
    assert talk.session.record.work.job.number == 2


def test_no_job_is_made_up(talk: Talk) -> None:
    assert talk.say("slip of job seven") == "There is no job seven."
    talk.say("back to the end")
    talk.say("back to the pump")
    assert talk.session.record.work.job.number == 2
    assert "dave's crane" in talk.say("back to crane") + talk.say("what is this job called")
