"""One record of the journal, and its line: `record <-> line`, pure.

    <checksum> <canonical JSON>

The checksum is the first 16 hexadecimal digits of the SHA-256 of the JSON text. The JSON is ASCII, keys sorted,
no spaces, so a record has exactly one line.

A journal may be copied: a home restored from last week's backup, a machine cloned. Two copies that go on write
different records under the same numbers of the same session. So a record names the opening in which it was made, a
random id that no copy shares, and carries a chain, a hash over the record before it: equal chains mean an equal past.

Two copies of one session have the same records up to some number and others from there on. The shared journal keeps
the session of who came first; what another copy has becomes a branch: all of its records, also those before the
parting, under a session id that follows from the first record of its own. Whoever sends it again computes the same id.

Duty: what a record is, and that a changed byte is noticed. It must not touch a file, a clock or a database; it does
not know what the kinds mean (that is the dialogue's and :mod:`voicefit.ordering.jobs`').
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from voicefit.errors import BadInput, StoreError

LINE_FORMAT = 2  # 1: without opening and chain
HEADER = "header"  # the kind of each session's record number 0: the versions that hold
RESUMED = "resumed"  # the same where a session goes on after a restart
CHECKSUM_DIGITS = 16
_OPTIONAL = ("opening", "chain")


class BadRecord(StoreError):
    """A line is no record; ``reason`` says why."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True, slots=True)
class Record:
    """One thing that happened in a session.

    ``session`` : 32 hexadecimal digits, random. ``sequence`` : 0 for the header, then 1, 2, ...; this is the order.
    ``at`` : UTC, ISO 8601, from the edge's clock, for people only: a clock can be set back.
    ``kind``, ``data`` : as in :class:`voicefit.records.Append`; plain JSON values.
    ``opening`` : 16 hexadecimal digits, random for each time that the session was opened. ``chain`` : 32 digits, see
    :func:`after`. Both are empty in records of format 1.

    >>> record = Record("0" * 32, 1, "2024-05-01T07:30:00.000Z", "note", {"name": "a"})
    >>> decode(encode(record)) == record
    True
    """

    session: str
    sequence: int
    at: str
    kind: str
    data: Mapping[str, Any]
    opening: str = ""
    chain: str = ""

    @property
    def job(self) -> int | None:
        """The number of the job it belongs to within its session, where it says so."""
        job = self.data.get("job")
        return job if isinstance(job, int) and not isinstance(job, bool) else None


@dataclass(frozen=True, slots=True)
class Damage:
    """Something in a store that could not be read, and was skipped. ``where`` : line, row or numbers."""

    where: str
    reason: str

    def __str__(self) -> str:
        return f"{self.where}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Contents:
    """What a store holds: the good records in order, and what was skipped."""

    records: tuple[Record, ...]
    damage: tuple[Damage, ...] = ()


def plain_json(data: Mapping[str, Any]) -> dict[str, Any]:
    """``data`` as it will come back from a line (tuples become lists). Raises ``BadInput`` if it is not JSON."""
    try:
        plain = json.loads(json.dumps(data, allow_nan=False))
    except (TypeError, ValueError, RecursionError) as error:
        raise BadInput(f"a record's data is not JSON: {error}") from None
    if not isinstance(plain, dict):
        raise BadInput("a record's data is not a JSON object")
    return plain


def encode(record: Record) -> str:
    """The line of a record, without a line end. Raises ``BadInput`` where its data is not JSON or its kind no word."""
    if not (record.kind.isascii() and record.kind.isprintable()):
        raise BadInput(f"a record's kind is not a plain word: {record.kind!r}")
    fields = {
        "session": record.session,
        "sequence": record.sequence,
        "at": record.at,
        "kind": record.kind,
        "data": plain_json(record.data),
    }
    fields |= {name: value for name in _OPTIONAL if (value := getattr(record, name))}
    body = json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return f"{_checksum(body)} {body}"


