"""A store in a database, through SQLAlchemy: SQLite for one user, PostgreSQL for a shop.

Duty: append in one transaction that is durable when it returns, read back, bring an older store up to date. It must not
hold a lock between calls, so that no session waits for another's speech.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, OperationalError, SQLAlchemyError

from voicefit.errors import BadInput, Missing, StoreError
from voicefit.journal.private import make_private_file
from voicefit.journal.record import Contents, Record, assemble, encode
from voicefit.journal.store import Conflict, StoreAway

SCHEMA = 1
WAIT_FOR_LOCK_MS = 10_000
CONNECT_TIMEOUT_S = 3
# Any fixed number: serialises the set-up of sessions that start at once.
SETUP_LOCK = 0x766F6963
READ_ONLY = "voicefit_reads_only"

_metadata = sa.MetaData()
_state = sa.Table(
    "voicefit_store",
    _metadata,
    sa.Column("name", sa.String(32), primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
)
_records = sa.Table(
    "voicefit_record",
    _metadata,
    sa.Column("position", sa.BigInteger().with_variant(sa.Integer, "sqlite"), primary_key=True, autoincrement=True),
    sa.Column("session", sa.String(32), nullable=False),
    sa.Column("sequence", sa.Integer, nullable=False),
    sa.Column("line", sa.Text, nullable=False),
    sa.UniqueConstraint("session", "sequence"),
)


class SqlStore:
    """``url`` : a SQLAlchemy URL of SQLite or PostgreSQL.

    Raises ``BadInput`` for another URL, ``Missing`` without the driver, ``StoreAway`` when the server does not answer,
    ``StoreError`` when the store is from a newer version or cannot be opened.
    """

    def __init__(self, url: str) -> None:
        self._engine = _engine(url)
        self.name = self._engine.url.render_as_string(hide_password=True)
        self._insert = (sqlite if self._engine.dialect.name == "sqlite" else postgresql).insert(_records)
        with self._errors("cannot open"):
            self._set_up()

    def append(self, records: Sequence[Record]) -> None:
        rows = [{"session": r.session, "sequence": r.sequence, "line": encode(r)} for r in records]
        if not rows:
            return
        statement = self._insert.on_conflict_do_nothing(index_elements=["session", "sequence"])
        with self._errors("cannot write"), self._engine.begin() as connection:
            written = 0
            for row in rows:  # one by one: the count of a batch is unknown to some drivers
                written += connection.execute(statement, row).rowcount
            if written < len(rows):
                self._refuse_conflicts(connection, rows)

    def contents(self, session: str | None = None) -> Contents:
        query = sa.select(_records.c.position, _records.c.line).order_by(_records.c.position)
        if session is not None:
            query = query.where(_records.c.session == session)
        with self._errors("cannot read"), self._reading() as connection:
            rows = connection.execute(query).all()
        return assemble((f"{self.name}, row {position}", line) for position, line in rows)

    def lasts(self) -> dict[str, int]:
        query = sa.select(_records.c.session, sa.func.max(_records.c.sequence)).group_by(_records.c.session)
        with self._errors("cannot read"), self._reading() as connection:
            return {row[0]: row[1] for row in connection.execute(query)}

    def close(self) -> None:
        self._engine.dispose()

    def _set_up(self) -> None:
        with self._engine.begin() as connection:
            if connection.dialect.name == "postgresql":
                connection.execute(sa.select(sa.func.pg_advisory_xact_lock(SETUP_LOCK)))
            _metadata.create_all(connection)
            found = connection.scalar(sa.select(_state.c.value).where(_state.c.name == "schema"))
            if found is None:
                connection.execute(_state.insert().values(name="schema", value=str(SCHEMA)))
            elif int(found) > SCHEMA:
                raise StoreError(f"{self.name}: made by a newer voicefit (schema {found}); install that one")

    def _reading(self) -> sa.Connection:
        return self._engine.connect().execution_options(**{READ_ONLY: True})

    def _refuse_conflicts(self, connection: sa.Connection, rows: Sequence[dict[str, Any]]) -> None:
        for row in rows:
            key = (_records.c.session == row["session"]) & (_records.c.sequence == row["sequence"])
            if connection.scalar(sa.select(_records.c.line).where(key)) != row["line"]:
                where = f"record {row['sequence']} of session {row['session'][:8]}"
                raise Conflict(f"{self.name}: another {where} is already there")

    @contextmanager
    def _errors(self, doing: str) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            reason = str(error.orig).strip().partition("\n")[0]
            gone = isinstance(error, OperationalError) and self._engine.dialect.name != "sqlite"
            kind = StoreAway if gone or error.connection_invalidated else StoreError
            raise kind(f"{self.name}: {doing} ({reason})") from None
        except SQLAlchemyError as error:
            raise StoreError(f"{self.name}: {doing} ({error})") from None


def _engine(url: str) -> sa.Engine:
    try:
        parsed = sa.make_url(url)
    except ArgumentError:
        raise BadInput(f"{url.partition(':')[0]}…: not a database URL") from None
    backend = parsed.get_backend_name()
    if backend not in ("sqlite", "postgresql"):
        raise BadInput(f"{backend}: a store is SQLite or PostgreSQL")
    if backend == "sqlite":
        make_private_file(Path(parsed.database or ""))
        engine = sa.create_engine(parsed)
        sa.event.listen(engine, "connect", _prepare_sqlite)
        sa.event.listen(engine, "begin", _begin_sqlite)
        return engine
    try:
        return sa.create_engine(parsed, pool_pre_ping=True, connect_args={"connect_timeout": CONNECT_TIMEOUT_S})
    except (ModuleNotFoundError, NoSuchModuleError):
        raise Missing("the PostgreSQL driver", "install it with: pip install 'voicefit[postgres]'") from None


def _prepare_sqlite(connection: Any, _: Any) -> None:
    connection.isolation_level = None  # the driver must not begin transactions of its own
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout = {WAIT_FOR_LOCK_MS}")
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")  # each commit reaches the disk before it returns
    cursor.execute("PRAGMA fullfsync = ON")  # where fsync alone does not (macOS); no effect elsewhere
    cursor.close()


def _begin_sqlite(connection: sa.Connection) -> None:
    # A transaction that will write takes the lock at once: a later upgrade could fail without waiting.
    reading = connection.get_execution_options().get(READ_ONLY, False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")
