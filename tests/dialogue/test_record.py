"""The record: entries change it the same way live and on replay; undo is exact; what does not fit is an error."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Session
from voicefit.dialogue.codec import reading_from_data, reading_to_data
from voicefit.dialogue.record import ASIDE, KINDS, WORK, Record, applied
from voicefit.errors import StoreError
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
    record = Record()
    for kind, data in (("impossible", {"check": "a"}), ("impossible", {"check": "b"})):
        record = applied(record, Append(kind, {**data, "turn": 1}))
    record = applied(record, Append("impossible", {"check": "c", "turn": 2}))
    assert record.work.piece.impossible == {"a", "b", "c"}
    record = applied(record, Append("undo", {"turns": 1, "turn": 3}))
    assert record.work.piece.impossible == {"a", "b"}
    record = applied(record, Append("undo", {"turns": 1, "turn": 4}))
    assert record.work == Record().work


def test_a_void_takes_back_what_was_written_of_its_turn() -> None:
    before = applied(Record(), Append("impossible", {"check": "a", "turn": 1}))
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
        applied(Record(), entry)


def test_kinds_of_others_are_left_alone() -> None:
    assert applied(Record(), Append("header", {"anything": 1})) == Record()


def test_each_kind_is_either_work_or_aside() -> None:
    assert not set(WORK) & set(ASIDE)
    assert set(WORK) | set(ASIDE) < KINDS


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
    assert [end.end for end in talk.session.job_facts().ends] == [None]
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