def after(before: Record | None, record: Record) -> Record:
    """The record with its chain: a hash over the line of the one before it in its session.

    That line carries the chain up to there, so that equal chains mean an equal past.
    """
    past = "" if before is None else encode(before)
    return replace(record, chain=hashlib.sha256(past.encode()).hexdigest()[:32])


def decode(line: object) -> Record:
    """The record of a line. Raises :class:`BadRecord` for anything that :func:`encode` did not make."""
    if not isinstance(line, str):
        raise BadRecord("not text")
    checksum, separator, body = line.rstrip("\r\n").partition(" ")
    if not separator:
        raise BadRecord("cut short" if line.strip() else "empty line")
    if len(checksum) != CHECKSUM_DIGITS or checksum != _checksum(body):
        raise BadRecord("checksum does not match")
    try:
        fields = json.loads(body)
        optional = [fields.get(name, "") for name in _OPTIONAL]
        record = Record(fields["session"], fields["sequence"], fields["at"], fields["kind"], fields["data"], *optional)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BadRecord(f"not a record ({type(error).__name__})") from None
    right = (
        isinstance(record.session, str)
        and isinstance(record.sequence, int)
        and record.sequence >= 0
        and isinstance(record.at, str)
        and isinstance(record.kind, str)
        and isinstance(record.data, dict)
        and all(isinstance(each, str) for each in optional)
    )
    if not right:
        raise BadRecord("a field has the wrong type")
    return record


def assemble(lines: Iterable[tuple[str, object]]) -> Contents:
    """Records from ``(where, line)`` pairs: the same record twice is one, bad lines and gaps become damage.

    Two different records under one number: the first is kept, the second named.
    """
    kept: dict[tuple[str, int], Record] = {}
    damage: list[Damage] = []
    for where, line in lines:
        try:
            record = decode(line)
        except BadRecord as error:
            damage.append(Damage(where, error.reason))
            continue
        key = (record.session, record.sequence)
        if key not in kept:
            kept[key] = record
        elif kept[key] != record:
            damage.append(Damage(where, f"a second record under number {record.sequence} of its session"))
    damage.extend(_gaps(kept))
    return Contents(tuple(kept.values()), tuple(damage))


def _gaps(kept: Mapping[tuple[str, int], Record]) -> list[Damage]:
    numbers: dict[str, list[int]] = {}
    for session, sequence in kept:
        numbers.setdefault(session, []).append(sequence)
    found = []
    for session, present in numbers.items():
        expected = 0
        for sequence in sorted(present):
            if sequence > expected:
                lost = str(expected) if sequence == expected + 1 else f"{expected} to {sequence - 1}"
                found.append(Damage(f"session {session[:8]}", f"record {lost} is missing"))
            expected = sequence + 1
    return found


def _checksum(body: str) -> str:
    return hashlib.sha256(body.encode("ascii", "backslashreplace")).hexdigest()[:CHECKSUM_DIGITS]


BRANCH_OF = "branch_of"  # in the header's data of a branch: the session's id; "after" beside it: the last common number


def parting(here: Iterable[Record], there: Iterable[Record]) -> Record | None:
    """The first record here that has another one under its number there; ``None`` where they did not part."""
    others = {record.sequence: record for record in there}
    return next((r for r in here if r.sequence in others and encode(others[r.sequence]) != encode(r)), None)


def branch(records: Sequence[Record], own: Record) -> list[Record]:
    """The records, in order of their numbers, as a session of their own. ``own`` : the first that no other copy has."""
    return copied(records, hashlib.sha256(encode(own).encode()).hexdigest()[:32], own.sequence - 1)


def copied(records: Sequence[Record], session: str, last_common: int) -> list[Record]:
    """The records under another session's id, chained anew; the first one says where they come from."""
    made: list[Record] = []
    for record in records:
        data = dict(record.data)
        if not made:
            data |= {BRANCH_OF: record.session, "after": last_common}
        made.append(after(made[-1] if made else None, replace(record, session=session, data=data)))
    return made
