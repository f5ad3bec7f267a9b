"""Which session goes on: the one last written to with an open job, unless another process has it or it is too long."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.journal import history
from voicefit.journal.history import InHand, asked_for, left_open
from voicefit.journal.record import Contents, Record

NOTE = {"job": 1, "name": "aaaaaaaa-1-note-1.flac", "seconds": 1.0}


def session(letter: str, *kinds: str) -> list[Record]:
    """Records of one session, each kind a turn."""
    data = {
        "note": NOTE,
        "finished": {"job": 1, "finished": True},
        "new_job": {"job": 2, "number": 2},
        "header": {"catalogue": letter},
        "resumed": {"catalogue": f"{letter} later"},
    }
    return [
        Record(letter * 32, n, "2024-05-01T07:30:00.000Z", kind, {**data[kind], "turn": n})
        for n, kind in enumerate(("header", *kinds))
    ]


def contents(*sessions: list[Record]) -> Contents:
    return Contents(tuple(record for each in sessions for record in each))


def test_the_session_last_written_to_goes_on(tmp_path: Path) -> None:
    first, second = session("a", "note"), session("b", "note")
    found = left_open(contents(first[:1], second, first[1:]), tmp_path)  # a was begun first and written to last
    assert found is not None and found[0].session == "a" * 32
    found[1].release()


@pytest.mark.parametrize("kinds", [(), ("finished",), ("note", "finished"), ("new_job",)])
def test_nothing_open_is_nothing_to_go_on_with(kinds: tuple[str, ...], tmp_path: Path) -> None:
    assert left_open(contents(session("a", *kinds)), tmp_path) is None


def test_one_in_hand_elsewhere_is_passed_over(tmp_path: Path) -> None:
    both = contents(session("a", "note"), session("b", "note"))
    first = left_open(both, tmp_path)
    second = left_open(both, tmp_path)
    assert first is not None and second is not None
    assert (first[0].session[0], second[0].session[0]) == ("b", "a")
    assert left_open(both, tmp_path) is None
    with pytest.raises(BadInput, match="session bbbbbbbb is open in another window"):
        asked_for(both, "bbbbbbbb-1", tmp_path)
    first[1].release()
    first[1].release()
    again = asked_for(both, "bbbbbbbb-1", tmp_path)
    assert again[1] == 1
    again[2].release()
    second[1].release()
    assert list(tmp_path.iterdir()) == [], "no lock is left lying about"


def test_a_very_long_session_begins_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(history, "LONGEST", 3)
    assert left_open(contents(session("a", "note", "note", "note")), tmp_path) is None
    asked_for(contents(session("a", "note", "note", "note")), "aaaaaaaa-1", tmp_path)[2].release()


def test_locks_are_private(tmp_path: Path) -> None:
    hand = InHand(tmp_path / "open", "c" * 32)
    assert (tmp_path / "open").stat().st_mode & 0o777 == 0o700
    assert {path.stat().st_mode & 0o777 for path in (tmp_path / "open").iterdir()} == {0o600}
    hand.release()


def test_a_job_is_of_the_versions_under_which_it_was_last_spoken(tmp_path: Path) -> None:
    found = left_open(contents(session("a", "note", "resumed", "new_job", "note")), tmp_path)
    assert found is not None
    found[1].release()
    first = found[0].jobs[0]
    assert first.catalogue == "a later", "a note was added to it after the restart"
    assert [entry.kind for entry in found[0].entries] == ["note", "new_job", "note"], "versions are no entries"
