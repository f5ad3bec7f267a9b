"""The file of a journal is removed, renamed or replaced while a session has it open: nothing confirmed is lost."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.journal.record import encode
from voicefit.journal.session_log import BRANCHED, MOVED, SessionLog
from voicefit.journal.store import Store, open_store

from .test_record import record
from .test_stores import VERSIONS, begin

Open = Callable[[str], Store]


@pytest.fixture(params=["a.sqlite", "a.journal"])
def path(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    return tmp_path / "kept" / request.param


def told_of(log: SessionLog) -> list[str]:
    told: list[str] = []
    log.tell = lambda what, detail: told.append(what)
    return told


def removed(path: Path) -> None:
    for each in path.parent.glob(path.name + "*"):
        each.unlink()


def renamed(path: Path) -> None:
    path.replace(path.with_name("elsewhere"))


def folder_removed(path: Path) -> None:
    shutil.rmtree(path.parent)


def another_in_its_place(path: Path) -> None:
    other = path.with_name("other" + path.suffix)
    store = open_store(other)
    store.append([record(0), record(1)])
    store.close()
    removed(path)
    other.replace(path)


@pytest.mark.parametrize("harm", [removed, renamed, folder_removed, another_in_its_place])
def test_what_was_confirmed_is_in_the_file_that_the_name_names(path: Path, opened: Open, harm: Callable) -> None:
    log = begin(opened(str(path)))
    told = told_of(log)
    for n in range(5):
        log.append("reading", {"n": n})
    harm(path)
    for n in range(5, 8):
        log.append("reading", {"n": n})
        found = [r for r in open_store(path).contents().records if r.session == log.session]
        assert [r.data.get("n") for r in found] == [None, *range(n + 1)]
    assert told == [MOVED]


def test_removed_between_the_write_and_the_confirmation(
    tmp_path: Path, opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.sqlite"
    log = begin(opened(str(path)))
    told, write = told_of(log), log.store._append

    def write_and_remove(rows: list) -> None:
        write(rows)
        removed(path)
        monkeypatch.undo()

    monkeypatch.setattr(log.store, "_append", write_and_remove)
    log.append("reading", {"n": 1})
    assert [r.sequence for r in opened(str(path)).contents().records] == [0, 1]
    assert told == [MOVED]


def test_an_older_copy_in_its_place_is_gone_on_with_beside_it(path: Path, opened: Open) -> None:
    """As when a backup is restored, and somebody else has gone on in it, while the session speaks."""
    log = begin(opened(str(path)))
    told = told_of(log)
    log.append("reading", {"n": 1})
    backup = path.with_name("backup" + path.suffix)
    copy = open_store(backup)
    copy.append(log.contents().records)
    SessionLog.resume(copy, log.session, VERSIONS).append("reading", {"n": "theirs"})
    copy.close()
    before = log.session
    log.append("reading", {"n": 2})
    removed(path)
    backup.replace(path)
    log.append("reading", {"n": 3})
    log.append("reading", {"n": 4})
    assert told == [BRANCHED] and log.session != before
    found = opened(str(path)).contents()
    assert found.damage == ()
    ours = [r.data.get("n") for r in found.records if r.session == log.session]
    assert ours == [None, 1, 2, 3, 4]
    assert [r.data.get("n") for r in found.records if r.session == before] == [None, 1, None, "theirs"]


def test_two_who_go_on_with_one_session_do_not_mix(location: str, opened: Open) -> None:
    first = begin(opened(location))
    first.append("reading", {"n": 1})
    second = SessionLog.resume(opened(location), first.session, VERSIONS)
    told = told_of(first)
    first.append("reading", {"n": 2})
    second.append("reading", {"n": "theirs"})
    first.append("reading", {"n": 3})
    assert told == [BRANCHED]
    assert [r.data.get("n") for r in first.contents().records] == [None, 1, 2, 3]
    assert [r.data.get("n") for r in second.contents().records] == [None, 1, None, "theirs"]


def test_a_record_names_its_opening_and_its_past(location: str, opened: Open) -> None:
    log = begin(opened(location))
    log.append("reading", {"n": 1})
    again = SessionLog.resume(opened(location), log.session, VERSIONS)
    again.append("reading", {"n": 2})
    records = again.contents().records
    assert [len(r.opening) for r in records] == [16] * 4
    assert len({r.opening for r in records[:2]}) == len({r.opening for r in records[2:]}) == 1
    assert records[0].opening != records[2].opening
    assert len({r.chain for r in records}) == 4, "each has a past of its own"
    assert "chain" in encode(records[0])


def test_a_damaged_store_is_mended_under_a_session_that_writes_on(quick_folder: Path) -> None:
    path = quick_folder / "a.sqlite"
    log = begin(open_store(path))
    told = told_of(log)
    for n in range(60):
        log.append("reading", {"n": n, "text": "x" * 200})
    log.store.contents()
    raw = bytearray(path.read_bytes())
    other = open_store(path)
    with path.open("r+b") as file:  # in place: the session keeps its file
        raw[2 * 4096 : 3 * 4096] = b"\xa5" * 4096
        file.write(raw)
    other._mend(path)
    log.append("reading", {"n": 60, "text": ""})
    assert told == [MOVED]
    found = open_store(path).contents()
    assert [r.data.get("n") for r in found.records] == [None, *range(61)]


def test_who_only_reads_leaves_a_damaged_store_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    log = begin(open_store(path))
    for n in range(60):
        log.append("reading", {"n": n, "text": "x" * 200})
    log.store.close()
    raw = bytearray(path.read_bytes())
    raw[:4096] = b"\xa5" * 4096
    path.write_bytes(raw)
    store = open_store(path, mends=False)
    assert [r.sequence for r in store.contents().records] == list(range(61))
    assert "the file is damaged; 61 records read, 0 records lost" in str(store.contents().damage[0])
    assert store.tips()[log.session][0] == 60
    store.close()
    assert path.read_bytes() == raw
    assert list(tmp_path.glob("*damaged*")) == []


@pytest.mark.parametrize(
    "location",
    ["sqlite://", "sqlite:///:memory:", "sqlite:///file::memory:?uri=true", "sqlite:///a.sqlite?mode=memory"],
)
def test_a_store_in_memory_is_refused(location: str) -> None:
    with pytest.raises(BadInput, match="nothing would be kept"):
        open_store(location)
