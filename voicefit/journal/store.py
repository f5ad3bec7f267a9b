"""What every store of records offers, which one a location means, and where the private ones lie.

Duty: the protocol, its errors, and the way from a location (a path or a URL) to a store. It must not know what records
mean. A store appends and reads; it never changes or removes a record.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from voicefit.errors import BadInput, StoreError
from voicefit.journal.record import Contents, Record

LINE_SUFFIXES = (".journal", ".jsonl")
SQLITE_SUFFIXES = (".sqlite", ".sqlite3", ".db")


class StoreAway(StoreError):
    """The store's server cannot be reached now; trying again later makes sense."""


class Conflict(StoreError):
    """Another record is already there under the same number of the same session."""


class Displaced(StoreError):
    """The store's file is no longer the one that its name names: it was removed, renamed or replaced.

    What was just appended may be gone. ``Store.reopen`` opens, or makes, the file of that name.
    """


class Store(Protocol):
    def append(self, records: Sequence[Record]) -> None:
        """Make all of them durable, or none; returns after the commit.

        A record that is already there is left as it is, so that sending again does no harm.
        Raises :class:`Conflict`, :class:`Displaced`, :class:`StoreAway` or another ``StoreError``.
        """

    def contents(self, session: str | None = None) -> Contents:
        """All records, or those of one session, in the order they came; what cannot be read is named."""

    def tips(self, session: str | None = None) -> dict[str, tuple[int, str]]:
        """The greatest number of each session, or of that one, and the line under it."""

    def reopen(self) -> None:
        """After :class:`Displaced`: open the file of the name as it is now, or make it. Raises ``StoreError``."""

    def close(self) -> None:
        """Give back files and connections. Safe to call twice."""


def default_folder() -> Path:
    """Where the user's own journal, notes and stock lie."""
    from platformdirs import user_data_path

    return user_data_path("voicefit", appauthor=False)


def is_shared(location: str) -> bool:
    """Whether a location is a database server's URL."""
    return "://" in location and not location.startswith("sqlite:")


def open_store(location: str | Path | None = None, *, mends: bool = True) -> Store:
    """The store at a location: a path to a SQLite or line file, a folder, or a SQLAlchemy URL; default the user's own.

    ``mends`` : a damaged SQLite file is mended; ``False`` where it is only read, while a session may have it open.
    Raises ``BadInput`` for a location that names no store, ``StoreAway`` when a server does not answer,
    ``StoreError`` when the place cannot be written.
    """
    text = str(location) if location is not None else str(default_folder() / "journal.sqlite")
    if "://" in text:
        from voicefit.journal.sql import SqlStore

        return SqlStore(text, mends=mends)
    path = _expanded(text)
    if path.is_dir():
        path = path / "journal.sqlite"
    if path.suffix in LINE_SUFFIXES:
        from voicefit.journal.line_file import LineFile

        return LineFile(path)
    if path.suffix in SQLITE_SUFFIXES:
        from voicefit.journal.sql import SqlStore
        from voicefit.journal.sqlite_file import url_of

        return SqlStore(url_of(path), mends=mends)
    wanted = ", ".join((*SQLITE_SUFFIXES, *LINE_SUFFIXES))
    if not path.suffix and not path.exists():
        raise BadInput(
            f"{text}: there is no such folder; a store is a folder, a file ending in {wanted}, or a database URL"
        )
    raise BadInput(f"{text}: a store is a folder, a file ending in {wanted}, or a database URL")


def _expanded(text: str) -> Path:
    try:
        return Path(text).expanduser()
    except RuntimeError:
        raise BadInput(f"{text}: there is no such user's folder") from None


def outbox_location(url: str, folder: Path | None = None) -> Path:
    """The local file that holds what goes to a shared store; one a store, whatever the password in the URL."""
    from voicefit.journal.urls import named

    name = hashlib.sha256(named(url).encode()).hexdigest()[:12]
    return (folder or default_folder()) / f"outbox-{name}.sqlite"
