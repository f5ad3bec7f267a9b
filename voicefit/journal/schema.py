"""The tables of a database store, their version, and the steps from an older version to this one.

Duty: tables and migrations, inside a transaction that the caller began. It must not open databases; the copy that is
kept of an older store is made in :mod:`voicefit.journal.sqlite_file` for SQLite, here for a server.

Schema 1: position, session, sequence, line. Schema 2: at, kind, job beside them, for a shop's own queries.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import sqlalchemy as sa

from voicefit.errors import StoreError
from voicefit.journal.record import BadRecord, Record, decode, encode

SCHEMA = 2

metadata = sa.MetaData()
state = sa.Table(
    "voicefit_store",
    metadata,
    sa.Column("name", sa.String(32), primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
)
records = sa.Table(
    "voicefit_record",
    metadata,
    sa.Column("position", sa.BigInteger().with_variant(sa.Integer, "sqlite"), primary_key=True, autoincrement=True),
    sa.Column("session", sa.String(32), nullable=False),
    sa.Column("sequence", sa.Integer, nullable=False),
    sa.Column("line", sa.Text, nullable=False),
    # Copies out of the line; the line alone is what counts. Empty where an older voicefit wrote to this store.
    sa.Column("at", sa.Text),
    sa.Column("kind", sa.Text),
    sa.Column("job", sa.Integer),
    sa.UniqueConstraint("session", "sequence"),
)


def row(record: Record) -> dict[str, str | int | None]:
    """The row of a record."""
    return {"session": record.session, "sequence": record.sequence, "line": encode(record), **_copies(record)}


def version(connection: sa.Connection) -> int | None:
    """The schema of the store; ``None`` where there is no store yet. Raises ``StoreError`` for a newer one, or none
    that ever was."""
    if not sa.inspect(connection).has_table(state.name):
        return None
    found = connection.scalar(sa.select(state.c.value).where(state.c.name == "schema"))
    if found is None:
        return None
    if found == "0" or not re.fullmatch("[0-9]{1,9}", found):
        raise StoreError(
            f"the store says that its schema is {found!r:.40}, which no voicefit made; it is left as it is"
        )
    if int(found) > SCHEMA:
        raise StoreError(f"the store was made by a newer voicefit (schema {found}): install that one")
    return int(found)


def bring_up_to_date(connection: sa.Connection) -> None:
    """Make the tables, or migrate an older store; all of it in the caller's transaction."""
    found = version(connection)
    metadata.create_all(connection)
    if found is None:
        connection.execute(state.insert().values(name="schema", value=str(SCHEMA)))
        return
    for step in range(found, SCHEMA):
        if connection.dialect.name != "sqlite":
            connection.execute(sa.text(f"CREATE TABLE {records.name}_schema{step} AS TABLE {records.name}"))
        _STEPS[step](connection)
    connection.execute(state.update().where(state.c.name == "schema").values(value=str(SCHEMA)))


def _from_1_to_2(connection: sa.Connection) -> None:
    for column, kind in (("at", "TEXT"), ("kind", "TEXT"), ("job", "INTEGER")):
        connection.execute(sa.text(f'ALTER TABLE {records.name} ADD COLUMN "{column}" {kind}'))
    lines = connection.execute(sa.select(records.c.position, records.c.line)).all()
    update = records.update().where(records.c.position == sa.bindparam("here"))
    for position, line in lines:
        try:
            copies = _copies(decode(line))
        except BadRecord:
            continue  # named whenever the store is read
        connection.execute(update.values(**copies), {"here": position})


_STEPS: dict[int, Callable[[sa.Connection], None]] = {1: _from_1_to_2}


def _copies(record: Record) -> dict[str, str | int | None]:
    job = record.job
    return {"at": record.at, "kind": record.kind, "job": job if job is not None and abs(job) < 2**31 else None}
