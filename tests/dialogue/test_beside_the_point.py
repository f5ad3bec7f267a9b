"""A yes, a number or a word of damage that is not of the open question: nothing is invented, and nothing is spent."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand

OPEN = ("male, outside 20.6, cone", "fourteen threads")  # "does it stand out?" is open


def _readings(talk: Talk) -> list[tuple[Measurand, object]]:
    return [(each.option.measurand, each.option.value) for each in talk.snapshot.readings]


@pytest.mark.parametrize("said", ["I think two looks", "I think it looks like two", "looks like three", "maybe two"])
@pytest.mark.parametrize("before", ["male", "male, outside twenty six, one point five pitch"])
def test_a_small_number_that_one_thinks_is_asked_about(knowledge: Knowledge, said: str, before: str) -> None:
    talk = Talk(knowledge)
    talk.say(before)
    kept = _readings(talk)
    assert "is that the thread, the hex, the tube or the seat?" in talk.say(said)
    assert _readings(talk) == kept
    talk.say("it's the pitch")
    assert _readings(talk)[-1][0] is Measurand.PITCH


def test_what_answers_or_is_measured_finely_is_taken(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    assert "outside" in talk.say("I think about nineteen")
    assert "pitch" in talk.say("I think one point five")
    assert Talk(knowledge).say("big, maybe two inches").startswith("Two inches.")


@pytest.mark.parametrize(
    "said", ["yeah it's brass", "yes it's steel", "no it's painted", "no it's not brass", "yep, it's stainless"]
)
def test_what_it_is_made_of_answers_nothing(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    for each in OPEN:
        talk.say(each)
    kept = _readings(talk)
    assert talk.say(said).endswith("Does it stand out?")
    assert _readings(talk) == kept


@pytest.mark.parametrize(
    "said",
    ["yes it's hydraulic", "hydraulic oil, yeah", "hydraulic yes", "yeah hydraulic fluid", "yes, it's hydraulic"],
)
def test_that_it_is_hydraulic_is_of_the_line_whatever_is_asked(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    for each in OPEN:
        talk.say(each)
    kept = _readings(talk)
    assert talk.say(said).endswith("Does it stand out?")
    assert _readings(talk) == [*kept, (Measurand.LINE, "hydraulic")]


@pytest.mark.parametrize(
    "said",
    [
        "stripped", "the thread's stripped", "threads are half stripped", "the thread's a bit stripped",
        "it's cracked",
        "port, threads stripped", "threads in the port are half stripped", "somebody stripped it",
        "the threads are stripped out", "it's got stripped threads",
    ],
)  # fmt: skip
def test_what_is_stripped_is_not_to_be_used_again(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("outside twenty six")
    assert talk.say(said).startswith("Not to be used again: it lets go under pressure.")
    assert (Measurand.GENDER, "stud") not in _readings(talk)


@pytest.mark.parametrize(
    "said",
    ["boss says it holds with two turns on", "boss reckons two turns is enough", "gaffer says three threads will hold"],
)
def test_too_few_turns_are_warned_of_whoever_says_so(knowledge: Knowledge, said: str) -> None:
    assert Talk(knowledge).say(said).startswith("No: so few threads may not hold.")


@pytest.mark.parametrize(
    "said",
    [
        "it should be a JIC really",
        "it ought to be a JIC",
        "I'd expect a JIC",
        "should really be a JIC",
        "it's JIC really",
    ],
)
def test_what_one_believes_is_weighed_low(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, face seal, one inch fourteen")
    assert "Maybe thirty seven degree flare" in talk.say(said)
    assert talk.snapshot.concluded == "orfs/10/male"


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("the first one was right", 19),
        ("no, the second one is right", 15),
        ("the first reading was the good one", 19),
        ("the second one is the better one", 15),
        ("the first one was wrong", 15),
    ],
)
def test_of_two_readings_the_right_one_is_kept(knowledge: Knowledge, said: str, kept: int) -> None:
    talk = Talk(knowledge)
    for each in ("male", "outside nineteen", "outside fifteen", said):
        talk.say(each)
    sizes = [
        each.option.value for each in talk.snapshot.readings if each.option.measurand is Measurand.OUTSIDE_DIAMETER
    ]
    assert [getattr(each, "value", each) for each in sizes] == [kept]
