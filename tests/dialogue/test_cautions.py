"""Cautions that are asked for come every time; those that come by themselves come once a job."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

PRESSURE, BY_HAND = "First: pressure off, loads down, machine locked.", "by hand"


def test_the_caution_of_the_first_answer_comes_once(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert PRESSURE in talk.say("outside nine sixteenths")
    assert PRESSURE not in talk.say("eighteen pitch")


def test_back_on_the_machine_the_pressure_is_spoken_of_again(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("outside nine sixteenths")
    talk.say("it is on the bench")
    assert PRESSURE in talk.say("it is mounted")
    assert PRESSURE in talk.say("it is mounted")


def test_whoever_speaks_of_a_leak_is_told_each_time(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    assert "leak" in talk.say("it leaks").casefold()
    assert "leak" in talk.say("it leaks").casefold()


@pytest.mark.parametrize(("said", "help_says"), [("outside nine sixteenths", "or how."), ("yes-or-no", "Say yes, no")])
def test_help_says_how_the_question_is_answered(knowledge: Knowledge, said: str, help_says: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths")
    if said == "yes-or-no":
        for _ in range(12):
            check = talk.snapshot.advice.check
            assert check is not None, "no yes-or-no check was asked"
            if check.yes is not None:
                break
            talk.say("can't tell")
    assert help_says in talk.say("help")


@pytest.mark.parametrize("said", ["carry on", "back to work", "right, carry on with it", "let us get back to the job"])
def test_who_carries_on_after_a_burn_is_answered(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    for words in ("male, nineteen pitch", "i burned my hand", said):
        talk.say(words)
    assert "water" not in talk.say("what have you got")
    for words in ("oil went through my skin", said):
        talk.say(words)
    assert "nineteen" not in talk.say("what have you got")
