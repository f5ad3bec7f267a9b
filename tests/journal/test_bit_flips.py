"""One bit, or a page, of a store that is not as it was written: all other records are read, and losses are counted."""

from __future__ import annotations

import random
import shutil
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest

from voicefit.errors import StoreError
from voicefit.journal.line_file import LineFile
from voicefit.journal.record import Record
from voicefit.journal.store import open_store

from .test_record import record
from .test_stores import begin

COUNT = 30


@pytest.fixture(scope="module")
def killed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[Record, ...]]:
    """A folder as a killed session leaves it: its records are in the log, not yet in the file."""
    folder = tmp_path_factory.mktemp("killed")
    store = open_store(folder / "open" / "a.sqlite")
    log = begin(store)
    for n in range(COUNT):
        log.append("reading", {"heard": "nineteen thirty-seconds", "n": n})
    records = store.contents().records
    shutil.copytree(folder / "open", folder / "left")
    store.close()
    return folder / "left", records


def test_a_flipped_bit_in_the_log_costs_one_record_at_most(
    killed: tuple[Path, tuple[Record, ...]], quick_folder: Path
) -> None:
    left, records = killed
    size = (left / "a.sqlite-wal").stat().st_size
    dice = random.Random(5)
    behind = 0
    for number in range(32):
        folder = quick_folder / str(number)
        shutil.copytree(left, folder)
        raw = bytearray((folder / "a.sqlite-wal").read_bytes())
        at = dice.randrange(size)
        raw[at] ^= 1 << dice.randrange(8)
        (folder / "a.sqlite-wal").write_bytes(raw)
        (folder / "a.sqlite-shm").unlink(missing_ok=True)
        plain = folder / "plain"
        plain.mkdir()
        for each in folder.glob("a.sqlite*"):
            shutil.copy(each, plain)
        with closing(sqlite3.connect(plain / "a.sqlite")) as connection:
            try:
                (alone,) = connection.execute("SELECT count(*) FROM voicefit_record").fetchone()
            except sqlite3.Error:
                alone = 0
        behind += alone < len(records)
        store = open_store(folder / "a.sqlite")
        found = store.contents()
        store.close()
        lost = len(records) - len(found.records)
        assert {r.sequence for r in found.records} <= {r.sequence for r in records}
        assert lost <= 1, f"bit {at}: {lost} lost"
        if lost:
            assert any("1 record lost" in str(each) or "is missing" in str(each) for each in found.damage)
    assert behind > 5, "SQLite alone loses what lies behind the bit"


def grown(path: Path) -> tuple[Record, ...]:
    store = open_store(path)
    for _ in range(4):
        log = begin(store)
        for n in range(40):
            log.append("reading", {"n": n})
    records = store.contents().records
    store.close()
    return records


def index_page(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        (page,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE type = 'index' AND tbl_name = "
                                     "'voicefit_record'").fetchone()  # fmt: skip
    return page - 1


def test_a_bit_in_the_index_is_noticed_and_mended(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    records = grown(path)
    raw = bytearray(path.read_bytes())
    at = raw.index(records[0].session[:20].encode(), 4096 * index_page(path))
    raw[at + 3] ^= 1
    path.write_bytes(raw)
    store = open_store(path)
    found = store.contents()
    assert sorted(r.sequence for r in found.records) == sorted(r.sequence for r in records)
    assert set(store.tips()) == {r.session for r in records}
    assert "the file was damaged; 164 records saved, 0 records lost" in str(found.damage[0])
    store.close()


@pytest.mark.parametrize("seed", range(12))
def test_random_bytes_in_the_first_page(seed: int, tmp_path: Path) -> None:
    """The page that says which tables there are. What comes is the records, or one plain error."""
    path = tmp_path / "a.sqlite"
    records = grown(path)
    dice = random.Random(seed)
    raw = bytearray(path.read_bytes())
    start = dice.randrange(100, 3900)
    raw[start : start + 120] = dice.randbytes(120)
    path.write_bytes(raw)
    store = open_store(path)
    found = store.contents()
    store.append([record(0, session="e" * 32)])
    store.close()
    assert sorted(r.sequence for r in found.records) == sorted(r.sequence for r in records)


@pytest.mark.parametrize("name", ["a.sqlite", "a.journal"])
def test_somebody_elses_file_keeps_its_mode(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    if name == "a.sqlite":
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("CREATE TABLE recipes (name TEXT)")
    else:
        path.write_text("Dear diary,\n")
    path.chmod(0o644)
    with pytest.raises(StoreError, match="left as it is"):
        open_store(path).append([record(0)])
    assert stat.S_IMODE(path.stat().st_mode) == 0o644
    path.write_bytes(b"\x00\xff" * 3000)
    with pytest.raises(StoreError, match="left as it is"):
        open_store(path).append([record(0)])
    assert stat.S_IMODE(path.stat().st_mode) == 0o644


@pytest.mark.parametrize("name", ["a.sqlite", "a.journal"])
def test_a_pipe_is_no_store(name: str, tmp_path: Path) -> None:
    import os

    os.mkfifo(tmp_path / name)
    with pytest.raises(StoreError, match="is not a file"):
        open_store(tmp_path / name)


@pytest.mark.parametrize("schema", ["0", "-1", "two", ""])
def test_a_schema_that_never_was(schema: str, tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    open_store(path).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE voicefit_store SET value = ? WHERE name = 'schema'", (schema,))
        connection.commit()
    with pytest.raises(StoreError, match="no voicefit made; it is left as it is"):
        open_store(path)


def test_a_line_file_that_is_not_there_any_more_when_it_is_read(tmp_path: Path) -> None:
    store = LineFile(tmp_path / "a.journal")
    (tmp_path / "a.journal").unlink()
    with pytest.raises(StoreError, match="cannot read"):
        store.contents()
