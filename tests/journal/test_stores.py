"""Every kind of store keeps the same promises: the same tests run on a line file, SQLite and a real PostgreSQL."""

from __future__ import annotations

import multiprocessing
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.journal.record import Record
from voicefit.journal.session_log import SessionLog, Versions
from voicefit.journal.store import Conflict, Store, StoreAway, is_shared, open_store, outbox_location

from .test_record import lasts, record

Open = Callable[[str], Store]


VERSIONS: Versions = {"voicefit": "0", "catalogue": "c" * 64, "grammar": "g" * 64}


def begin(store: Store, **options: object) -> SessionLog:
    return SessionLog.begin(store, VERSIONS, **options)  # type: ignore[arg-type]  # clock passed through


def test_what_was_appended_is_read_back_by_another_opening(location: str, opened: Open) -> None:
    log = begin(opened(location))
    said = [log.append("reading", {"heard": "nine sixteenths", "job": 1, "n": n}) for n in range(5)]
    log.append("note", {"name": "Größe \u0000 🔧", "job": 2})
    again = SessionLog.resume(opened(location), log.session, VERSIONS).contents()
    assert again.damage == ()
    assert [r.sequence for r in again.records] == list(range(8))
    assert list(again.records[1:6]) == said
    assert (again.records[7].kind, again.records[7].data["catalogue"]) == ("resumed", "c" * 64)
    assert again.records[0].kind == "header"
    assert again.records[0].data["catalogue"] == "c" * 64
    assert (again.records[6].data["name"], again.records[6].job) == ("Größe \u0000 🔧", 2)


def test_a_session_goes_on_where_it_was(location: str, opened: Open) -> None:
    log = begin(opened(location))
    log.append("reading", {"n": 1})
    resumed = SessionLog.resume(opened(location), log.session, VERSIONS)
    assert resumed.append("reading", {"n": 2}).sequence == 3
    with pytest.raises(BadInput, match="no session"):
        SessionLog.resume(opened(location), "f" * 32, VERSIONS)


def test_sending_again_does_no_harm_but_another_record_is_refused(location: str, opened: Open) -> None:
    store = opened(location)
    store.append([record(0), record(1)])
    store.append([record(0), record(1), record(2)])
    with pytest.raises(Conflict, match="record 1 of session aaaaaaaa"):
        store.append([record(3), record(1, other=True)])
    assert [r.sequence for r in store.contents().records] == [0, 1, 2], "a refused batch leaves nothing"
    opened(location).append([record(3)])
    assert lasts(store) == {"a" * 32: 3}


def test_sessions_are_kept_apart(location: str, opened: Open) -> None:
    store = opened(location)
    logs = [begin(store), begin(store)]
    for n in range(6):
        logs[n % 2].append("reading", {"n": n})
    assert [r.data["n"] for r in logs[1].contents().records[1:]] == [1, 3, 5]
    assert lasts(store) == {log.session: 3 for log in logs}


def test_a_clock_set_back_changes_no_order(location: str, opened: Open) -> None:
    times = iter(["2024-05-01T10:00:00Z", "2024-05-01T10:00:01Z", "1970-01-01T00:00:00Z", "2023-01-01T00:00:00Z"])
    log = begin(opened(location), clock=lambda: next(times))
    for n in range(3):
        log.append("reading", {"n": n})
    found = SessionLog.resume(opened(location), log.session, VERSIONS).contents().records
    assert [r.data["n"] for r in found[1:4]] == [0, 1, 2]
    assert [r.at[:4] for r in found[:4]] == ["2024", "2024", "1970", "2023"]


def _write_many(location: str, count: int) -> None:
    store = open_store(location)
    log = begin(store)
    for n in range(count):
        log.append("reading", {"n": n})
    store.close()


def test_several_sessions_write_at_once(location: str, opened: Open) -> None:
    # The store does not exist yet: they also race to make it.
    spawn = multiprocessing.get_context("spawn")
    writers = [spawn.Process(target=_write_many, args=(location, 40)) for _ in range(3)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(120)
    assert [writer.exitcode for writer in writers] == [0, 0, 0]
    found = opened(location).contents()
    assert found.damage == ()
    by_session: dict[str, list[Record]] = {}
    for each in found.records:
        by_session.setdefault(each.session, []).append(each)
    assert [[r.sequence for r in records] for records in by_session.values()] == [list(range(41))] * 3


@pytest.mark.parametrize("name", ["a.sqlite", "a.journal"])
def test_files_are_private_from_the_first_moment(name: str, tmp_path: Path, opened: Open) -> None:
    folder = tmp_path / "new" / "folder"
    log = begin(opened(str(folder / name)))
    log.append("reading", {})
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
    assert name in modes and set(modes.values()) == {0o600}, modes


def test_a_file_that_others_could_read_is_made_private(tmp_path: Path, opened: Open) -> None:
    path = tmp_path / "a.journal"
    path.touch(mode=0o644)
    opened(str(path)).append([record(0)])
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_locations(tmp_path: Path, opened: Open) -> None:
    opened(str(tmp_path)).close()
    assert (tmp_path / "journal.sqlite").exists()
    with pytest.raises(BadInput, match=r"a store is a folder, a file ending in"):
        open_store(tmp_path / "journal.txt")
    with pytest.raises(BadInput, match="mysql: a store is SQLite or PostgreSQL"):
        open_store("mysql://somewhere/x")
    with pytest.raises(BadInput, match="not a database URL"):
        open_store("://")
    assert is_shared("postgresql+psycopg://host/db") and not is_shared("sqlite:///a.sqlite") and not is_shared("a.db")


def test_a_server_that_does_not_answer_is_away_and_its_password_stays_out_of_the_message(tmp_path: Path) -> None:
    with pytest.raises(StoreAway) as caught:
        open_store(f"postgresql+psycopg://me:hunter2@/shop?host={tmp_path}")
    assert "hunter2" not in str(caught.value) and "shop" in str(caught.value)


def test_one_outbox_a_shared_store(tmp_path: Path) -> None:
    first = outbox_location("postgresql+psycopg://me:old@db/shop", tmp_path)
    assert first == outbox_location("postgresql+psycopg://me:new@db/shop", tmp_path)
    assert first != outbox_location("postgresql+psycopg://me:new@db/other", tmp_path)


def test_sqlite_commits_reach_the_disk(tmp_path: Path, opened: Open) -> None:
    from voicefit.journal.sql import SqlStore

    store = opened(str(tmp_path / "a.sqlite"))
    assert isinstance(store, SqlStore)
    with store._engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2  # FULL
