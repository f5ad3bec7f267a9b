"""A store as the first schema had it: position, session, sequence, line."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from voicefit.journal.record import Record, encode

KINDS = ["header", "reading", "reading", "note"]
RECORDS = [
    Record("b" * 32, n, f"2024-05-01T07:30:0{n}.000Z", kind, {"job": 1, "n": n} if n else {"format": 1})
    for n, kind in enumerate(KINDS)
]
ROWS = [(record.session, record.sequence, encode(record)) for record in RECORDS]
SQLITE = """
CREATE TABLE voicefit_store (name VARCHAR(32) NOT NULL, value TEXT NOT NULL, PRIMARY KEY (name));
CREATE TABLE voicefit_record (position INTEGER NOT NULL, session VARCHAR(32) NOT NULL, sequence INTEGER NOT NULL,
  line TEXT NOT NULL, PRIMARY KEY (position), UNIQUE (session, sequence));
INSERT INTO voicefit_store VALUES ('schema', '1');
"""
POSTGRESQL = SQLITE.replace("position INTEGER NOT NULL", "position BIGSERIAL NOT NULL")


def write_schema_1_file(path: Path) -> None:
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.executescript(SQLITE)
        connection.executemany("INSERT INTO voicefit_record (session, sequence, line) VALUES (?, ?, ?)", ROWS)
        connection.commit()
