"""What can be said now: by what is open, a value, a yes or no, a question of ours, a name that is being spelled."""

from __future__ import annotations

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
        assert ("Say yes, no, or how." in reply) == (check.yes is not None), reply
        assert ("Say what you find" in reply) == (check.yes is None), reply
    assert kinds == {True, False}


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
