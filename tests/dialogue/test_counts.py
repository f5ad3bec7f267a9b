"""How many are ordered is no size, no leaf and no dash."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out")
    assert talk.snapshot.concluded == "flare37/6/male"
    return talk


def count(talk: Talk) -> int:
    return talk.session.record.work.piece.count or 0


@pytest.mark.parametrize(
    ("said", "ordered"),
    [
        (["order that, two"], 2),
        (["order it", "four then"], 4),
        (["order it", "three"], 3),
        (["order that, two", "no, scrap that, one"], 1),
        (["nut wants replacing, two"], 2),
        (["two of em"], 2),
        (["two pieces"], 2),
        (["put in two of those"], 2),
        (["I need four pieces, three, no four"], 4),
        (["three nuts and three rings"], 3),
    ],
)
def test_a_number_of_pieces(talk: Talk, said: list[str], ordered: int) -> None:
    before = talk.snapshot.readings
    for line in said:
        talk.say(line)
    assert count(talk) == ordered
    assert talk.snapshot.readings == before
    assert "I am not asking" not in talk.reply


def test_washers_are_no_ends(talk: Talk) -> None:
    """A number of them is neither a reading nor a number of ends; a dash that was none is taken back."""
    talk.say("dash four")
    talk.say("it's not dash four, I meant four washers")
    said = [(str(each.option.measurand), each.option.negated) for each in talk.snapshot.readings]
    assert ("dash", False) not in said and ("seal", False) not in said
    assert count(talk) == 0
    assert "First it must be settled what it is." in talk.reply


@pytest.mark.parametrize("said", ["there's two copper rings", "it has four bolts", "it has two nuts"])
def test_what_is_counted_on_the_end_is_no_size(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    talk.say(said)
    numbers = [each.option for each in talk.snapshot.readings if not isinstance(each.option.value, str)]
    assert not numbers
    assert "right?" not in talk.reply
    assert count(talk) == 0


def test_an_answer_to_the_check_is_no_quantity(knowledge: Knowledge) -> None:
    """A number that may answer what is asked answers it, though something was ordered just before."""
    talk = Talk(knowledge)
    talk.say("male, cone sticks out")
    talk.say("order it")
    talk.say("eighteen")
    assert count(talk) == 0
    assert len(talk.snapshot.readings) == 3
