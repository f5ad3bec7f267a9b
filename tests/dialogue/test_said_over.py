"""A length said again right behind its first value, and what is said while one waits for it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from tests.dialogue.test_resolving import taken
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize(
    "text",
    [
        "thickness eight, hang on Gaz has it, pass it here, seven nine",
        "thickness eight, seven nine",
    ],
)
def test_the_last_of_two_lengths_as_good_as_one_is_taken(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("flange, head sixty point three")
    talk.say(text)
    assert taken(talk)[2:] == [("flange_head_thickness", Fraction(79, 10), False)]


@pytest.mark.parametrize("text", ["thickness eight, sixty nine eight", "thickness eight, bolts sixty nine eight"])
def test_another_length_stays_another(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("flange, head sixty point three")
    talk.say(text)
    assert [measurand for measurand, *_ in taken(talk)[2:]] == ["flange_head_thickness", "bolt_long"]


@pytest.mark.parametrize("thing", ["bolt circle", "thickness"])
def test_what_was_never_said_is_dropped(knowledge: Knowledge, thing: str) -> None:
    talk = Talk(knowledge)
    talk.say("flange, head sixty point three")
    talk.say("thickness eight")
    talk.say("bolt circle seventy nine")
    assert thing.split()[-1] in {word for measurand, *_ in taken(talk) for word in measurand.split("_")}
    talk.say(f"I never said a {thing}")
    assert thing.split()[-1] not in {word for measurand, *_ in taken(talk) for word in measurand.split("_")}


@pytest.mark.parametrize("text", ["inside, no, hang on, twenty four seven", "inside no hang on twenty four seven"])
def test_a_no_and_a_wait_before_the_number_take_nothing_back(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("female")
    assert "missed" not in talk.say(text)
    assert taken(talk)[-1] == ("inside_diameter", Fraction(247, 10), False)


def test_behind_a_number_they_correct(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("female")
    talk.say("twenty five inside, no, hang on, twenty four seven")
    assert [value for measurand, value, _ in taken(talk) if measurand == "inside_diameter"] == [Fraction(247, 10)]
