"""What is left after a kill, a cut, a full disk, a damaged file: a prefix, with all that was confirmed."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from voicefit.errors import StoreError
from voicefit.journal.line_file import LineFile
from voicefit.journal.record import Record
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import Store, open_store

from .test_record import lasts, record

Open = Callable[[str], Store]
HERE = Path(__file__).parent
TOP = HERE.parent.parent


def run(*command: str) -> str:
    ended = subprocess.run([sys.executable, *command], capture_output=True, text=True, check=False, cwd=TOP)
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


# ---- kill -9 ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "name", "at_least"),
    [("session", "a.journal", 80), ("session", "a.sqlite", 100), ("migration", "a.sqlite", 60)],
)
def test_killed_before_each_line_of_the_journal(what: str, name: str, at_least: int, quick_folder: Path) -> None:
    kills = run("-m", "tests.journal.kill_at_each_step", what, name, str(quick_folder))
    assert int(kills) > at_least


# ---- a recorded session ------------------------------------------------------------------------------


def recorded(path: Path, count: int = 5) -> list[Record]:
    store = open_store(path)
    log = SessionLog.begin(store, {"voicefit": "0", "catalogue": "c" * 64, "grammar": "g" * 64})
    for n in range(count):
        log.append("reading", {"heard": "nineteen thirty seconds", "n": n})
    records = list(store.contents().records)
    store.close()
    return records


# ---- damaged bytes ------------------------------------------------------------------------------------


def test_a_corrupt_line_in_the_middle_is_named_and_the_rest_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.journal"
    records = recorded(path)
    lines = path.read_bytes().split(b"\n")
    lines[3] = lines[3].replace(b"nineteen", b"n\xff\x00eteen")
    path.write_bytes(b"\n".join(lines))
    found = LineFile(path).contents()
    assert list(found.records) == records[:3] + records[4:]
    assert [str(each) for each in found.damage] == [
        "a.journal, line 4: checksum does not match",
        f"session {records[0].session[:8]}: record 3 is missing",
    ]


def test_a_corrupt_row_in_the_middle_is_named_and_the_rest_kept(location: str, opened: Open) -> None:
    if not location.endswith(".sqlite") and "://" not in location:
        return  # a line file has no rows: the test above
    store = opened(location)
    store.append([record(n) for n in range(5)])
    engine = sa.create_engine(location if "://" in location else f"sqlite:///{location}")
    with engine.begin() as connection:
        connection.execute(
            sa.text("UPDATE voicefit_record SET line = replace(line, '2024', '2042') WHERE sequence = 2")
        )
    engine.dispose()
    found = store.contents()
    assert [r.sequence for r in found.records] == [0, 1, 3, 4]
    assert "row 3: checksum does not match" in str(found.damage[0])
    assert "record 2 is missing" in str(found.damage[1])


def test_a_sqlite_file_cut_anywhere_is_mended_from_what_is_left(quick_folder: Path) -> None:
    whole = quick_folder / "whole.sqlite"
    records = recorded(whole, 60)
    raw = whole.read_bytes()
    assert len(raw) > 6 * 4096
    for number, length in enumerate(range(100, len(raw), 1999)):
        folder = quick_folder / str(number)
        folder.mkdir()
        path = folder / "cut.sqlite"
        path.write_bytes(raw[:length])
        # every record that lies whole in the bytes that are left
        left = [r for r in records if f'"sequence":{r.sequence},'.encode() in raw[:length]]
        if not left:
            with pytest.raises(StoreError, match="nothing in it can be read; it is left as it is"):
                open_store(path)
            assert path.read_bytes() == raw[:length]
            continue
        store = open_store(path)
        found = store.contents()
        assert len(left) - 1 <= len(found.records) <= len(left)
        assert {r.sequence for r in found.records} <= {r.sequence for r in left}
        assert "the old file is kept as cut.damaged-1.sqlite" in str(found.damage[0])
        assert (folder / "cut.damaged-1.sqlite").read_bytes()[:length] == raw[:length]
        store.append([record(0, session="e" * 32)])
        store.close()
        store = open_store(path)
        assert len(store.contents().records) == len(found.records) + 1
        store.close()


@pytest.mark.parametrize("page", [0, 1, 3, 5])
def test_an_overwritten_page_of_a_sqlite_file(page: int, tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    records = recorded(path, 60)
    raw = bytearray(path.read_bytes())
    lost = bytes(raw[page * 4096 : (page + 1) * 4096])
    raw[page * 4096 : (page + 1) * 4096] = b"\xa5" * 4096
    path.write_bytes(raw)
    store = open_store(path)
    found = store.contents()
    store.close()
    survivors = [r for r in records if f'"sequence":{r.sequence},"session"'.encode() not in lost]
    assert sorted(r.sequence for r in found.records) == [r.sequence for r in survivors]
    assert "the file was damaged" in str(found.damage[0])


def test_a_changed_byte_in_a_sqlite_file_costs_one_record_at_most(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    records = recorded(path, 8)
    raw = path.read_bytes()
    start = raw.index(b'"heard":"nineteen thirty seconds","n":3')
    for offset in range(start - 40, start + 40):
        changed = bytearray(raw)
        changed[offset] = 0xFF
        path.write_bytes(changed)
        store = open_store(path)
        found = store.contents()
        store.close()
        assert list(found.records) == [r for r in records if r.data.get("n") != 3]
        assert "checksum does not match" in str(found.damage[0])


@pytest.mark.parametrize("name", ["a.sqlite", "a.journal"])
def test_somebody_elses_file_is_left_as_it_is(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    for content in (b"Dear diary,\n" * 50, b"\x00\xff" * 3000):
        path.write_bytes(content)
        with pytest.raises(StoreError, match="is not a journal"):
            open_store(path).append([record(0)])
        assert path.read_bytes() == content
        assert [each.name for each in tmp_path.iterdir() if "damaged" in each.name] == []


def test_another_programs_database_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")
        connection.commit()
    before = path.read_bytes()
    with pytest.raises(StoreError, match=r"another program's database .with a table 'recipes'."):
        open_store(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["a b?c#d%20.sqlite", "ä;'\".journal"])
def test_any_file_name_will_do(name: str, tmp_path: Path, opened: Open) -> None:
    opened(str(tmp_path / name)).append([record(0)])
    assert lasts(opened(str(tmp_path / name))) == {"a" * 32: 0}
    assert (tmp_path / name).is_file()


# ---- full disk, read-only folder ----------------------------------------------------------------------

FULL = """
import resource, signal, sys
from voicefit.errors import StoreError
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import open_store

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
log = SessionLog.begin(open_store(sys.argv[1]), {"voicefit": "0", "catalogue": "c", "grammar": "g"})
_, most = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, most))  # no file may grow beyond: the kernel refuses the write
confirmed = refused = 0
while refused < 3:
    try:
        log.append("reading", {"text": "x" * 1000})
        confirmed += 1
    except StoreError as error:
        refused += 1
        print(error, file=sys.stderr)
resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
for _ in range(5):
    log.append("reading", {"text": "room again"})
    confirmed += 1
print(confirmed)
"""


@pytest.mark.parametrize("name", ["a.journal", "a.sqlite"])
def test_a_full_disk_is_an_error_each_time_and_loses_nothing(name: str, tmp_path: Path, opened: Open) -> None:
    location = str(tmp_path / name)
    confirmed = int(run("-c", FULL, location))
    assert confirmed > 10
    found = opened(location).contents()
    assert found.damage == ()
    assert [r.sequence for r in found.records] == list(range(confirmed + 1))


def test_the_device_that_is_always_full() -> None:
    with pytest.raises(StoreError, match=r"/dev/full: cannot write .No space left on device"):
        LineFile(Path("/dev/full")).append([record(0)])


READ_ONLY = """
import os, pwd, sys
from voicefit.errors import StoreError
from voicefit.journal import line_file, sql
from voicefit.journal.store import open_store
if os.geteuid() == 0:  # root may write anywhere
    user = pwd.getpwnam("nobody")
    os.setgroups([]), os.setgid(user.pw_gid), os.setuid(user.pw_uid)
try:
    open_store(sys.argv[1]).append([])
except StoreError as error:
    print(error)
"""


@pytest.mark.parametrize("name", ["a.journal", "a.sqlite"])
def test_a_read_only_folder_is_a_clear_error(name: str) -> None:
    folder = Path(tempfile.mkdtemp(prefix="voicefit-read-only-"))  # below tmp_path nobody else may enter
    folder.chmod(0o555)
    try:
        said = run("-c", READ_ONLY, str(folder / name))
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)
    assert said.strip() == f"{folder / name}: cannot make the file (Permission denied)"
