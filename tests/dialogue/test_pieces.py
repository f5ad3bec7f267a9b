"""Pieces by their names: told, asked, corrected, removed; nothing goes to another piece, and nothing moves unsaid."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

FIRST = "male three quarter sixteen thirty seven degrees"
SECOND = "female, one inch fourteen, flat face"


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    """Two ends, the second in hand."""
    talk = Talk(knowledge)
    for line in (FIRST, "other end", SECOND):
        talk.say(line)
    return talk


def readings_of(talk: Talk, index: int) -> list[str]:
    return [kept.reading.heard for kept in talk.session.record.work.job.pieces[index].readings]


@pytest.mark.parametrize(
    "question", ["torque end one", "what is piece one", "piece one, read back", "what seals end one"]
)
def test_a_question_of_another_piece_names_it_and_moves_nothing(talk: Talk, question: str) -> None:
    before = talk.session.record.work
    asked = talk.session.state.focus.check
    assert talk.say(question).startswith("End, piece one:")
    assert talk.session.record.work == before
    assert talk.session.state.focus.check == asked


@pytest.mark.parametrize("said", ["torque end three", "end three, forget the pitch", "what is piece five"])
def test_a_piece_that_is_not_there_is_never_opened_by_a_question_or_a_correction(talk: Talk, said: str) -> None:
    assert "There is no end" in talk.say(said)
    assert len(talk.session.record.work.job.pieces) == 2


def test_a_correction_goes_to_the_piece_that_is_named(talk: Talk) -> None:
    second = readings_of(talk, 1)
    reply = talk.say("first one, forget the pitch")
    assert reply.startswith("End, piece one: Without sixteen pitch, then.") and "Back to the end, piece two." in reply
    assert readings_of(talk, 1) == second
    assert "Taken back" not in talk.say("undo") and "Back again: sixteen pitch on end one." in talk.reply


def test_a_correction_on_an_end_of_which_nothing_is_said_is_of_the_one_before(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for line in ("male, fifteen pitch", "other end"):
        talk.say(line)
    assert talk.say("no, pitch one point five millimeters").startswith("End, piece one: Instead of fifteen pitch:")
    assert readings_of(talk, 1) == [] and talk.session.record.work.job.current == 1


def test_the_same_but_for_something_is_another_end(talk: Talk) -> None:
    talk.say("the other end is the same, but tube fourteen")
    assert readings_of(talk, 2) == [*readings_of(talk, 1), "tube fourteen"]


@pytest.mark.parametrize(
    ("said", "left"),
    [("delete end two", 1), ("forget piece one and two", 1), ("get rid of the last end", 1), ("delete that hose", 2)],
)
def test_a_piece_is_removed_by_its_name_and_comes_back(talk: Talk, said: str, left: int) -> None:
    if "hose" in said:
        talk.say("this is a hose, two wire")
    before = talk.session.record.work
    assert talk.say(said).startswith("Taken off the job: ")
    assert len(talk.session.record.work.job.pieces) == left
    assert "Back again: " in talk.say("undo")
    assert talk.session.record.work == before


def test_what_stands_behind_a_removed_piece_stays(talk: Talk) -> None:
    for line in ("other end", "female, tube twelve"):
        talk.say(line)
    kept = [readings_of(talk, 1), readings_of(talk, 2)]
    talk.say("delete end one")
    assert [readings_of(talk, 0), readings_of(talk, 1)] == kept


@pytest.mark.parametrize("said", ["go back", "back", "go back to the first end", "go back to the last end"])
def test_going_back_takes_nothing_away_and_says_where_one_is(talk: Talk, said: str) -> None:
    before = [piece.readings for piece in talk.session.record.work.job.pieces]
    for _ in range(2):
        assert "piece" in talk.say(said)
    assert [piece.readings for piece in talk.session.record.work.job.pieces] == before


def test_what_repeats_or_excuses_beside_something_else_repeats_nothing(talk: Talk) -> None:
    last = talk.say("what is it")
    assert last not in talk.say("tube ten, measured again")
    assert talk.say("sorry, what was that") == talk.session.state.last.spoken


def test_what_the_other_end_is_said_to_be_is_noted_there_and_the_one_in_hand_goes_on(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    asked = talk.say("male, five eighths outside, nineteen pitch")
    reply = talk.say("the other end is a female, goes in")
    assert reply.startswith("End, piece two: Female, the seat goes in. Back to the end, piece one.")
    assert reply.endswith(asked[asked.index("Feel the seat") :])
    talk.say("sticks out")
    assert readings_of(talk, 0)[-1] == "sticks out" and readings_of(talk, 1)[-1] == "goes in"
    assert talk.say("other end, female").startswith("End, piece three"), "which is not said of it, but begins it"
