"""What is special about a store in a SQLite file: how it is opened, copied, and mended when its bytes are damaged.

Records are only ever added, and each line carries its checksum: whatever lies whole in the bytes of the file or of its
log is a record, whatever the database's own structure says; it lies in one piece as long as it is shorter than a page.
SQLite reads its log (``-wal``) up to the first frame that is not as it was written, and forgets what follows; so the
log is read here too, before SQLite does.

Duty: durable settings; a copy before a migration; out of damaged bytes every record that is still whole. It must not
throw a damaged file away: it is set aside under another name.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from filelock import FileLock

from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import BadRecord, Record, assemble, decode
from voicefit.journal.schema import state
from voicefit.private_files import PRIVATE_FILE, make_private_file, sync_folder

_START = re.compile(rb'[0-9a-f]{16} \{"at":"')
_END = re.compile(rb'"sequence":(\d{1,9}),"session":"([0-9a-f]{32})"\}')
_LONGEST = 1 << 20


def carve(raw: bytes) -> Iterator[tuple[int, str]]:
    """``(offset, line)`` of all that looks like a record's line; :func:`voicefit.journal.record.decode` judges it."""
    reader = json.JSONDecoder()
    for match in _START.finditer(raw):
        offset = match.start()
        text = raw[offset : offset + _LONGEST].decode("latin-1")
        try:
            _, end = reader.raw_decode(text, 17)
        except (ValueError, RecursionError):
            continue
        yield offset, text[:end]


WAIT_FOR_LOCK_MS = 10_000
READ_ONLY = "voicefit_reads_only"  # execution option of a connection that will not write
STATE_TABLE = state.name
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
_SIDE_FILES = ("-wal", "-shm")

Key = tuple[str, int]  # a record's session and number


@dataclass(frozen=True, slots=True)
class Entries:
    """What lies in the bytes: whole records, sessions by their first record's date; keys of all that were written."""

    records: tuple[Record, ...]
    written: frozenset[Key]

    @property
    def lost(self) -> int:
        """Records of which only a part is left."""
        return len(self.written - {(record.session, record.sequence) for record in self.records})


def url_of(path: Path) -> sa.URL:
    """The URL of a file, whatever signs its name has."""
    return sa.URL.create("sqlite", database=str(path))


def path_of(url: sa.URL) -> Path:
    """The file of a URL. Raises ``BadInput`` for a store in memory, which would be gone with the session."""
    name = url.database or ""
    if not name or name == ":memory:" or name.startswith("file:") or url.query:
        raise BadInput("a store in memory, or a SQLite URL with options: nothing would be kept; name a file")
    return Path(name)


def engine(path: Path) -> sa.Engine:
    """An engine on a private file whose commits are on the disk when they return."""
    if not path.exists() and being_mended(path).exists():
        with mending_lock(path):
            if not path.exists():  # the power went between the two renames
                being_mended(path).replace(path)
    if not make_private_file(path):
        _refuse_foreign(path)
    made = sa.create_engine(url_of(path))
    sa.event.listen(made, "connect", _prepare)
    sa.event.listen(made, "begin", _begin)
    return made


def _refuse_foreign(path: Path) -> None:
    """Raise ``StoreError`` for the database of another program, before anything in it is touched."""
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    except (sqlite3.Error, UnicodeDecodeError):
        return  # damaged, or locked by somebody who is making it: what follows finds out
    if tables and STATE_TABLE not in tables and not readable(path).records:
        raise StoreError(f"{path}: is another program's database (with a table {tables[0]!r}); it is left as it is")


def is_damage(error: BaseException | None) -> bool:
    """Whether a driver's error says that the file itself is broken."""
    name: str = getattr(error, "sqlite_errorname", "") or ""
    return name.partition("_VTAB")[0] in _DAMAGED or name.startswith("SQLITE_CORRUPT")


def is_whole(connection: sa.Connection) -> bool:
    """Whether the file's structure, its index included, agrees with itself."""
    return connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar() == "ok"


def back_up(path: Path, schema: int) -> Path:
    """A copy of the whole store as it is now, beside it; an older copy of the same name is kept and not replaced."""
    copy = path.with_name(f"{path.stem}.schema{schema}-backup{path.suffix}")
    if make_private_file(copy):
        with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
            source.backup(target)
        sync_folder(path.parent)
    return copy


# ---- out of the bytes ---------------------------------------------------------------------------------


def readable(path: Path) -> Entries:
    """What can be found in the bytes of the file and of its log."""
    return _found((path, log_of(path)))


def logged(path: Path) -> Entries:
    """What can be found in the log alone."""
    return _found((log_of(path),))


def log_of(path: Path) -> Path:
    return path.with_name(path.name + _SIDE_FILES[0])


def _found(parts: Iterable[Path]) -> Entries:
    lines: list[tuple[str, str]] = []
    written: set[Key] = set()
    for part in parts:
        if part.is_file():
            raw = part.read_bytes()
            written |= {(session.decode(), int(number)) for number, session in _END.findall(raw)}
            lines.extend((part.name, line) for _, line in carve(raw) if _is_record(line))
    records = assemble(lines).records
    firsts: dict[str, str] = {}
    for record in sorted(records, key=lambda r: r.sequence):
        firsts.setdefault(record.session, record.at)
    ordered = sorted(records, key=lambda r: (firsts[r.session], r.session, r.sequence))
    return Entries(tuple(ordered), frozenset(written))


def _is_record(line: str) -> bool:
    try:
        decode(line)
    except BadRecord:
        return False
    return True


# ---- the mended file in place of the damaged one ------------------------------------------------------


def mending_lock(path: Path) -> FileLock:
    """Held while a file is mended and put in place: one process does it."""
    return FileLock(path.with_name(f".{path.name}.lock"), mode=PRIVATE_FILE)


def put_in_place(mended: Path, path: Path) -> Path:
    """Set the damaged file and its log aside, put the mended one in its place; returns the damaged one's new name."""
    number = 1
    while (aside := path.with_name(f"{path.stem}.damaged-{number}{path.suffix}")).exists():
        number += 1
    for side in _SIDE_FILES:
        beside = path.with_name(path.name + side)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + side))
    path.replace(aside)
    mended.replace(path)
    sync_folder(path.parent)
    return aside


def being_mended(path: Path) -> Path:
    """The name under which a mended store is written before it is put in place."""
    return path.with_name(f"{path.stem}.mended{path.suffix}")


def _prepare(connection: Any, _: Any) -> None:
    connection.isolation_level = None  # the driver must not begin transactions of its own
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")  # what is damaged is found by its checksum
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {WAIT_FOR_LOCK_MS}")
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")  # each commit reaches the disk before it returns
    cursor.execute("PRAGMA fullfsync = ON")  # where fsync alone does not (macOS); no effect elsewhere
    cursor.close()


def _begin(connection: sa.Connection) -> None:
    # A transaction that will write takes the lock at once: a later upgrade could fail without waiting.
    reading = connection.get_execution_options().get(READ_ONLY, False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")
