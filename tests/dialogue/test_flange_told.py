"""A flange that is told by its head, its bolts or its series is one, though nobody said "flange"."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize(
    "told", ["flange head thirty eight point one", "bolts forty seven point six the long way", "code sixty one"]
)
def test_a_bare_length_is_then_none_of_a_thread(told: str, knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(told)
    talk.say("seven millimeters")
    measured = {reading.option.measurand.value for reading in talk.snapshot.readings}
    assert not measured & {"thread_size", "outside_diameter", "inside_diameter"}, measured


_SETTLED = ["flange head sixty point three, four bolts", "eight thick", "it comes off"]


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("half thirteen", "screw one-half thirteen"),
        ("half inch thirteen, grade eight", "screw one-half thirteen"),
        ("thirteen", "screw one-half thirteen"),
        ("the half inch ones", "screw one-half thirteen"),
        ("twelve", "screw M twelve"),
        ("M twelve by one seventy five, ten nine", "screw M twelve, class ten point nine"),
        ("ten nine", "class ten point nine"),
        ("they're M twelves, ten nines", "screw M twelve, class ten point nine"),
        ("it says ten nine on the head", "class ten point nine"),
        ("M twelve, ten nine", "screw M twelve, class ten point nine"),
        ("M twelve, class ten nine", "screw M twelve, class ten point nine"),
        ("metric twelve, eight eight", "class eight point eight"),
        ("three quarter", "No figure for three-quarters"),
    ],
)
def test_a_size_or_a_class_answers_which_screw(answer: str, says: str, knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in [*_SETTLED, "how tight are the bolts"]:
        talk.say(line)
    before = talk.snapshot.readings
    assert says in talk.say(answer)
    assert talk.snapshot.readings == before


def test_the_question_which_screw_outlasts_an_aside(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in [*_SETTLED, "how tight are the bolts", "Gaz, pass me the torch"]:
        talk.say(line)
    assert "screw M twelve" in talk.say("twelve")


@pytest.mark.parametrize(
    "told", ["the head is twelve thick", "thickness eight point one", "sixty nine eight by thirty five seven"]
)
def test_what_is_no_screw_is_taken_as_ever(told: str, knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in [*_SETTLED, "how tight are the bolts"]:
        talk.say(line)
    before = talk.snapshot.readings
    talk.say(told)
    assert len(talk.snapshot.readings) > len(before)


def test_a_bare_number_is_no_screw_where_none_was_asked_for(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in [*_SETTLED, "how tight are the bolts", "M twelve, ten nine", "thirteen"]:
        reply = talk.say(line)
    assert "screw" not in reply
