"""What is denied, and a side that was wrong: the reading on record is the one that is meant."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


START = "male, five eighths outside, nineteen pitch"


def on_record(talk: Talk) -> dict[tuple[Measurand, bool], Fraction | str]:
    taken = [reading.option for reading in talk.snapshot.readings]
    return {
        (option.measurand, option.negated): option.value.value if isinstance(option.value, Quantity) else option.value
        for option in taken
    }


@pytest.mark.parametrize("denial", ["not nineteen", "it's not nineteen", "that's not nineteen"])
def test_a_number_denied_is_the_one_on_record(talk: Talk, denial: str) -> None:
    """It was said of nothing, and might be millimetres: but nineteen threads were on record, and are no more."""
    talk.say(START)
    talk.say(denial)
    record = on_record(talk)
    assert record[Measurand.PITCH, True] == 19
    assert (Measurand.PITCH, False) not in record
    assert record[Measurand.OUTSIDE_DIAMETER, False] == Fraction(5, 8)


def test_a_number_denied_is_of_what_was_asked(talk: Talk) -> None:
    talk.say("male, three quarters outside, sixteen pitch")
    talk.say("sticks out")
    while talk.check != "seat-angle":
        talk.say("can't tell")
    talk.say("not thirty")
    assert on_record(talk)[Measurand.SEAT_ANGLE, True] == 30


@pytest.mark.parametrize(
    "words", ["no, inside", "it was inside", "I measured it inside", "that's the inside diameter", "I said inside"]
)
def test_a_wrong_side_keeps_its_value(talk: Talk, words: str) -> None:
    talk.say("five eighths outside, nineteen pitch")
    talk.say(words)
    record = on_record(talk)
    assert record[Measurand.INSIDE_DIAMETER, False] == Fraction(5, 8)
    assert (Measurand.OUTSIDE_DIAMETER, False) not in record
    assert (Measurand.THREAD_SIDE, False) not in record
