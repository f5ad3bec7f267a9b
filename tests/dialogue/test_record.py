"""The record: entries change it the same way live and on replay; undo is exact; what does not fit is an error."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Session, entries
from voicefit.dialogue.entries import KINDS, SCHEMA, appended, parsed
from voicefit.dialogue.reading_data import reading_from_data, reading_to_data
from voicefit.dialogue.record import OnRecord, applied
from voicefit.errors import StoreError
from voicefit.ordering.slip import DecidedBy
from voicefit.quantities import Quantity, Unit
from voicefit.records import Append, Measurand, Option, Reading, Trouble

quantities = st.builds(
    Quantity, st.fractions(0, 1000, max_denominator=1000), st.sampled_from(Unit), st.none() | st.just(Fraction(1, 64))
)
options = st.builds(
    Option,
    st.sampled_from(Measurand),
    quantities | st.sampled_from(["convex", "tapered", "flare37"]),
    st.floats(-50, 0),
    st.booleans(),
)
readings = st.builds(
    Reading,
    st.text(max_size=20),
    st.lists(options, min_size=1, max_size=4).map(tuple),
    st.none() | st.integers(1, 40),
    st.none() | st.sampled_from(["leaf", "gender"]),
)


@settings(max_examples=80, deadline=None)
@given(readings)
def test_a_reading_survives_the_journal_exactly(reading: Reading) -> None:
    assert reading_from_data(json.loads(json.dumps(reading_to_data(reading)))) == reading


@pytest.mark.parametrize("data", [{}, {"heard": "x", "options": [{}]}, {"heard": "x", "options": 3}])
def test_a_broken_reading_is_an_error(data: dict[str, object]) -> None:
    with pytest.raises(StoreError):
        reading_from_data(data)


def test_entries_of_one_turn_are_one_step_of_undo() -> None:
    record = OnRecord()
    for kind, data in (("impossible", {"check": "a"}), ("impossible", {"check": "b"})):
        record = applied(record, Append(kind, {**data, "turn": 1}))
    record = applied(record, Append("impossible", {"check": "c", "turn": 2}))
    assert record.work.piece.impossible == {"a", "b", "c"}
    record = applied(record, Append("undo", {"turns": 1, "turn": 3}))
    assert record.work.piece.impossible == {"a", "b"}
    record = applied(record, Append("undo", {"turns": 1, "turn": 4}))
    assert record.work == OnRecord().work


def test_a_void_takes_back_what_was_written_of_its_turn() -> None:
    before = applied(OnRecord(), Append("impossible", {"check": "a", "turn": 1}))
    half = applied(before, Append("impossible", {"check": "b", "turn": 2}))
    assert applied(half, Append("void", {"turn": 2})) == before
    assert applied(before, Append("void", {"turn": 2})) == before


@pytest.mark.parametrize(
    "entry",
    [
        Append("undo", {"turns": 1, "turn": 1}),
        Append("go_to_job", {"job": 4, "turn": 1}),
        Append("go_to_piece", {"piece": 4, "turn": 1}),
        Append("reading", {"number": 1, "turn": 1}),
        Append("impossible", {"check": "a"}),
        Append("impossible", {"check": "a", "turn": "one"}),
    ],
    ids=lambda entry: f"{entry.kind} {entry.data}",
)
def test_an_entry_that_does_not_fit_is_an_error(entry: Append) -> None:
    with pytest.raises(StoreError):
        applied(OnRecord(), entry)


def test_kinds_of_others_are_left_alone() -> None:
    assert applied(OnRecord(), Append("header", {"anything": 1})) == OnRecord()


# One of each kind, as version 1 of the schema wrote it.
OLD: dict[str, dict[str, Any]] = {
    "reading": {"number": 1, "reading": {"heard": "male", "options": [{"measurand": "gender", "value": "male",
                "log_prior": 0.0, "negated": False}]}},
    "dropped": {"number": 1},
    "impossible": {"check": "leaf"},
    "put_off": {"check": "leaf"},
    "answered": {"topic": "material", "text": "water"},
    "start_over": {"number": 2},
    "new_job": {"job": 2, "number": 2},
    "go_to_job": {"job": 1},
    "new_piece": {"piece": "end", "number": 2},
    "go_to_piece": {"piece": 0},
    "becomes": {"piece": "hose", "number": 2},
    "mounted": {"mounted": False},
    "finished": {"finished": True},
    "goal": {"start": "a", "goal": "b"},
    "machine": {"text": "A1"},
    "read_back": {"number": 1, "option": 0},
    "concluded": {"piece": 1, "end": "flare37/6/male"},
    "told": {"caution": "pressure"},
    "note": {"name": "a", "seconds": 2.0},
    "sound_removed": {"names": ["a"]},
}  # fmt: skip


@pytest.mark.parametrize("kind", OLD)
def test_an_entry_of_the_first_schema_opens_and_changes_the_record(kind: str) -> None:
    before = OnRecord()
    for first in ("reading", "note"):
        if kind in ("dropped", "sound_removed"):
            before = applied(before, Append(first, {"job": 1, **OLD[first], "turn": 1}))
    after = applied(before, Append(kind, {"job": 1, **OLD[kind], "turn": 2}))
    same = {"go_to_job", "go_to_piece"}  # to where one is
    assert (replace(after, turn=0, changed_turn=0, past=()) == replace(before, turn=0, changed_turn=0, past=())) == (
        kind in same
    )


def test_only_what_is_new_is_not_in_the_first_schema() -> None:
    assert set(KINDS) - set(OLD) == {
        "undo", "redo", "removed", "void", "worn", "without_tool", "decided", "counted", "beside", "both_ends"
    }  # fmt: skip


def test_an_entry_of_a_later_schema_is_an_error() -> None:
    with pytest.raises(StoreError, match="schema"):
        parsed(Append("dropped", {"number": 1, "turn": 1, "schema": SCHEMA + 1}))


@given(st.integers(1, 99), st.integers(1, 99))
def test_an_entry_survives_the_journal(number: int, turn: int) -> None:
    for entry in (
        entries.Dropped(number=number, turn=turn, job=1, schema=SCHEMA),
        entries.Decided(end="a", look_alikes=("b",), turn=turn, job=1, schema=SCHEMA),
        entries.Decided(end=None, turn=turn, job=1, schema=SCHEMA),
        entries.WithoutTool(tool="leaves", without=False, turn=turn, job=1, schema=SCHEMA),
        entries.Finished(finished=False, turn=turn, job=1, schema=SCHEMA),
        entries.Counted(piece=number, count=number, turn=turn, job=1, schema=SCHEMA),
        entries.Beside(piece=number, what="mate", count=number, turn=turn, job=1, schema=SCHEMA),
        entries.BothEnds(piece=number, both=False, turn=turn, job=1, schema=SCHEMA),
    ):
        plain = appended(entry)
        assert parsed(Append(plain.kind, json.loads(json.dumps(plain.data)))) == entry


def test_a_conclusion_falls_with_its_readings_on_another_piece(knowledge: Knowledge) -> None:
    """Undo over two pieces: the end whose last reading is undone is not on the slip any more."""
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees")
    talk.say("other end")
    talk.say("go to end one")
    talk.say("it sticks out")
    assert talk.snapshot.concluded == "flare37/6/male"
    talk.say("undo two")
    assert talk.snapshot.piece == 2
    assert [end.decided_by for end in talk.session.job_facts().ends] == [DecidedBy.LIKELY]
    assert talk.snapshot.concluded is None and not talk.session.record.concluded
    assert talk.replayed().record == talk.session.record


def test_a_turn_that_was_not_written_as_a_whole_does_not_count(knowledge: Knowledge) -> None:
    """Two readings in one breath, one of them durable, then the store fails: replay agrees with the session."""
    talk = Talk(knowledge)
    talk.say("male")
    journal = list(talk.journal)
    talk.say("nineteen pitch, thirty degrees")
    journal.append(talk.written[0])
    talk.handle(Trouble("store"))
    assert [kept.reading.heard for kept in talk.session.record.work.piece.readings] == ["male"]
    talk.say("eighteen pitch")
    journal += talk.written
    assert Session.replay(knowledge, journal).record == talk.session.record
    assert [kept.reading.heard for kept in talk.session.record.work.piece.readings] == ["male", "eighteen pitch"]


def test_a_note_is_undone_and_done_again_but_not_its_removal() -> None:
    """Notes are of the work, also behind a new job; what is removed for good comes back by no undo and no redo."""
    record = OnRecord()
    for turn, (kind, data) in enumerate[tuple[str, dict[str, Any]]](
        [
            ("note", {"job": 1, "name": "a", "seconds": 2.0}),
            ("new_job", {"job": 2, "number": 2}),
            ("undo", {"turns": 2}),
        ],
        1,
    ):
        record = applied(record, Append(kind, {**data, "turn": turn, "schema": SCHEMA}))
    assert record.notes == ()
    record = applied(record, Append("redo", {"turn": 4}))
    assert [note.name for note in record.notes] == ["a"] and record.work.job.number == 2
    record = applied(record, Append("sound_removed", {"names": ["a"], "turn": 5}))
    record = applied(record, Append("undo", {"turns": 1, "turn": 6}))
    assert record.notes == () and record.work.job.number == 1
    with pytest.raises(StoreError, match="nothing was undone"):
        applied(OnRecord(), Append("redo", {"turn": 1}))


def test_in_a_journal_of_an_earlier_version_an_undo_passes_a_note_by() -> None:
    """There a note was no step of its own: what was undone then is undone on replay."""
    record = OnRecord()
    for kind, data in (
        ("impossible", {"check": "a", "turn": 1}),
        ("note", {"job": 1, "name": "n", "seconds": 0.0, "turn": 2}),
        ("without_tool", {"tool": "caliper", "turn": 3}),
        ("undo", {"turns": 1, "turn": 4}),
    ):
        record = applied(record, Append(kind, {**data, "schema": 3}))
    assert record.work.piece.impossible == frozenset()
    assert [note.name for note in record.notes] == ["n"] and record.without == {"caliper"}
