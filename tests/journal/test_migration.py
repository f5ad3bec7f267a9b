"""Stores of another version: an older one is migrated whole with a copy kept, a newer one is left alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from voicefit.errors import StoreError
from voicefit.journal.store import open_store

from .conftest import Server
from .old_store import KINDS, POSTGRESQL, ROWS, write_schema_1_file
from .test_failures import Open
from .test_record import record


def test_an_older_file_is_migrated_and_a_backup_kept(tmp_path: Path, opened: Open) -> None:
    path = tmp_path / "a.sqlite"
    write_schema_1_file(path)
    store = opened(str(path))
    assert [r.kind for r in store.contents().records] == KINDS
    store.append([record(0)])
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT session, kind, job FROM voicefit_record ORDER BY position").fetchall()
        assert [(kind, job) for _, kind, job in rows] == [(k, 1 if n else None) for n, k in enumerate(KINDS)] + [
            ("reading", None)
        ]
        assert connection.execute("SELECT value FROM voicefit_store WHERE name = 'schema'").fetchone() == ("2",)
    backup = tmp_path / "a.schema1-backup.sqlite"
    assert backup.stat().st_mode & 0o777 == 0o600
    with closing(sqlite3.connect(backup)) as connection:
        kept = connection.execute("SELECT session, sequence, line FROM voicefit_record ORDER BY position").fetchall()
    assert kept == ROWS


def test_an_older_shared_store_is_migrated_and_a_backup_kept(server: Server, opened: Open) -> None:
    url = server.create("old")
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        for statement in filter(str.strip, POSTGRESQL.split(";")):
            connection.execute(sa.text(statement))
        for session, sequence, line in ROWS:
            insert = sa.text("INSERT INTO voicefit_record (session, sequence, line) VALUES (:a, :b, :c)")
            connection.execute(insert, {"a": session, "b": sequence, "c": line})
    store = opened(url)
    assert [r.kind for r in store.contents().records] == KINDS
    store.append([record(0)])
    with engine.connect() as connection:
        kept = connection.execute(
            sa.text("SELECT session, sequence, line FROM voicefit_record_schema1 ORDER BY 2")
        ).all()
        kinds = connection.execute(sa.text("SELECT kind FROM voicefit_record ORDER BY position")).scalars().all()
    engine.dispose()
    assert [tuple(row) for row in kept] == ROWS
    assert kinds == [*KINDS, "reading"]


def test_a_newer_store_is_refused_and_left_alone(location: str, opened: Open) -> None:
    if not location.endswith(".sqlite") and "://" not in location:
        return  # a line file has no schema
    opened(location)
    engine = sa.create_engine(location if "://" in location else f"sqlite:///{location}")
    with engine.begin() as connection:
        connection.execute(sa.text("UPDATE voicefit_store SET value = '99' WHERE name = 'schema'"))
    engine.dispose()
    with pytest.raises(StoreError, match=r"made by a newer voicefit .schema 99.: install that one"):
        open_store(location)
