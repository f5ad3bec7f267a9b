"""Lines of the slip by themselves: mates, seals, what is taken off, and how many, in all words."""

from __future__ import annotations

import csv

import pytest

from tests.dialogue.talk import Talk
from tests.slips.joining import joined
from voicefit.dialogue import Knowledge, Session
from voicefit.ordering.job_slip import job_slip
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.slips.label import sheets

MALE = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"
STUD = ("stud, three quarter sixteen, o ring at the base", "take it")


def told(knowledge: Knowledge, *texts: str) -> Talk:
    talk = Talk(knowledge)
    for text in texts:
        talk.say(text)
    return talk


def slip(talk: Talk) -> OrderSlip:
    return job_slip(talk.knowledge.aftercare.ordering, talk.session.job_facts())


def on_slip(talk: Talk) -> dict[str, int]:
    """Each line by the id of the end, "seal" or "hose", with how many."""
    whole = slip(talk)
    ends = {end.id or end.name: end.count for end in whole.ends}
    beside = [("seal", each.count) for each in whole.seals] + [("hose", each.count) for each in whole.hoses]
    return ends | dict(beside)


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("put six of the mating female on the slip", 6),
        ("I need the female that goes on it, six of them", 6),
        ("order the female that fits, two", 2),
        ("two of its mates please", 2),
        ("get me half a dozen of the matching females", 6),
        ("we want the nut that screws on it", 1),
        ("add a dozen mates to the slip", 12),
        ("order its counterpart", 1),
        ("put down three of the half that goes on this", 3),
    ],
)
def test_the_mate_is_ordered_and_never_the_end_itself(knowledge: Knowledge, said: str, count: int) -> None:
    talk = told(knowledge, MALE, said)
    assert on_slip(talk) == {"flare37/6/female": count}
    assert "The end itself is not on it." in talk.reply


def test_one_of_these_and_one_of_the_mates_are_two_lines(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "two of these and three of the mates")
    assert on_slip(talk) == {"flare37/6/male": 2, "flare37/6/female": 3}


def test_a_mate_that_is_no_part_or_of_another_gender_is_not_ordered(knowledge: Knowledge) -> None:
    talk = told(knowledge, *STUD)
    assert "no part to order" in talk.say("order the mate")
    talk = told(knowledge, MALE)
    assert "It mates with three-eighths thirty seven degree flare, female" in talk.say("order the male that fits it")
    assert "beside" not in talk.kinds
    talk = told(knowledge, "male, nineteen pitch")
    assert "First it must be settled" in talk.say("order the mate")


def test_on_paper_a_mate_did_not_come_off(knowledge: Knowledge) -> None:
    whole = slip(told(knowledge, MALE, "order six of the mates"))
    text = to_text(whole)
    assert "1. MATE OF: 3/8 37° flare, male" in text and "   TO ORDER: 6 of 3/8 37° flare, female" in text
    assert "CAME OFF" not in text
    (row,) = csv.DictReader(to_csv(whole).splitlines())
    assert (row["id"], row["count"]) == ("flare37/6/female", "6") and "mate of 3/8" in row["description"]


@pytest.mark.parametrize(
    "said",
    [
        "order two o-rings for it",
        "put two o-rings on",
        "I need two new seals for it",
        "add a couple of o rings to the slip",
        "I meant two o-rings not two fittings",
    ],
)
def test_seals_are_a_line_of_their_own_with_their_size(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, *STUD, said)
    assert on_slip(talk) == {"seal": 2}
    assert "nine zero eight, quantity two" in talk.reply
    whole = slip(talk)
    assert "SEAL to order, 2 in all: O-ring at the base of the thread: AS568-908" in to_text(whole)
    (row,) = csv.DictReader(to_csv(whole).splitlines())
    assert (row["kind"], row["count"], row["o_ring"]) == ("seal", "2", "908")
    assert joined(sheets(whole, comfortable_bytes=500)) == whole


def test_a_seal_of_which_no_size_is_known_is_not_ordered(knowledge: Knowledge) -> None:
    assert "there is none to order" in told(knowledge, MALE, "order two o-rings").reply
    talk = told(knowledge, "banjo bolt, M fourteen by one and a half", "take it", "order two o rings for it")
    assert "I have no size of an O-ring" in talk.reply and not slip(talk).seals
    talk.say("order four washers for it")
    assert on_slip(talk)["seal"] == 4


def test_what_was_ordered_before_stays_beside_it(knowledge: Knowledge) -> None:
    talk = told(knowledge, *STUD, "order it", "order two o-rings for it")
    assert on_slip(talk) == {"orb/8/stud": 1, "seal": 2}


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("half a dozen", 6),
        ("a dozen", 12),
        ("a couple", 2),
        ("two more", 3),
        ("no, ten", 10),
        ("not ten, not twelve, one", 1),
        ("make it a dozen", 12),
        ("no six", 6),
        ("five", 5),
        ("sorry, I meant fifteen", 15),
        ("change that to nine please", 9),
        ("twelve instead of one", 12),
    ],
)
def test_how_many_is_no_reading_behind_an_order(knowledge: Knowledge, said: str, count: int) -> None:
    talk = told(knowledge, MALE, "order it")
    before = talk.snapshot.readings
    talk.say(said)
    assert on_slip(talk) == {"flare37/6/male": count}
    assert talk.snapshot.readings == before


