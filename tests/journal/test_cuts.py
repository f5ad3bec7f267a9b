"""The journal of a recorded session cut at every byte: a prefix is left, with all that was durable before the cut."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from voicefit.journal.line_file import LineFile
from voicefit.journal.record import Record, assemble
from voicefit.journal.session_log import SessionLog
from voicefit.journal.sqlite_file import readable
from voicefit.journal.store import open_store

from .test_failures import recorded
from .test_record import record

LOG_HEADER_BYTES, FRAME_HEADER_BYTES = 32, 24  # SQLite's file format, section 4.1


def test_line_file_cut_at_every_byte(quick_folder: Path) -> None:
    whole = quick_folder / "whole.journal"
    records = recorded(whole)
    raw = whole.read_bytes()
    path = quick_folder / "cut.journal"
    for length in range(len(raw) + 1):
        path.write_bytes(raw[:length])
        store = LineFile(path)
        found = store.contents()
        # a record whose line lacks only its line end is whole
        expected = raw[:length].count(b"\n") + (length < len(raw) and raw[length : length + 1] == b"\n" and length > 0)
        assert list(found.records) == records[:expected]
        torn = length > 0 and raw[length - 1 : length] != b"\n" and raw[length : length + 1] not in (b"\n", b"")
        assert len(found.damage) == int(torn)
        store.append([record(0, session="d" * 32)])
        again = LineFile(path).contents()
        assert list(again.records) == [*records[:expected], record(0, session="d" * 32)]
        assert len(again.damage) == int(torn)


@dataclass
class Log:
    """A session in SQLite's write-ahead log. ``empty`` : the file before it; ``ends`` : the log's size after each
    record was durable."""

    empty: bytes
    raw: bytes
    ends: list[int]
    records: list[Record]
    frame_bytes: int

    def durable_at(self, length: int) -> list[Record]:
        """What was confirmed when the log was that long."""
        return self.records[: sum(end <= length for end in self.ends)]

    def cut(self, path: Path, length: int) -> None:
        for side in ("-wal", "-shm"):
            path.with_name(path.name + side).unlink(missing_ok=True)
        path.write_bytes(self.empty)
        path.with_name(path.name + "-wal").write_bytes(self.raw[:length])

    def edges(self) -> set[int]:
        frames = range(LOG_HEADER_BYTES, len(self.raw) + 1, self.frame_bytes)
        return {edge + near for edge in frames for near in (-1, 0, 1) if 0 <= edge + near <= len(self.raw)}


def logged(folder: Path, page_bytes: int) -> Log:
    path = folder / "first.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA page_size = {page_bytes}")
        connection.execute("VACUUM")
    open_store(path).close()
    empty, log_file = path.read_bytes(), folder / "first.sqlite-wal"
    store = open_store(path)
    ends = []
    log = SessionLog.begin(store, {"voicefit": "0", "catalogue": "c" * 8, "grammar": "g" * 8})
    ends.append(log_file.stat().st_size)
    for n in range(5):
        log.append("reading", {"n": n})
        ends.append(log_file.stat().st_size)
    records, raw = list(store.contents().records), log_file.read_bytes()
    store.close()
    assert (len(raw) - LOG_HEADER_BYTES) % (FRAME_HEADER_BYTES + page_bytes) == 0
    return Log(empty, raw, ends, records, FRAME_HEADER_BYTES + page_bytes)


def test_sqlite_log_cut_at_many_bytes(quick_folder: Path) -> None:
    # SQLite's own reading, at each end of a frame and every seventh byte; our store below.
    log, path = logged(quick_folder, 512), quick_folder / "cut.sqlite"
    for length in sorted({*range(0, len(log.raw) + 1, 7), *log.edges(), len(log.raw)}):
        log.cut(path, length)
        with closing(sqlite3.connect(path)) as connection:
            lines = connection.execute("SELECT line FROM voicefit_record ORDER BY position").fetchall()
        found = assemble((str(length), line) for (line,) in lines)
        assert found.damage == ()
        assert list(found.records) == log.durable_at(length), length


@pytest.mark.parametrize("page_bytes", [512, 4096])
def test_the_store_opens_a_log_cut_anywhere(page_bytes: int, quick_folder: Path) -> None:
    # At each end of a frame, and at every byte of the frame that ends the second record's commit.
    log, path = logged(quick_folder, page_bytes), quick_folder / "cut.sqlite"
    frame = range(log.ends[1] - log.frame_bytes, log.ends[1] + 1, 1 if page_bytes == 512 else 100)
    for length in sorted({0, *log.edges(), *frame}):
        log.cut(path, length)
        store = open_store(path)
        found = store.contents()
        assert found.damage == ()
        durable = log.durable_at(length)  # one more may lie there whole without its commit
        assert list(found.records) in (durable, log.records[: len(durable) + 1]), length
        store.append([record(0, session="e" * 32)])
        assert len(store.contents().records) == len(found.records) + 1
        store.close()


def test_sqlite_file_cut_at_every_byte_of_its_records(quick_folder: Path) -> None:
    # The file after the log was folded into it: every record that lies whole in what is left can be read out of it.
    # Between the records are pages of zeros and of indexes: there every 64th byte.
    whole, path = quick_folder / "whole.sqlite", quick_folder / "cut.sqlite"
    records = recorded(whole, 12)
    raw = whole.read_bytes()
    place = {each.sequence: raw.index(f'"sequence":{each.sequence},"session"'.encode()) for each in records}
    seen = set()
    near = {length for at in place.values() for length in range(at - 20, min(at + 120, len(raw)))}
    for length in sorted({*range(0, len(raw), 64), *near, len(raw)}):
        path.write_bytes(raw[:length])
        found = {each.sequence for each in readable(path).records}
        assert found <= {number for number, at in place.items() if at < length}
        assert found >= {number for number, at in place.items() if at + 100 <= length}
        seen.add(len(found))
    assert seen == set(range(len(records) + 1)), "each number of records was met"
