"""A store in a database, through SQLAlchemy: SQLite for one user, PostgreSQL for a shop.

Duty: append in one transaction that is durable when it returns, and read back. It must not hold a lock between calls,
so that no session waits for another's speech.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, OperationalError, SQLAlchemyError

from voicefit.errors import BadInput, Missing, StoreError
from voicefit.journal import schema, sqlite_file
from voicefit.journal.record import Contents, Damage, Record, assemble
from voicefit.journal.store import Conflict, StoreAway

CONNECT_TIMEOUT_S = 3
SETUP_LOCK = 0x766F6963  # any fixed number: orders the set-up of sessions that start at once
_records = schema.records
_T = TypeVar("_T")


class SqlStore:
    """``url`` : a SQLAlchemy URL of SQLite or PostgreSQL.

    A SQLite file whose bytes are damaged is set aside and its readable records go into a new one; ``contents`` says so.
    Raises ``BadInput`` for another URL, ``Missing`` without the driver, ``StoreAway`` when the server does not answer,
    ``StoreError`` when the store is from a newer version or cannot be opened.
    """

    def __init__(self, url: str | sa.URL) -> None:
        self._engine = _engine(url)
        self._file = Path(self._engine.url.database or "") if self._engine.dialect.name == "sqlite" else None
        self.name = self._engine.url.render_as_string(hide_password=True) if self._file is None else str(self._file)
        self._insert = (postgresql if self._file is None else sqlite).insert(_records)
        self._mended: tuple[Damage, ...] = ()
        try:
            with self._errors("cannot open"):
                self._mending_once(self._set_up)
        except BaseException:
            self.close()
            raise

    def append(self, records: Sequence[Record]) -> None:
        rows = [schema.row(record) for record in records]
        if rows:
            with self._errors("cannot write"):
                self._mending_once(lambda: self._append(rows))

    def contents(self, session: str | None = None) -> Contents:
        # As bytes from SQLite: text that is no longer UTF-8 would stop the whole reading.
        line = _records.c.line if self._file is None else sa.cast(_records.c.line, sa.LargeBinary)
        query = sa.select(_records.c.position, line).order_by(_records.c.position)
        if session is not None:
            query = query.where(_records.c.session == session)
        with self._errors("cannot read"):
            rows = self._mending_once(lambda: self._read(query))
            if self._file is not None and any(line is None for _, line in rows):
                self._mend(self._file)  # a column that cannot be empty: zeros where pages were
                rows = self._read(query)
        found = assemble((f"{self.name}, row {position}", _text(line)) for position, line in rows)
        return Contents(found.records, self._mended + found.damage)

    def lasts(self) -> dict[str, int]:
        query = sa.select(_records.c.session, sa.func.max(_records.c.sequence)).group_by(_records.c.session)
        with self._errors("cannot read"):
            return {row[0]: row[1] for row in self._mending_once(lambda: self._read(query))}

    def close(self) -> None:
        self._engine.dispose()

    def _set_up(self) -> None:
        with self._reading() as connection:
            found = schema.version(connection)
        if found == schema.SCHEMA:
            return
        if found is not None and self._file is not None:
            sqlite_file.back_up(self._file, found)
        with self._engine.begin() as connection:
            if self._file is None:
                connection.execute(sa.select(sa.func.pg_advisory_xact_lock(SETUP_LOCK)))
            schema.bring_up_to_date(connection)

    def _append(self, rows: Sequence[dict[str, Any]]) -> None:
        statement = self._insert.on_conflict_do_nothing(index_elements=["session", "sequence"])
        with self._engine.begin() as connection:
            written = 0
            for row in rows:  # one by one: the count of a batch is unknown to some drivers
                written += connection.execute(statement, row).rowcount
            if written < len(rows):
                self._refuse_conflicts(connection, rows)

    def _read(self, query: sa.Select[Any]) -> Sequence[Any]:
        with self._reading() as connection:
            return connection.execute(query).all()

    def _reading(self) -> sa.Connection:
        return self._engine.connect().execution_options(**{sqlite_file.READ_ONLY: True})

    def _refuse_conflicts(self, connection: sa.Connection, rows: Sequence[dict[str, Any]]) -> None:
        for row in rows:
            key = (_records.c.session == row["session"]) & (_records.c.sequence == row["sequence"])
            if connection.scalar(sa.select(_records.c.line).where(key)) != row["line"]:
                where = f"record {row['sequence']} of session {row['session'][:8]}"
                raise Conflict(f"{self.name}: another {where} is already there")

    def _mending_once(self, work: Callable[[], _T]) -> _T:
        """Do the work; when the file turns out to be damaged, mend it and do the work once more."""
        try:
            return work()
        except DBAPIError as error:
            if self._file is None or not sqlite_file.is_damage(error.orig):
                raise
        self._mend(self._file)
        return work()

    def _mend(self, path: Path) -> None:
        self._engine.dispose()
        found = sqlite_file.readable(path)
        if not found.records:  # nothing says that it is a journal at all: it may be anybody's file
            raise StoreError(f"{path}: is not a journal, or nothing in it can be read; it is left as it is")
        fresh = sqlite_file.being_mended(path)
        fresh.unlink(missing_ok=True)
        mended = SqlStore(sqlite_file.url_of(fresh))
        mended.append(found.records)
        mended.close()
        aside = sqlite_file.put_in_place(fresh, path)
        note = f"the file was damaged; {len(found.records)} records were saved, the old file is kept as {aside.name}"
        self._mended = (*self._mended, Damage(str(path), note))

    @contextmanager
    def _errors(self, doing: str) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            reason = str(error.orig).strip().partition("\n")[0]
            away = self._file is None and (isinstance(error, OperationalError) or error.connection_invalidated)
            raise (StoreAway if away else StoreError)(f"{self.name}: {doing} ({reason})") from None
        except SQLAlchemyError as error:
            raise StoreError(f"{self.name}: {doing} ({error})") from None
        except OSError as error:
            raise StoreError(f"{self.name}: {doing} ({error.strerror})") from None


def _text(line: object) -> object:
    return line.decode("latin-1") if isinstance(line, bytes) else line


def _engine(url: str | sa.URL) -> sa.Engine:
    try:
        parsed = sa.make_url(url)
    except ArgumentError:
        raise BadInput(f"{str(url).partition(':')[0]}…: not a database URL") from None
    backend = parsed.get_backend_name()
    if backend == "sqlite":
        return sqlite_file.engine(parsed)
    if backend != "postgresql":
        raise BadInput(f"{backend}: a store is SQLite or PostgreSQL")
    try:
        return sa.create_engine(parsed, pool_pre_ping=True, connect_args={"connect_timeout": CONNECT_TIMEOUT_S})
    except (ModuleNotFoundError, NoSuchModuleError):
        raise Missing("the PostgreSQL driver", "install it with: pip install 'voicefit[postgres]'") from None
