"""Behind a caution the work goes on in the ordinary way: who says that it is fine, or wants to go on, is asked what is
open, or what to do first; with oil under the skin he hears what to do for it."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

ALARMS = ["oil is spraying out", "it's hot", "there's smoke coming off it", "he got hit by the hose"]
FINE = ["I'm fine", "I'm alright", "no harm done", "that's sorted", "it's all right now"]
ON = ["go on", "carry on", "what was the question", "all good, go on"]


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


@pytest.mark.parametrize(
    ("alarm", "then"), [(ALARMS[i % len(ALARMS)], words) for i, words in enumerate((*FINE, *ON, *FINE[1:], *ON[1:]))]
)
@pytest.mark.parametrize("before", ["", "male, outside 21 millimeters"])
def test_the_next_step_is_asked(talk: Talk, before: str, alarm: str, then: str) -> None:
    if before:
        talk.say(before)
    check = talk.check
    assert not talk.say(alarm).endswith("?")
    assert talk.say(then).endswith("?")
    assert talk.check is not None
    assert talk.check == check or not before


@pytest.mark.parametrize("then", [*FINE, *ON])
def test_with_oil_under_the_skin_it_is_told_again(talk: Talk, then: str) -> None:
    talk.say("I think it went into my finger")
    assert "hospital" in talk.say(then)


@pytest.mark.parametrize("alarm", ALARMS[2:])
def test_a_nod_to_what_to_do_is_no_all_clear(talk: Talk, alarm: str) -> None:
    talk.say(alarm)
    assert "We go on" not in talk.say("okay")


def test_not_fine_is_no_all_clear(talk: Talk) -> None:
    talk.say("he got hit by the hose")
    assert "We go on" not in talk.say("he's not all right")
