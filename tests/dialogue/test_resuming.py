"""A session that begins with what is on record: what is said, and which job is in hand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Session
from voicefit.records import Append, Resumed, Say


def restarted(knowledge: Knowledge, *said: str, **how: Any) -> tuple[Session, str, list[str]]:
    """The session after a restart, what it says, and the kinds of the entries of it."""
    before = Talk(knowledge)
    for text in said:
        before.say(text)
    session = Session.replay(knowledge, before.journal)
    effects = session.handle(Resumed(**how))
    words = " ".join(effect.text for effect in effects if isinstance(effect, Say))
    return session, words, [effect.kind for effect in effects if isinstance(effect, Append)]


def test_a_fresh_job_is_in_hand_and_the_open_one_is_named(knowledge: Knowledge) -> None:
    session, words, entries = restarted(knowledge, "outside nine sixteenths", "new job", "outside one inch")
    assert words.startswith("Job two is still open: end one, not settled, one inch outside.")
    assert "begin job three" in words and words.endswith("First: pressure off, loads down, machine locked.")
    assert entries == ["new_job", "told"]
    assert session.record.work.job.number == 3 and session.record.is_empty(session.record.work.job)


def test_the_fresh_job_of_before_serves_again(knowledge: Knowledge) -> None:
    session, words, entries = restarted(knowledge, "outside nine sixteenths", "new job")
    assert words.startswith("Job one is still open") and "begin job two" in words
    assert entries == ["told"] and session.record.work.job.number == 2


def test_a_job_asked_for_is_in_hand_where_it_was(knowledge: Knowledge) -> None:
    session, words, entries = restarted(knowledge, "outside nine sixteenths", "new job", "outside one inch", job=1)
    assert words.startswith("Job one, piece one. Nine-sixteenths outside.")
    assert "pressure off" in words and words.endswith("?"), "and the next check is asked"
    assert entries[0] == "go_to_job" and session.record.work.job.number == 1


@pytest.mark.parametrize("said", [(), ("outside one inch", "finish"), ("new job",)])
def test_nothing_open_is_silent(said: tuple[str, ...], knowledge: Knowledge) -> None:
    session, words, entries = restarted(knowledge, *said)
    assert (words, entries) == ("", []) and session.record.last_open is None


@pytest.mark.parametrize("said", [(), ("outside one inch", "finish"), ("new job",)])
def test_with_nothing_open_it_says_what_to_say_first(said: tuple[str, ...], knowledge: Knowledge) -> None:
    session, words, entries = restarted(knowledge, *said, greets=True)
    assert words.startswith("Ready. Say what you see or measure. First: pressure off") and words.endswith("?")
    assert entries[-1] == "told" and session.record.last_open is None
    assert session.record.is_empty(session.record.work.job), "nothing is mixed into what is finished"
    asked = session.snapshot().next_checks
    assert [words.endswith(prompt) for _, prompt in asked] == [True], "what is asked is what is open"


def test_a_job_with_no_more_than_a_worn_thread_is_open(knowledge: Knowledge) -> None:
    _, words, _ = restarted(knowledge, "the thread is worn")
    assert words.startswith("Job one is still open")


def test_a_job_with_nothing_in_it_is_not_finished(knowledge: Knowledge) -> None:
    session, _, entries = restarted(knowledge, "finish the job")
    assert not session.record.work.job.finished and not entries
    assert Talk(knowledge).say("finish the job") == "There is nothing in job one yet."
