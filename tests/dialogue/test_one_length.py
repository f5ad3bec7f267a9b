"""A hose has one length: said twice it is one, said over it keeps its unit, and what may be a slip is asked about.

Twelve inches are a foot.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("hose, half inch")
    return talk


def lengths(talk: Talk) -> list[str]:
    found = (each.option for each in talk.snapshot.readings)
    return [talk.knowledge.wording.value(option) for option in found if option.measurand is Measurand.LENGTH]


@pytest.mark.parametrize(
    ("said", "length"),
    [
        ("ten foot, a hundred and twenty inches", "one hundred twenty inches"),
        ("ten foot, that's a hundred and twenty inches", "one hundred twenty inches"),
        ("six foot, seventy two inches", "seventy-two inches"),
        ("eighty inches then, no wait, ten foot, a hundred and twenty inches", "one hundred twenty inches"),
        ("eighty inches, no wait, a hundred and twenty", "one hundred twenty inches"),
        ("four foot and a half", "fifty-four inches"),
        ("six feet and a half", "seventy-eight inches"),
        ("a metre and a half, fifteen hundred mil", "one thousand five hundred millimeters"),
        # as before
        ("ten foot, six inches", "one hundred twenty-six inches"),
        ("three foot six", "forty-two inches"),
        ("sixty inches, sorry, seventy", "seventy inches"),
        ("length fifteen hundred, no sixteen hundred", "one thousand six hundred millimeters"),
        ("length eighteen hundred, no, two metres", "two meters"),
        ("one metre sixty", "one thousand six hundred millimeters"),
    ],
)
def test_one_length_is_taken(talk: Talk, said: str, length: str) -> None:
    talk.say(said)
    assert [each.lower() for each in lengths(talk)] == [length]


@pytest.mark.parametrize("said", ["length fifteen hundred, no sixteen", "length two thousand, no, two"])
def test_a_number_said_over_without_its_hundreds_is_asked_about(talk: Talk, said: str) -> None:
    assert talk.say(said).endswith("right?")
    assert lengths(talk) == []


@pytest.mark.parametrize("said", ["two foot longer, call it a hundred and forty four inches", "ten foot, three metres"])
def test_of_two_lengths_the_last_is_taken_and_the_other_is_said_not_to_be(talk: Talk, said: str) -> None:
    talk.say("nine foot")
    assert "Not taken" in talk.say(said)
    assert len(lengths(talk)) == 1


def test_a_length_said_over_later_keeps_the_unit_it_was_taken_in(talk: Talk) -> None:
    talk.say("fifteen hundred long")
    talk.say("no, sixteen hundred")
    assert [each.lower() for each in lengths(talk)] == ["one thousand six hundred millimeters"]
