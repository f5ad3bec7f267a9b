"""A store that is one plain file of lines, for a stick or a text editor; also what ``jobs export`` writes.

Duty: append whole lines durably, read what is whole. Several processes may share a file: a lock beside it orders their
appends. It must not rewrite what was written; a torn last line stays and is named, the next append starts a new line.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from filelock import FileLock

from voicefit.errors import StoreError
from voicefit.journal.record import CHECKSUM_DIGITS, BadRecord, Contents, Record, assemble, decode, encode
from voicefit.journal.store import Conflict, Displaced
from voicefit.private_files import PRIVATE_FILE, identity, make_private, make_private_file

_CHECKSUM = re.compile(rb"[0-9a-f]*")


class LineFile:
    """``path`` is created private when it is not there. Raises ``StoreError`` when that fails."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._lock = FileLock(path.with_name(path.name + ".lock"), mode=PRIVATE_FILE)
        self._known: dict[tuple[str, int], str] = {}
        self._read_to = 0
        self.reopen()

    def reopen(self) -> None:
        self.close()
        make_private_file(self.path)
        self._identity = identity(self.path)
        self._is_ours = False

    def append(self, records: Sequence[Record]) -> None:
        lines = {(record.session, record.sequence): encode(record) for record in records}
        try:
            with self._lock, self.path.open("r+b", buffering=0) as file:
                self._check_identity()
                self._catch_up(file.fileno())
                self._refuse_foreign(file.fileno())
                fresh = [line for key, line in lines.items() if not self._is_there(key, line)]
                if fresh:
                    self._write(file.fileno(), fresh)
                self._check_identity()
                self._known.update(lines)
        except FileNotFoundError:
            raise Displaced(f"{self.path}: has been removed") from None
        except OSError as error:
            raise StoreError(f"{self.path}: cannot write ({error.strerror})") from None

    def contents(self, session: str | None = None) -> Contents:
        try:
            raw = self.path.read_bytes()
        except OSError as error:
            raise StoreError(f"{self.path}: cannot read ({error.strerror})") from None
        # latin-1 takes any byte: what is not ASCII fails its checksum and is named, instead of stopping the rest.
        lines = raw.decode("latin-1").split("\n")
        if lines[-1] == "":
            lines.pop()
        whole = assemble((f"{self.path.name}, line {number}", line) for number, line in enumerate(lines, 1))
        if session is None:
            return whole
        return Contents(tuple(record for record in whole.records if record.session == session), whole.damage)

    def tips(self, session: str | None = None) -> dict[str, tuple[int, str]]:
        last: dict[str, Record] = {}
        for record in self.contents(session).records:
            if record.session not in last or record.sequence > last[record.session].sequence:
                last[record.session] = record
        return {each.session: (each.sequence, encode(each)) for each in last.values()}

    def close(self) -> None:
        self._known.clear()
        self._read_to = 0

    def _is_there(self, key: tuple[str, int], line: str) -> bool:
        known = self._known.get(key)
        if known is not None and known != line:
            raise Conflict(f"{self.path}: another record {key[1]} of session {key[0][:8]} is already there")
        return known is not None

    def _check_identity(self) -> None:
        if identity(self.path) != self._identity:
            raise Displaced(f"{self.path}: has been removed, or replaced by another file")

    def _refuse_foreign(self, handle: int) -> None:
        """Never write into a file that is not a journal, nor touch it; one that was cut in its first line is."""
        if not self._is_ours:
            self._refuse_unknown(handle)
            make_private(self.path)
            self._is_ours = True

    def _refuse_unknown(self, handle: int) -> None:
        if self._known or os.fstat(handle).st_size == 0:
            return
        os.lseek(handle, 0, os.SEEK_SET)
        start = os.read(handle, CHECKSUM_DIGITS).partition(b"\n")[0]
        if not _CHECKSUM.fullmatch(start):
            raise StoreError(f"{self.path}: is not a journal; it is left as it is")

    def _catch_up(self, handle: int) -> None:
        """Learn what other processes appended since."""
        size = os.fstat(handle).st_size
        if size < self._read_to:  # cut or replaced by somebody
            self._known.clear()
            self._read_to = 0
        if size == self._read_to:
            return
        os.lseek(handle, self._read_to, os.SEEK_SET)
        raw = _read_all(handle, size - self._read_to)
        for line in raw.decode("latin-1").split("\n"):
            try:
                record = decode(line)
            except BadRecord:
                continue
            self._known.setdefault((record.session, record.sequence), line)
        self._read_to = raw.rfind(b"\n") + 1 + self._read_to

    def _write(self, handle: int, lines: Sequence[str]) -> None:
        end = os.lseek(handle, 0, os.SEEK_END)
        text = "".join(line + "\n" for line in lines)
        if end:
            os.lseek(handle, end - 1, os.SEEK_SET)
            if os.read(handle, 1) != b"\n":
                text = "\n" + text  # a torn line stays a line of its own
        raw = text.encode("ascii")
        try:
            while raw:
                raw = raw[os.write(handle, raw) :]
            os.fsync(handle)
        except OSError:
            with suppress(OSError):
                os.ftruncate(handle, end)  # nothing half-written is left to be taken for confirmed
            raise
        self._read_to = os.lseek(handle, 0, os.SEEK_END)


def _read_all(handle: int, size: int) -> bytes:
    parts = []
    while size > 0 and (part := os.read(handle, size)):
        parts.append(part)
        size -= len(part)
    return b"".join(parts)
