"""What is said beside the readings: alarms, what tells nothing, questions, a "no" to what was read back before."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def measured(talk: Talk) -> list[Measurand]:
    return [reading.option.measurand for reading in talk.snapshot.readings]


def test_an_alarm_comes_first_and_the_readings_are_kept(talk: Talk) -> None:
    reply = talk.say("there's oil squirting everywhere, seven eighths outside, fourteen pitch")
    assert reply.startswith(talk.knowledge.wording.cautions["leak"])
    assert measured(talk) == [Measurand.OUTSIDE_DIAMETER, Measurand.PITCH]
    assert not reply.endswith("?")


@pytest.mark.parametrize("text", ["I've only got one glove on", "this one's been here for years", "we're at gate five"])
def test_what_tells_nothing_leaves_no_trace_and_the_check_open(talk: Talk, text: str) -> None:
    talk.say("male, fourteen pitch")
    before, check = measured(talk), talk.snapshot.advice.check
    reply = talk.say(text)
    assert not talk.snapshot.rejected
    assert (measured(talk), talk.snapshot.advice.check) == (before, check)
    assert reply.endswith("?")


def test_a_value_behind_no_is_the_answer_where_nothing_just_read_back_can_be_that(talk: Talk) -> None:
    talk.say("male, eleven sixteenths outside")
    talk.say("it sticks out")
    talk.say("can't tell")
    talk.say("no, it's sixteen")
    assert Measurand.OUTSIDE_DIAMETER in measured(talk)
    assert Measurand.PITCH in measured(talk)


def test_no_to_an_explanation_corrects_nothing(talk: Talk) -> None:
    talk.say("male, eleven sixteenths outside")
    talk.say("what do you mean")
    assert "Instead of" not in talk.say("no")


def test_what_is_left_of_a_hose_is_told(talk: Talk) -> None:
    talk.say("this is a hose")
    talk.say("two S N dash eight")
    assert "two S N" in talk.say("what's left")


def test_a_bore_that_no_hose_has_is_asked_about(talk: Talk) -> None:
    talk.say("this is a hose")
    talk.say("seventy")
    assert measured(talk) == []


def test_what_seals_it_is_what_the_person_said_seals_it(talk: Talk) -> None:
    """A taper end whose variant has a seat as well: with tape on it, it seals on the thread."""
    for said in (
        "male, sealed with tape, tapered",
        "eleven sixteenths outside",
        "eighteen pitch",
        "flanks sixty degrees",
    ):
        talk.say(said)
    assert "metal" not in talk.say("what do I put under the head")


@pytest.mark.parametrize(("text", "gender"), [("ring eye", "female"), ("banjo bolt", "male")])
def test_half_of_a_banjo_says_which_half(talk: Talk, text: str, gender: str) -> None:
    talk.say(text)
    assert [reading.option.value for reading in talk.snapshot.readings] == ["banjo", gender]


def test_what_must_be_told_before_more_is_ordered_is_asked_as_often_as_it_is_tried(talk: Talk) -> None:
    """A check that was asked thrice is left out, and a brief one says not how it is done; not where one asks for it."""
    talk.say("female, three quarters")
    replies = {talk.say("order the o-ring for it") for _ in range(4)}
    assert len(replies) == 1 and "Feel the seat." in replies.pop()


def test_when_one_looked_leaves_it_as_sure_as_it_was(talk: Talk) -> None:
    talk.say("there's no ring when I look at it")
    assert talk.reply.startswith("No O-ring.") and measured(talk) == [Measurand.SEAL]
