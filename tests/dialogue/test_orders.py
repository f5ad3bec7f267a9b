"""What is ordered: counts and ends against the facts of the slip, and the journal that brings them back."""

from __future__ import annotations

import csv

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Session
from voicefit.ordering.job_slip import JobFacts, job_slip
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.quantities import Quantity

IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


def told(knowledge: Knowledge, *texts: str) -> Talk:
    talk = Talk(knowledge)
    for text in texts:
        talk.say(text)
    return talk


def facts(talk: Talk) -> JobFacts:
    return talk.session.job_facts()


def test_a_hose_that_is_ordered_thrice_takes_six_of_the_end_on_both_its_ends(knowledge: Knowledge) -> None:
    talk = told(knowledge, IDENTIFIED, "now the hose, three eighths, one wire", "other end is the same", "yes")
    assert [(end.count, end.on_hose) for end in facts(talk).ends] == [(2, True)]
    assert facts(talk).hoses[0].facts.ends == ("flare37/6/male", "flare37/6/male")
    talk.say("three of the hoses")
    assert [(end.count, end.on_hose) for end in facts(talk).ends] == [(6, True)]
    assert [hose.count for hose in facts(talk).hoses] == [3]
    slip = job_slip(knowledge.aftercare.ordering, facts(talk))
    assert [row["count"] for row in csv.DictReader(to_csv(slip).splitlines()) if row["kind"] != "seal"] == ["6", "3"]
    assert "   TO ORDER: 6 like it, in all, on the hose" in to_text(slip).splitlines()


def test_what_is_counted_and_alike_comes_back_from_the_journal(knowledge: Knowledge) -> None:
    talk = told(knowledge, IDENTIFIED, "order two of them", "both ends the same", "yes")
    again = Session.replay(knowledge, talk.journal)
    assert again.job_facts() == facts(talk)
    (piece,) = again.record.work.job.pieces
    assert (piece.count, piece.both) == (2, True)
    talk.say("undo")
    talk.say("undo")
    assert facts(talk).ends[0].count == 1


def test_an_end_that_is_the_same_takes_the_place_of_one_that_was_begun(knowledge: Knowledge) -> None:
    talk = told(knowledge, IDENTIFIED, "other end", "male", "same as the first")
    assert talk.reply == "Both ends three-eighths thirty seven degree flare, male, dash six: right?"
    talk.say("yes")
    assert [end.end for end in facts(talk).ends] == ["flare37/6/male"]
    assert facts(talk).ends[0].count == 2


def test_two_ends_of_a_hose_that_differ_are_named_each(knowledge: Knowledge) -> None:
    talk = told(knowledge, IDENTIFIED, "now the hose, three eighths, one wire", "next end", "male, quarter inch NPT")
    talk.say("take it")
    assert (
        "end one three-eighths thirty seven degree flare, male, dash six, "
        "end two one-quarter N P T taper pipe, male, dash four, on your word." in talk.say("order slip")
    )


def test_no_is_no(knowledge: Knowledge) -> None:
    talk = told(knowledge, IDENTIFIED, "both ends the same", "no")
    assert not talk.session.record.work.piece.both and talk.session.state.focus.question is None


def test_a_port_is_no_end_of_a_hose(knowledge: Knowledge) -> None:
    """A hose screws into a port by an adapter or a stud; neither is on the hose."""
    talk = told(knowledge, "port, M eighteen by one and a half", "o ring in a chamfer", "take it", "this is a hose")
    decided = talk.session.record.work.job.pieces[0].decided
    assert decided is not None and decided.endswith("port")
    (order,) = facts(talk).hoses
    assert order.ends == () and not facts(talk).ends[0].on_hose


@pytest.mark.parametrize("text", ["order two", "make it two", "two off please"])
def test_how_many_before_anything_is_said_is_of_nothing(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    assert "There is nothing to order yet." in talk.say(text)
    assert "counted" not in talk.kinds


def test_how_many_of_an_end_that_is_open_waits_for_it(knowledge: Knowledge) -> None:
    talk = told(knowledge, "male, nineteen pitch")
    assert talk.say("order two of them").startswith("Quantity two, once it is settled.")
    assert facts(talk).ends[0].count == 2


def test_make_it_corrects_a_reading_where_nothing_was_ordered(knowledge: Knowledge) -> None:
    talk = told(knowledge, "male, nineteen pitch", "make it eighteen")
    (*_, pitch) = (each.option.value for each in talk.snapshot.readings)
    assert isinstance(pitch, Quantity) and pitch.value == 18
    talk.say("order two")
    talk.say("make it six")
    assert facts(talk).ends[0].count == 6


def test_a_check_of_the_tube_is_not_made_where_there_is_none(knowledge: Knowledge) -> None:
    talk = told(
        knowledge, "female swivel, M twenty two by one and a half, cone with an o ring", "no tube, it is crimped"
    )
    tubes = {name for name, check in knowledge.checks.items() if check.measurand == "tube_outside_diameter"}
    asked = set()
    for _ in range(8):
        if talk.check is None:
            break
        asked.add(talk.check)
        talk.say("can't tell")
    assert asked and not asked & tubes
    talk.say("the tube is fifteen mil")
    assert any(each.option.measurand == "tube_outside_diameter" for each in talk.snapshot.readings)