def test_a_number_that_is_on_the_slip_is_taken_back_at_any_time(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "order two", "what seals it", "scratch the two, just one")
    assert on_slip(talk) == {"flare37/6/male": 1}
    talk.say("order the mate")
    talk.say("no, four")
    assert on_slip(talk)["flare37/6/female"] == 4


def test_hoses_are_counted_by_name(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "order two", "now the hose, three eighths, one wire")
    for said, count in (("three hoses", 3), ("correct that, four hoses", 4), ("two more hoses", 6)):
        talk.say(said)
        assert on_slip(talk)["hose"] == count
    assert "six" in talk.say("how many hoses do I have") and "quantity two" not in talk.reply
    for said in ("go back to the end", "five hoses"):  # with the end in hand
        talk.say(said)
    assert on_slip(talk) == {"flare37/6/male": 2, "hose": 5}
    talk = told(knowledge, MALE, "order two")
    assert "No hose is on the slip." in talk.say("how many hoses do I have")


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("take line two off", {"flare37/6/male": 2}),
        ("delete line one", {"flare37/6/female": 3}),
        ("take the second off the slip", {"flare37/6/male": 2}),
        ("scrap that line", {"flare37/6/male": 2}),
        ("take the mates off the slip", {"flare37/6/male": 2}),
        ("cancel the male", {"flare37/6/female": 3}),
        ("remove the female from the slip", {"flare37/6/male": 2}),
        ("get the last one off the list", {"flare37/6/male": 2}),
        ("I don't want the mates on the slip any more", {"flare37/6/male": 2}),
    ],
)
def test_a_line_is_taken_off_and_put_back_by_undo(knowledge: Knowledge, said: str, left: dict[str, int]) -> None:
    talk = told(knowledge, MALE, "two of these and three of the mates")
    before, readings = on_slip(talk), talk.snapshot.readings
    talk.say(said)
    assert on_slip(talk) == left and "Off the slip" in talk.reply
    assert talk.snapshot.readings == readings
    assert Session.replay(knowledge, talk.journal).job_facts() == talk.session.job_facts()
    talk.say("undo")
    assert on_slip(talk) == before


def test_the_hose_is_taken_off_and_ordered_again(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "now the hose, three eighths, one wire", "take the hose off the slip")
    assert on_slip(talk) == {"flare37/6/male": 1}
    talk.say("order the hose")
    assert on_slip(talk)["hose"] == 1


def test_all_lines_go_when_it_was_asked_once(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "two of these and three of the mates", "clear the slip")
    assert len(on_slip(talk)) == 2 and talk.reply.endswith("right?")
    assert "Nothing is on the slip now." in talk.say("yes")
    assert on_slip(talk) == {}
    talk.say("undo")
    assert len(on_slip(talk)) == 2
    talk = told(knowledge, MALE, "order two", "take everything off the slip", "no")
    assert on_slip(talk) == {"flare37/6/male": 2}


def test_which_line_is_asked_where_it_was_not_said(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "two of these and three of the mates", "remove the nut from the list")
    assert "Off the slip" not in talk.reply or len(on_slip(talk)) == 1
    assert "That is not on the slip." in talk.say("take the hose off the slip")


@pytest.mark.parametrize("said", ["slip", "what's the whole slip", "is anything on the slip", "read me back the slip"])
def test_the_slip_is_read(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, MALE, "order two")
    assert "Slip of job one: three-eighths thirty seven degree flare, male" in talk.say(said)


def test_the_other_form_is_on_the_persons_word(knowledge: Knowledge) -> None:
    talk = told(knowledge, "female swivel, half b s p p, fourteen, cone sticks out, thirty degrees", "take it")
    talk.say("change the slip to the one with the o-ring")
    assert on_slip(talk) == {"bspp-cone60/8/female-o-ring": 1}
    talk.say("swap it to the one without the ring")
    assert on_slip(talk) == {"bspp-cone60/8/female": 1}
    assert "It is that already" in talk.say("make it the one without the ring")
    assert "no such form" in told(knowledge, MALE, "change it to the one with the o-ring").reply


def test_an_undo_names_the_line_that_it_takes_off(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "order the female that fits, two", "undo")
    assert "two of the mate" in talk.reply


@pytest.mark.parametrize(
    "said",
    [
        "order three of the female for it",
        "order three of the female",
        "three of the female please",
        "order the female, three",
        "put three of the ones it mates with on the order",
    ],
)
def test_the_mate_is_meant_by_its_gender_and_taken_off_by_its_name(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, MALE)
    assert "three-eighths thirty seven degree flare, female, dash six, quantity three" in talk.say(said)
    assert "quantity five" in talk.say("two more")
    assert "Off the slip: three-eighths thirty seven degree flare, female" in talk.say("cancel the mate")
    assert "thirty seven degree flare, female" in talk.say("order two of the mate")
    assert "not on" not in talk.say("remove the mate")


def test_the_undo_of_an_order_that_changed_nothing_leaves_the_readings(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "order")
    readings = talk.session.state.record.work.piece.readings
    assert "Nothing to take back of the order" in talk.say("undo")
    assert talk.session.state.record.work.piece.readings == readings
    assert "quantity two" in told(knowledge, MALE, "order two", "undo").reply
