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


CORRECTIONS = [
    "no, {right}", "oops, {right}", "sorry, {right}", "make that {right}", "{right}, not {wrong}",
    "not {wrong}, {right}", "it's not {wrong}, it's {right}", "it wasn't {wrong} it was {right}",
    "I said {wrong} but it's {right}", "change {wrong} to {right}", "{right} I mean", "it's {right}, not {wrong}",
    "{right} instead of {wrong}", "my mistake, {right}", "{wrong} was wrong, {right} is right",
    "it's {right}, I had it wrong",
]  # fmt: skip


@pytest.mark.parametrize("words", CORRECTIONS)
@pytest.mark.parametrize(
    ("wrong", "right", "measurand"),
    [("three quarters", "seven eighths", Measurand.OUTSIDE_DIAMETER), ("fourteen", "sixteen", Measurand.PITCH)],
)
def test_a_correction_takes_the_place_of_what_was_wrong(
    talk: Talk, words: str, wrong: str, right: str, measurand: Measurand
) -> None:
    """Whatever is being asked, and however it is put: as many readings as before, and the same measurands."""
    talk.say("three quarters outside, fourteen pitch")
    before = on_record(talk)
    said = words.format(wrong=wrong, right=right)
    talk.say(said)
    record = on_record(talk)
    assert record.keys() == before.keys()
    values = {"seven eighths": Fraction(7, 8), "sixteen": 16}
    assert record == before | {(measurand, False): values[right]}


@pytest.mark.parametrize(
    "words", ["sixteen, not eighteen", "it's not eighteen, it's sixteen", "I said eighteen but it's sixteen"]
)
def test_a_number_denied_says_which_reading_is_wrong(talk: Talk, words: str) -> None:
    """Eighteen is the diameter on record, not the pitch that was said last, nor the angle that is being asked for."""
    talk.say("male, outside eighteen, one point five pitch")
    talk.say(words)
    record = on_record(talk)
    assert record[Measurand.OUTSIDE_DIAMETER, False] == 16
    assert record[Measurand.PITCH, False] == Fraction(3, 2)
    assert len(record) == 3


def test_a_reading_that_was_got_wrong_is_dropped(talk: Talk) -> None:
    talk.say(START)
    talk.say("I think I got the pitch wrong")
    assert (Measurand.PITCH, False) not in on_record(talk)


@pytest.mark.parametrize("said", ["no o-ring, no washer", "no washer and no o-ring"])
def test_things_that_are_all_denied_are_taken_where_a_correction_was_begun(talk: Talk, said: str) -> None:
    talk.say("three quarters outside")
    talk.say("correction")
    talk.say(said)
    denied = [measurand for measurand, negated in on_record(talk) if negated]
    assert denied == [Measurand.SEAL] and (Measurand.OUTSIDE_DIAMETER, False) in on_record(talk)


@pytest.mark.parametrize(
    ("first", "right", "measurand", "value"),
    [
        ("male", "female", Measurand.GENDER, "female"),
        ("tapered", "parallel", Measurand.TAPER, "parallel"),
        ("recessed", "flat", Measurand.SEAT_FORM, "flat"),
    ],
)
@pytest.mark.parametrize(
    "words", ["{right}, not {first}", "not {first}, {right}", "it should be {right}, not {first}",
              "it ought to be {right}, not {first}", "it's {right}, it's not {first}"],
)  # fmt: skip
def test_a_name_denied_is_replaced_by_the_one_beside_it(
    talk: Talk, first: str, right: str, measurand: Measurand, value: str, words: str
) -> None:
    talk.say("five eighths outside")
    talk.say(first)
    talk.say(words.format(first=first, right=right))
    record = on_record(talk)
    assert record == {(Measurand.OUTSIDE_DIAMETER, False): Fraction(5, 8), (measurand, False): value}


def test_of_a_cone_that_does_not_stand_out_the_cone_stays(talk: Talk) -> None:
    talk.say("it has a cone")
    talk.say("it doesn't stick out")
    assert on_record(talk)[Measurand.SEAT_FORM, False] == "recessed"


def test_a_name_denied_alone_is_on_record_no_more(talk: Talk) -> None:
    talk.say("male")
    talk.say("not male")
    assert on_record(talk) == {(Measurand.GENDER, True): "male"}


def test_what_it_should_be_takes_the_place_of_what_it_should_not(talk: Talk) -> None:
    talk.say(START)
    talk.say("it should be eighteen, not nineteen")
    record = on_record(talk)
    assert record[Measurand.PITCH, False] == 18 and (Measurand.PITCH, True) not in record


@pytest.mark.parametrize("denied", ["not a washer", "there's no washer", "no washer"])
def test_where_there_is_no_washer_its_kind_is_none_either(knowledge: Knowledge, denied: str) -> None:
    talk = Talk(knowledge)
    talk.say("copper washer")
    talk.say(denied)
    assert set(on_record(talk)) == {(Measurand.SEAL, True)}
