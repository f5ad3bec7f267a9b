"""A number said while one of two is to be chosen: the one of which it has the figures, a gauge's, or none of either."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

OR = "two two? Or twenty-two point one millimeters: two two point one?"


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("male")
    assert talk.say("outside twenty two one").endswith(OR)
    return talk


def values(talk: Talk) -> dict[str, float]:
    return {
        r.option.measurand.value: float(v)
        for r in talk.snapshot.readings
        if (v := getattr(r.option.value, "value", None))
    }


@pytest.mark.parametrize(
    "said",
    [
        "two two one",
        "point one",
        "it's the point one",
        "the one with the point one",
        "point one it is",
        "the decimal one",
        "twenty two point one",
    ],
)
def test_one_of_two_is_chosen_by_its_figures_or_by_the_decimals_it_alone_has(talk: Talk, said: str) -> None:
    talk.say(said)
    assert values(talk) == {"outside_diameter": 22.1}


@pytest.mark.parametrize("said", ["twenty two", "twenty-two flat", "the first", "two two"])
def test_the_other_is_chosen_as_before(talk: Talk, said: str) -> None:
    talk.say(said)
    assert values(talk) == {"outside_diameter": 22.0}


@pytest.mark.parametrize("said", ["fourteen", "fourteen. Gaz stop whistling", "fourteen threads per inch"])
def test_a_number_that_is_neither_is_a_leaf_and_the_choice_stays_open(talk: Talk, said: str) -> None:
    assert talk.say(said).endswith(OR)
    assert values(talk) == {"pitch": 14.0}
    talk.say("two two one")
    assert values(talk) == {"pitch": 14.0, "outside_diameter": 22.1}


@pytest.mark.parametrize("said", ["twenty one eight, I measured again", "forty eight", "twenty three point one"])
def test_a_number_that_can_be_nothing_else_is_not_taken_and_it_is_asked_again(talk: Talk, said: str) -> None:
    assert talk.say(said).endswith((OR, OR.replace("? Or", ", or")))
    assert values(talk) == {}


@pytest.mark.parametrize(("said", "value"), [("twenty four outside", 24.0), ("no, it's twenty one nine", 21.9)])
def test_what_is_said_to_be_the_diameter_is_it(talk: Talk, said: str, value: float) -> None:
    talk.say(said)
    assert values(talk) == {"outside_diameter": value}
