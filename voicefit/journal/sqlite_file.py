"""What is special about a store in a SQLite file: how it is opened, copied, and mended when its bytes are damaged.

Duty: durable settings; a copy before a migration; out of a damaged file every record that is still whole. It must not
throw a damaged file away: it is set aside under another name.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from voicefit.errors import StoreError
from voicefit.journal.carve import carve
from voicefit.journal.private import make_private_file, sync_folder
from voicefit.journal.record import Contents, assemble
from voicefit.journal.schema import state

WAIT_FOR_LOCK_MS = 10_000
READ_ONLY = "voicefit_reads_only"  # execution option of a connection that will not write
STATE_TABLE = state.name
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
_SIDE_FILES = ("-wal", "-shm")


def url_of(path: Path) -> sa.URL:
    """The URL of a file, whatever signs its name has."""
    return sa.URL.create("sqlite", database=str(path))


def engine(url: sa.URL) -> sa.Engine:
    """An engine on a private file whose commits are on the disk when they return."""
    path = Path(url.database or "")
    if not path.exists() and being_mended(path).exists():  # the power went between the two renames
        being_mended(path).replace(path)
    if not make_private_file(path):
        _refuse_foreign(path)
    made = sa.create_engine(url)
    sa.event.listen(made, "connect", _prepare)
    sa.event.listen(made, "begin", _begin)
    return made


def _refuse_foreign(path: Path) -> None:
    """Raise ``StoreError`` for the database of another program, before anything in it is touched."""
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    except sqlite3.Error:
        return  # damaged, or locked by somebody who is making it: what follows finds out
    if tables and STATE_TABLE not in tables:
        raise StoreError(f"{path}: is another program's database (with a table {tables[0]!r}); it is left as it is")


def is_damage(error: BaseException | None) -> bool:
    """Whether a driver's error says that the file itself is broken."""
    name: str = getattr(error, "sqlite_errorname", "") or ""
    return name.partition("_VTAB")[0] in _DAMAGED or name.startswith("SQLITE_CORRUPT")


def back_up(path: Path, schema: int) -> Path:
    """A copy of the whole store as it is now, beside it; an older copy of the same name is kept and not replaced."""
    copy = path.with_name(f"{path.stem}.schema{schema}-backup{path.suffix}")
    if make_private_file(copy):
        with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
            source.backup(target)
        sync_folder(path.parent)
    return copy


def readable(path: Path) -> Contents:
    """The records that can be found in the bytes of the file and of its log, sessions by their first record's date."""
    lines: list[tuple[str, str]] = []
    for part in (path, *(path.with_name(path.name + side) for side in _SIDE_FILES[:1])):
        if part.is_file():
            lines.extend((f"{part.name}, byte {offset}", line) for offset, line in carve(part.read_bytes()))
    found = assemble(lines)
    firsts: dict[str, str] = {}
    for record in sorted(found.records, key=lambda r: r.sequence):
        firsts.setdefault(record.session, record.at)
    ordered = sorted(found.records, key=lambda r: (firsts[r.session], r.session, r.sequence))
    return Contents(tuple(ordered), found.damage)


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
