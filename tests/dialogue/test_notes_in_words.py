"""Notes and names of jobs that are said in words."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

MALE = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


def told(knowledge: Knowledge, *texts: str) -> Talk:
    talk = Talk(knowledge)
    for text in texts:
        talk.say(text)
    return talk


def test_a_note_of_one_thing_keeps_its_words(knowledge: Knowledge) -> None:
    talk = told(knowledge, "note for the second, keep the old ring")
    assert talk.reply == "Note: for the second, keep the old ring."


@pytest.mark.parametrize("said", ["read notes", "read the notes", "read me my notes", "what are the notes"])
def test_all_notes_are_read(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, "note, keep the old ring", "note, bring a cap")
    assert talk.say(said) == "Notes: keep the old ring; bring a cap."


def test_notes_are_read_with_the_slip(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "note, keep the old ring")
    assert "Note: keep the old ring." in talk.say("order slip")


@pytest.mark.parametrize("said", ["put the note back", "is the note still there"])
def test_a_note_that_is_kept_is_said_where_one_wants_it_back(knowledge: Knowledge, said: str) -> None:
    talk = told(knowledge, MALE, "note, keep the old ring", "order two", "undo")
    assert talk.say(said) == "Note: keep the old ring."


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("job name is loader lift cylinder", "loader lift cylinder"),
        ("job name, skid steer", "skid steer"),
        ("change the name to grader blade", "grader blade"),
        ("this is job gearbox drain", "gearbox drain"),
        ("the name of the job is crane slew", "crane slew"),
        ("rename the job to press pump", "press pump"),
        ("set the job name to left boom", "left boom"),
        ("give this job the name tilt ram", "tilt ram"),
    ],
)
def test_a_job_is_named(knowledge: Knowledge, said: str, name: str) -> None:
    talk = told(knowledge, "name the job old one", said)
    assert talk.session.record.work.job.machine == name
    assert talk.say("what is this job called") == f"Job one: {name}."
    assert talk.say("job name") == f"Job one: {name}."


def test_the_next_job_is_begun_by_its_name(knowledge: Knowledge) -> None:
    talk = told(knowledge, MALE, "next job is called kit three")
    assert [job.machine for job in talk.session.record.work.jobs] == ["", "kit three"]
    talk.say("this is job one")
    assert talk.session.record.work.job.number == 1
