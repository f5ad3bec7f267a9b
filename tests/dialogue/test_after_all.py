"""A way back from every denial: what was denied and is said itself ends the denial, and that is said; light that shows
is told of the gauge that was last said to fit."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from tests.strangers.outcome import note
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def on_record(talk: Talk) -> list[str]:
    return [note(taken) for taken in talk.snapshot.readings]


@pytest.mark.parametrize(
    ("first", "denial", "then", "value"),
    [
        ("male, outside 16.5 mm", "not nineteen pitch", "nineteen fits", "pitch 19 tpi"),
        ("male, outside 16.5 mm", "light under the nineteen", "it was nineteen after all", "pitch 19 tpi"),
        ("male, outside 16.5 mm", "not nineteen pitch", "nineteen", "pitch 19 tpi"),
        ("male, outside 26 mm", "the one five had light", "the one five fits", "pitch 3/2 mm"),
        ("male, M18 by 1.5", "it is not twenty four degrees", "twenty four degree fits", "seat_angle 24 deg"),
        ("outside 16.5 mm", "it's not male", "it is male", "gender male"),
        ("male, outside 16.5 mm", "no o-ring", "there's an o-ring", "seal o_ring"),
        ("male, outside 16.5 mm", "not metric", "it's a metric thread", "thread_system M"),
    ],
)
def test_what_was_denied_and_is_so_is_denied_no_more(
    talk: Talk, first: str, denial: str, then: str, value: str
) -> None:
    talk.say(first)
    talk.say(denial)
    assert f"not {value}" in on_record(talk)
    reply = talk.say(then)
    assert value in on_record(talk)
    assert f"not {value}" not in on_record(talk)
    assert reply.startswith("So it is after all:")
    assert "do not go together" not in reply


def test_another_value_ends_no_denial(talk: Talk) -> None:
    talk.say("male, outside 16.5 mm")
    talk.say("not eighteen pitch")
    assert "after all" not in talk.say("nineteen fits")
    assert {"not pitch 18 tpi", "pitch 19 tpi"} <= set(on_record(talk))


def test_a_cone_ends_no_denial_of_one_of_its_ways(talk: Talk) -> None:
    """Neither way is meant more than the other: which of the two was wrong nobody said."""
    talk.say("male, outside 16.5 mm")
    talk.say("the seat does not go in")
    talk.say("it is a cone")
    assert "not seat_form recessed" in on_record(talk)


def test_a_guess_ends_no_denial(talk: Talk) -> None:
    talk.say("male, outside 16.5 mm")
    talk.say("not nineteen pitch")
    talk.say("maybe nineteen pitch")
    assert "not pitch 19 tpi" in on_record(talk)


@pytest.mark.parametrize(
    "words", ["it had light", "no there's light under it", "showed a gap", "actually it rocks", "that leaf had light"]
)
@pytest.mark.parametrize(("said", "denied"), [("nineteen fits", "pitch 19 tpi"), ("one five fits", "pitch 3/2 mm")])
def test_light_is_told_of_the_gauge_before_it(talk: Talk, words: str, said: str, denied: str) -> None:
    talk.say("male, outside 16.5 mm")
    talk.say(said)
    talk.say(words)
    assert f"not {denied}" in on_record(talk)
    assert denied not in on_record(talk)


def test_light_is_told_of_no_gauge_when_something_else_came_last(talk: Talk) -> None:
    talk.say("male, outside 16.5 mm, nineteen pitch")
    talk.say("flat seat")
    talk.say("showed a gap")
    assert "pitch 19 tpi" in on_record(talk)


def test_no_seat_is_of_a_hundred_and_seventy_five_degrees(talk: Talk) -> None:
    """A number that is denied and may be no value of what was asked is of what it may be."""
    talk.say("male, outside 26 mm, one five fits")
    while talk.check != "seat-angle":
        talk.say("can't tell")
    talk.say("not the one seven five leaf")
    measurands = {taken.option.measurand for taken in talk.snapshot.readings if taken.option.negated}
    assert measurands == {Measurand.PITCH}
