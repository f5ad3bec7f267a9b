"""Records out of the raw bytes of a damaged database file.

Each record's line carries its own checksum, and lies in one piece as long as it is shorter than a page: it can be found
without the database's own structure.

Duty: find lines in bytes. It must not open, move or write files.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

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


def mentioned(raw: bytes) -> set[tuple[str, int]]:
    """Sessions and numbers of all records of which at least the end of the line is there: so many were once written."""
    return {(session.decode(), int(number)) for number, session in _END.findall(raw)}
