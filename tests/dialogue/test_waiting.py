"""What waits on "right?" is never lost in silence: it is asked once more, joined by another doubt, taken as perhaps so,
or said to be dropped."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.confirmation import Risk

STUD = "male stud, M eighteen, one and a half pitch, metal edge on the shoulder"


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def doubted(talk: Talk) -> str:
    """The stud heard, and perhaps something else."""
    return talk.hear((STUD, 0.75), ("pass me the torch", 0.25))


def readings(talk: Talk) -> dict[str, float]:
    return {r.option.measurand.value: r.option.certainty for r in talk.snapshot.readings}


@pytest.mark.parametrize("risk", list(Risk))
def test_only_a_plain_value_in_words_is_taken_though_nobody_said_yes(knowledge: Knowledge, risk: Risk) -> None:
    assert knowledge.policy.passed_over_as(risk, guessed=True) == 0.0
    assert (knowledge.policy.passed_over_as(risk, guessed=False) > 0.0) is (risk is Risk.PLAIN)


def test_a_value_said_instead_of_one_of_several_takes_the_place_of_that_one_alone(talk: Talk) -> None:
    assert doubted(talk).endswith("right?")
    reply = talk.say("nineteen pitch")
    assert reply.startswith("Nineteen pitch.") and "one and a half" not in reply
    assert "tud, metric thread" in reply and reply.endswith("right?")
    talk.say("yes")
    assert {"gender", "pitch", "thread_size", "shoulder_edge"} <= set(readings(talk))


def test_passed_over_twice_it_is_perhaps_so_and_read_back(talk: Talk) -> None:
    doubted(talk)
    assert talk.say("what torque").endswith("right?")
    assert "aybe stud" in talk.say("what is a pitch")
    assert readings(talk)["gender"] == talk.knowledge.policy.passed_over


def test_what_was_guessed_is_said_to_be_dropped(talk: Talk) -> None:
    talk.say("male, one inch outside, sixteen pitch")
    assert talk.say("the front has a groove").endswith("right?"), "it is no longer guessed at"
    before = readings(talk)
    talk.say("what torque")
    assert "Not taken: the front has a groove." in talk.say("what is a pitch")
    assert readings(talk) == before


def test_another_doubt_joins_it(talk: Talk) -> None:
    doubted(talk)
    reply = talk.say("it's got a cross hole")
    assert "M" in reply or "metric thread" in reply
    assert "banjo" in reply.casefold() and reply.endswith("right?")


def test_another_job_says_what_is_left_behind(talk: Talk) -> None:
    doubted(talk)
    assert "Not taken: male stud" in talk.say("new job")
