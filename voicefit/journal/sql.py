"""A store in a database, through SQLAlchemy: SQLite for one user, PostgreSQL for a shop.

Each append is one transaction, durable when it returns. A SQLite file may be removed, renamed or replaced while it is
open, and the system goes on writing into a file that no name leads to: so each append looks whether the name still
names the file that was opened, before it writes and after it has written.

Duty: append and read back; have a damaged file mended (:mod:`voicefit.journal.sqlite_file` knows how). It must not hold
a lock between calls, so that no session waits for another's speech.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import DBAPIError, NoSuchModuleError, OperationalError, SQLAlchemyError

from voicefit.errors import Missing, StoreError
from voicefit.journal import schema, sqlite_file
from voicefit.journal.record import Contents, Damage, Record, assemble, encode
from voicefit.journal.store import Conflict, Displaced, StoreAway
from voicefit.journal.urls import checked, shown
from voicefit.private_files import identity, make_private

CONNECT_TIMEOUT_S = 3
SETUP_LOCK = 0x766F6963  # any fixed number: orders the set-up of sessions that start at once
_records = schema.records
_T = TypeVar("_T")


class _Damaged(Exception):
    """The file's bytes are not what SQLite wrote."""


class SqlStore:
    """``url`` : a SQLAlchemy URL of SQLite or PostgreSQL.

    ``mends`` : a SQLite file whose bytes are damaged is set aside and its readable records go into a new one, and
    ``contents`` says so; without it, where a caller only reads, the file stays as it is and what is readable is read.
    Raises ``BadInput`` for another URL, ``Missing`` without the driver, ``StoreAway`` when the server does not answer,
    ``StoreError`` when the store is from a newer version or cannot be opened.
    """

    def __init__(self, url: str | sa.URL, *, mends: bool = True) -> None:
        self._url = checked(url)
        self._mends = mends
        self._path = sqlite_file.path_of(self._url) if self._url.get_backend_name() == "sqlite" else None
        self.name = shown(self._url) if self._path is None else str(self._path)
        self._insert = (postgresql if self._path is None else sqlite).insert(_records)
        self._notes: tuple[Damage, ...] = ()
        self._identity: tuple[int, int] | None = None
        self._engine: sa.Engine | None = None
        self._open()

    def append(self, records: Sequence[Record]) -> None:
        rows = [schema.row(record) for record in records]
        if rows:
            with self._errors("cannot write"):
                self._check_identity()
                self._mending_once(lambda: self._append(rows))
                self._check_identity()

    def contents(self, session: str | None = None) -> Contents:
        # As bytes from SQLite: text that is no longer UTF-8 would stop the whole reading.
        line = _records.c.line if self._path is None else sa.cast(_records.c.line, sa.LargeBinary)
        query = sa.select(_records.c.position, line).order_by(_records.c.position)
        if session is not None:
            query = query.where(_records.c.session == session)
        with self._errors("cannot read"):
            try:
                rows = self._mending_once(lambda: self._read(query, whole=True))
            except _Damaged:
                return self._salvaged(session)
        found = assemble((f"{self.name}, row {position}", _text(line)) for position, line in rows)
        return Contents(found.records, self._notes + found.damage)

    def tips(self, session: str | None = None) -> dict[str, tuple[int, str]]:
        last = sa.select(_records.c.session, sa.func.max(_records.c.sequence).label("last")).group_by(
            _records.c.session
        )
        if session is not None:
            last = last.where(_records.c.session == session)
        tips = last.subquery()
        query = sa.select(_records.c.session, _records.c.sequence, _records.c.line).join(
            tips, (_records.c.session == tips.c.session) & (_records.c.sequence == tips.c.last)
        )
        with self._errors("cannot read"):
            try:
                return {row[0]: (row[1], row[2]) for row in self._mending_once(lambda: self._read(query))}
            except _Damaged:
                in_order = sorted(self._salvaged(session).records, key=lambda record: record.sequence)
                return {record.session: (record.sequence, encode(record)) for record in in_order}

    def reopen(self) -> None:
        self.close()
        self._open()

    def close(self) -> None:
        """What was open is not taken up again under the name by itself: another file may have it by then."""
        self._identity = None
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None

    # ---- opening ----------------------------------------------------------------------------------------

    def _open(self) -> None:
        try:
            with self._errors("cannot open"):
                if self._path is None:
                    self._engine = _server(self._url)
                    self._set_up()
                else:
                    self._open_file(self._path)
        except BaseException:
            self.close()
            raise

    def _open_file(self, path: Any) -> None:
        log = sqlite_file.logged(path)  # before SQLite reads it: what it takes for the end of it, it forgets
        self._engine = sqlite_file.engine(path)
        self._identity = identity(path)
        try:
            self._mending_once(self._set_up)
            if log.written:
                self._take_from_log(log)
        except _Damaged:
            return  # read only, and salvaged whenever it is read
        make_private(path)

    def _set_up(self) -> None:
        with self._reading() as connection:
            found = schema.version(connection)
            is_new = found is None and (self._path is None or not sa.inspect(connection).get_table_names())
            if self._path is not None and not is_new and (found is None or not sqlite_file.is_whole(connection)):
                raise _Damaged
        if found == schema.SCHEMA:
            return
        if found is not None and self._path is not None:
            sqlite_file.back_up(self._path, found)
        with self._begin() as connection:
            if self._path is None:
                connection.execute(sa.select(sa.func.pg_advisory_xact_lock(SETUP_LOCK)))
            schema.bring_up_to_date(connection)

    def _take_from_log(self, log: sqlite_file.Entries) -> None:
        """Records that lie whole in the log behind the place where SQLite gave up reading it."""
        there = {(row[0], row[1]) for row in self._read(sa.select(_records.c.session, _records.c.sequence))}
        saved = [record for record in log.records if (record.session, record.sequence) not in there]
        lost = len(log.written - there) - len(saved)
        if saved:
            self._append([schema.row(record) for record in saved])
        if len(saved) > 1 or lost:  # one alone, and nothing lost, is what a kill leaves: it was not confirmed
            note = f"the log of the file was damaged; {_count(len(saved))} saved from it, {_count(lost)} lost"
            self._notes = (*self._notes, Damage(self.name, note))

    # ---- statements -------------------------------------------------------------------------------------

    def _append(self, rows: Sequence[dict[str, Any]]) -> None:
        statement = self._insert.on_conflict_do_nothing(index_elements=["session", "sequence"])
        with self._begin() as connection:
            written = 0
            for row in rows:  # one by one: the count of a batch is unknown to some drivers
                written += connection.execute(statement, row).rowcount
            if written < len(rows):
                self._refuse_conflicts(connection, rows)

    def _read(self, query: sa.Select[Any], *, whole: bool = False) -> Sequence[Any]:
        """``whole`` : a last column that is empty, and never can be, is damage: zeros where pages were."""
        with self._reading() as connection:
            rows = connection.execute(query).all()
        if whole and self._path is not None and any(row[-1] is None for row in rows):
            raise _Damaged
        return rows

    def _reading(self) -> sa.Connection:
        return self._opened.connect().execution_options(**{sqlite_file.READ_ONLY: True})

    def _begin(self) -> Any:
        return self._opened.begin()

    @property
    def _opened(self) -> sa.Engine:
        if self._engine is None:
            raise Displaced(f"{self.name}: is not open")
        return self._engine

    def _refuse_conflicts(self, connection: sa.Connection, rows: Sequence[dict[str, Any]]) -> None:
        for row in rows:
            key = (_records.c.session == row["session"]) & (_records.c.sequence == row["sequence"])
            if connection.scalar(sa.select(_records.c.line).where(key)) != row["line"]:
                where = f"record {row['sequence']} of session {row['session'][:8]}"
                raise Conflict(f"{self.name}: another {where} is already there")

    # ---- a file that is not what it was -----------------------------------------------------------------

    def _check_identity(self) -> None:
        if self._path is not None and (self._identity is None or identity(self._path) != self._identity):
            raise Displaced(f"{self.name}: has been removed, or replaced by another file")

    def _mending_once(self, work: Callable[[], _T]) -> _T:
        """Do the work; when the file turns out to be damaged, mend it and do the work once more.

        Raises ``_Damaged`` where that is not to be mended.
        """
        try:
            return work()
        except (DBAPIError, UnicodeDecodeError, _Damaged) as error:
            if self._path is None or (isinstance(error, DBAPIError) and not sqlite_file.is_damage(error.orig)):
                raise
        if not self._mends:
            raise _Damaged
        self._mend(self._path)
        return work()

    def _mend(self, path: Any) -> None:
        mine = self._identity
        with sqlite_file.mending_lock(path):
            self.close()
            if identity(path) == mine:  # else another process has mended it meanwhile
                self._put_mended_in_place(path)
        self._engine = sqlite_file.engine(path)
        self._identity = identity(path)

    def _put_mended_in_place(self, path: Any) -> None:
        found = sqlite_file.readable(path)
        if not found.records:  # nothing says that it is a journal at all: it may be anybody's file
            raise StoreError(f"{path}: is not a journal, or nothing in it can be read; it is left as it is")
        fresh = sqlite_file.being_mended(path)
        fresh.unlink(missing_ok=True)
        mended = SqlStore(sqlite_file.url_of(fresh))
        mended.append(found.records)
        mended.close()
        aside = sqlite_file.put_in_place(fresh, path)
        # A session that has the file open may have written while its bytes were read; from the renaming on it notices.
        late = sqlite_file.readable(aside)
        mended = SqlStore(sqlite_file.url_of(path))
        mended.append(late.records)
        mended.close()
        note = f"{_count(len(late.records))} saved, {_count(late.lost)} lost, the old file is kept as {aside.name}"
        self._notes = (*self._notes, Damage(str(path), f"the file was damaged; {note}"))

    def _salvaged(self, session: str | None) -> Contents:
        assert self._path is not None
        found = sqlite_file.readable(self._path)
        if not found.records:
            raise StoreError(f"{self.name}: is not a journal, or nothing in it can be read; it is left as it is")
        whole = assemble((self.name, encode(each)) for each in found.records if session in (None, each.session))
        note = f"the file is damaged; {_count(len(found.records))} read, {_count(found.lost)} lost; talk mends it"
        return Contents(whole.records, (Damage(self.name, note), *whole.damage))

    @contextmanager
    def _errors(self, doing: str) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            reason = str(error.orig).strip().partition("\n")[0]
            away = self._path is None and (isinstance(error, OperationalError) or error.connection_invalidated)
            raise (StoreAway if away else StoreError)(f"{self.name}: {doing} ({reason})") from None
        except SQLAlchemyError as error:
            raise StoreError(f"{self.name}: {doing} ({error})") from None
        except _Damaged:
            raise StoreError(f"{self.name}: {doing} (the file is damaged)") from None
        except OSError as error:
            raise StoreError(f"{self.name}: {doing} ({error.strerror})") from None


def _count(number: int) -> str:
    return "1 record" if number == 1 else f"{number} records"


def _text(line: object) -> object:
    return line.decode("latin-1") if isinstance(line, bytes) else line


def _server(url: sa.URL) -> sa.Engine:
    try:
        return sa.create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": CONNECT_TIMEOUT_S})
    except (ModuleNotFoundError, NoSuchModuleError):
        raise Missing("the PostgreSQL driver", "install it with: pip install 'voicefit[postgres]'") from None
