"""What is told beside the work is kept: so many of a thing, and the screws that a torque is asked for later."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

FLANGE = "code sixty one flange head, one and a quarter inch"  # M10, M12 or 7/16 by its tables


@pytest.mark.parametrize(
    ("said", "count"),
    [
        (("male wants two",), 2),
        (("it needs three please",), 3),
        (("two of these, and a blank for one",), 2),
        (("one for stock and two for the job",), 3),
        (("two for this job", "and one spare"), 3),
        (("two for the machine", "one for the van"), 3),
    ],
)
def test_so_many_are_ordered(knowledge: Knowledge, said: tuple[str, ...], count: int) -> None:
    talk = Talk(knowledge)
    talk.say("male face seal one inch fourteen, take it")
    for each in said:
        reply = talk.say(each)
    assert talk.session.record.work.job.piece.count == count
    assert ("blank" in reply) is ("blank" in said[-1])


@pytest.mark.parametrize("said", ["one comma two meters, two pieces", "one point two meters, two off"])
def test_so_many_pieces_of_a_hose_are_no_ends(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("hose, two wire, half inch")
    assert "one point two meters long, quantity two" in talk.say(said)
    assert len(talk.session.record.work.job.pieces) == 1


@pytest.mark.parametrize(
    ("told", "named"),
    [
        (("they are M ten bolts",), "screw M ten"),
        (("the bolts are M twelve, class ten point nine",), "screw M twelve, class ten point nine"),
        (("seven sixteenths bolts",), "screw seven-sixteenths"),
        (("they are M ten bolts", "no, they are M twelve bolts"), "screw M twelve"),
        (("M sixteen bolts",), "no figure for M sixteen"),
        ((), "which screw: M twelve, M ten or seven-sixteenths"),
    ],
)
def test_screws_told_before_are_those_asked_about(knowledge: Knowledge, told: tuple[str, ...], named: str) -> None:
    talk = Talk(knowledge)
    for each in (FLANGE, *told):
        talk.say(each)
    assert named in talk.say("how tight")


def test_the_screws_of_one_piece_are_not_those_of_the_next(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for each in (FLANGE, "they are M ten bolts", "next fitting", FLANGE):
        talk.say(each)
    assert "which screw" in talk.say("torque")


def test_the_screw_asked_about_last_is_meant(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for each in (FLANGE, "they are M ten bolts", "torque", "it's M twelve"):
        talk.say(each)
    assert "screw M twelve" in talk.say("torque")
