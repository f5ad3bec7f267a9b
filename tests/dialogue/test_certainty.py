"""How sure it is said to be: nothing makes it surer but a reading, or that something cannot be told."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


def test_a_check_that_is_talked_past_was_not_answered(knowledge: Knowledge) -> None:
    """What is ordered, asked and taken back in between has the check asked again and again."""
    talk = Talk(knowledge)
    talk.say("male three quarter sixteen thirty seven degrees, tube half inch")
    for line in ("order four", "where are we", "undo", "i need eight", "undo", "order slip", "where are we", "mumble"):
        assert "Identified" not in talk.say(line)
        assert not talk.snapshot.advice.identified


@pytest.mark.parametrize(
    "said", ["three hundred bar, can it handle that", "hot oil, two hundred and fifty bar, will it take it"]
)
def test_a_pressure_that_is_asked_about_is_no_reading_and_no_hose(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("jic dash twelve male")
    reply = talk.say(said)
    assert "two hundred forty bar" in reply and "Hose" not in reply and "Hot oil" not in reply
    assert Measurand.PRESSURE not in {each.option.measurand for each in talk.snapshot.readings}


@pytest.mark.parametrize("said", ["two bolts", "four bolts"])
def test_bolts_counted_behind_a_settled_end_are_nothing_of_it(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out")
    before = talk.snapshot.readings
    talk.say(said)
    assert talk.snapshot.readings == before


@pytest.mark.parametrize(("said", "left"), [("first one was wrong", 16), ("the second reading is wrong", 15)])
@pytest.mark.parametrize(
    "breaths", [("two readings: fifteen and sixteen outside. {}",), ("outside fifteen", "outside sixteen", "{}")]
)
def test_of_two_readings_the_one_that_is_wrong_goes(
    knowledge: Knowledge, breaths: tuple[str, ...], said: str, left: int
) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    for line in breaths:
        talk.say(line.format(said))
    values = [
        each.option.value for each in talk.snapshot.readings if each.option.measurand is Measurand.OUTSIDE_DIAMETER
    ]
    assert [float(value.value) for value in values if not isinstance(value, str)] == [left]
