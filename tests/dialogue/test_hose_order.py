"""A hose as it is ordered by voice: lengths as a tape is read out, values changed, one end, both ends, another end."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity
from voicefit.records import Measurand

HOSE = "this is a hose, half inch bore, two wire"
SWIVEL = ("female, half inch b s p p swivel, sixty degree cone, sticks out", "take it")


def told(knowledge: Knowledge, *texts: str) -> Talk:
    talk = Talk(knowledge)
    for text in texts:
        talk.say(text)
    return talk


def value(talk: Talk, measurand: Measurand) -> list[Fraction]:
    """In millimetres where it is a length."""
    options = [each.option for each in talk.snapshot.readings if each.option.measurand is measurand]
    found = [option.value for option in options if isinstance(option.value, Quantity)]
    return [each.mm if each.is_length else each.value for each in found]


@pytest.mark.parametrize(
    ("said", "mm"),
    [
        ("eleven sixty long", 1160),
        ("length eleven sixty", 1160),
        ("length eleven sixty millimetres", 1160),
        ("the length is twelve fifty", 1250),
        ("fourteen oh five long", 1405),
        ("overall length twenty two forty", 2240),
        ("it is nine fifty long", 950),
        ("fifteen eighty from end to end", 1580),
        ("needs to be seventeen twenty millimeters long", 1720),
    ],
)
def test_a_length_is_one_number(knowledge: Knowledge, said: str, mm: int) -> None:
    assert value(told(knowledge, HOSE, said), Measurand.LENGTH) == [mm]


@pytest.mark.parametrize(
    ("said", "mm"),
    [
        ("change the length to nine hundred", 900),
        ("change the length to twelve hundred", 1200),
        ("make the length eleven sixty", 1160),
        ("no set the length to one and a half meters", 1500),
        ("alter the length to eight fifty millimeters", 850),
        ("change it to seven hundred long", 700),
    ],
)
def test_a_value_is_changed_when_the_new_one_is_taken(knowledge: Knowledge, said: str, mm: int) -> None:
    talk = told(knowledge, HOSE, "two meters long", said)
    assert value(talk, Measurand.LENGTH) == [mm]


def test_a_value_stays_where_the_new_one_is_not_understood(knowledge: Knowledge) -> None:
    talk = told(knowledge, HOSE, "two meters long", "change the length to whatever fits")
    assert value(talk, Measurand.LENGTH) == [2000]


def test_pressure_and_bore_are_changed_too(knowledge: Knowledge) -> None:
    talk = told(knowledge, HOSE, "pressure two fifty bar", "change the pressure to two eighty bar")
    assert value(talk, Measurand.PRESSURE) == [280]
    talk.say("change the bore to three quarter inch")
    assert value(talk, Measurand.HOSE_BORE) == [Fraction("19.05")]


@pytest.mark.parametrize("said", ["dash sixteen bore", "dash sixteen in the bore", "bore is dash sixteen"])
def test_a_dash_is_no_millimetres_of_bore(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, "this is a hose", said)
    assert value(talk, Measurand.DASH) == [16] and not value(talk, Measurand.HOSE_BORE)


@pytest.mark.parametrize(
    "said", ["both ends female j i c dash eight", "both ends are female j i c dash eight", "both ends get female j i c"]
)
def test_what_is_said_of_both_ends_is_of_both(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, HOSE, said)
    (order,) = talk.session.job_facts().hoses
    assert len(order.ends) == 2
    assert [piece.both for piece in talk.session.record.work.job.pieces] == [False, True]


def test_a_hose_of_which_nothing_was_said_stays_one(knowledge: Knowledge) -> None:
    talk = told(knowledge, "this is a hose", "both ends female j i c dash eight")
    assert [piece.kind for piece in talk.session.record.work.job.pieces] == ["hose", "end"]


@pytest.mark.parametrize(
    "said",
    [
        "the far end is not the same, it is a male three quarter sixteen j i c",
        "no the other end is different, it is a male three quarter sixteen j i c",
        "the opposite end is different, it is a male three quarter sixteen j i c",
    ],
)
def test_the_other_end_is_one_of_its_own(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, *SWIVEL, HOSE, "yes", "both ends alike", "yes", said)
    first, second = talk.session.job_facts().hoses[0].ends
    assert (first.end, second.end) == ("bspp-cone60/8/female", "flare37/8/male")


@pytest.mark.parametrize("said", ["read the length", "what length did you take", "tell me the length again"])
def test_one_value_is_read(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, HOSE, "nine hundred millimeters long", *SWIVEL[:1])
    assert talk.say(said).startswith("Nine hundred millimeters long.")


def test_one_value_is_read_in_the_other_unit(knowledge: Knowledge) -> None:
    talk = told(knowledge, HOSE, "nine hundred millimeters long")
    assert "about thirty-five and seven-sixteenths inches" in talk.say("length in inches please")
    assert "about twelve point seven millimeters" in talk.say("what is the bore in millimeters")
    assert "I have no such reading" in talk.say("read the pitch")


def test_a_hose_that_is_named_before_its_end_is_where_the_end_sits(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("hose nut, fourteen and a half inside")
    assert [piece.kind for piece in talk.session.record.work.job.pieces] == ["end"]
    assert [str(each.option.measurand) for each in talk.snapshot.readings] == ["gender", "inside_diameter"]
