"""What can be said now: by what is open, a value, a yes or no, a question of ours, a name that is being spelled."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.state import Confirming, Explaining, Spelling

OPENINGS = ("male", "male, outside nine sixteenths, eighteen pitch, it is flat")


def test_help_names_the_answers_that_the_check_takes(knowledge: Knowledge) -> None:
    kinds = set()
    for said in OPENINGS:
        talk = Talk(knowledge)
        talk.say(said)
        check = talk.session.state.focus.check
        assert check is not None
        kinds.add(check.yes is not None)
        reply = talk.say("help")
        assert ("Say yes, no, or can't tell, or how." in reply) == (check.yes is not None), reply
        assert "can't tell, or how." in reply and reply.endswith("?"), reply
    assert kinds == {True, False}


@pytest.mark.parametrize(
    ("before", "said"),
    [
        ("male", "You can say a size, as half an inch, or can't tell."),
        ("male, outside nineteen point one", "You can say"),
        ("this is a hose", "You can say a size, as dash eight, or can't tell."),
        ("half inch two wire", "You can say a length, as eight hundred millimeters, or can't tell."),
    ],
)
def test_a_refusal_names_two_things_that_can_be_said_to_what_is_open(
    before: str, said: str, knowledge: Knowledge
) -> None:
    talk = Talk(knowledge)
    talk.say(before)
    reply = talk.say("flibble gurble")
    assert reply.startswith("I did not get: flibble gurble.") and said in reply, reply


def test_a_check_in_a_full_reply_is_asked_without_how_it_is_done(knowledge: Knowledge) -> None:
    reply = Talk(knowledge).say("French machine, male, twenty three point eight five millimeters, one and a half pitch")
    assert reply.endswith("Seat out, in, flat, shoulder or none?"), reply
    assert Talk(knowledge).say("male, outside sixteen point six").endswith("Out, in, flat, a shoulder, or none?")


def test_every_brief_question_of_a_check_is_shorter_than_its_prompt(knowledge: Knowledge) -> None:
    for entry in knowledge.checks.values():
        if entry.brief is not None:
            assert len(entry.brief.split()) < len(entry.prompt.split()), entry.id


def test_how_explains_a_check_and_asks_everything_else_again(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    talk.say("how")
    assert isinstance(talk.session.state.focus.mode, Explaining)
    talk = Talk(knowledge)
    talk.say("male")
    talk.hear(("nineteen pitch", 0.7), ("stop", 0.3))
    assert isinstance(talk.session.state.focus.mode, Confirming)
    assert "ineteen pitch" in talk.say("how")
    assert isinstance(talk.session.state.focus.mode, Confirming), "the question stays open"
    talk = Talk(knowledge)
    talk.say("male")
    talk.say("spell it")
    assert isinstance(talk.session.state.focus.mode, Spelling)
    talk.say("how")
    assert isinstance(talk.session.state.focus.mode, Spelling), "the name is not lost"
