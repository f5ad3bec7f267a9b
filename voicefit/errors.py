"""The errors that voicefit raises on purpose, one small tree.

Duty: name what went wrong, where, and what the user can do. Nothing else: no printing, no exit codes
(the command line maps a type to its exit code). A *rejection* of something said is not an error: see
:class:`voicefit.records.Rejection`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path


class VoicefitError(Exception):
    """Base of all errors raised on purpose; its text is one plain sentence for the user."""


class BadInput(VoicefitError):
    """What the user gave cannot be used: a file, an option, a setting."""


class BadTable(BadInput):
    """A row of a table under ``data/`` (or of the user's own tables) is wrong.

    Parameters
    ----------
    file : name of the table
    row : line number in the file, the header being 1; ``None`` when the whole file is meant
    column : name of the column; ``None`` when the whole row is meant
    reason : what is wrong, in words
    """

    def __init__(self, file: str, row: int | None, column: str | None, reason: str) -> None:
        self.file, self.row, self.column, self.reason = file, row, column, reason
        where = file
        if row is not None:
            where += f", row {row}"
        if column is not None:
            where += f", column {column}"
        super().__init__(f"{where}: {reason}")


class BadTables(BadTable):
    """Several rows are wrong: ``errors``, as they were found, a line each. Its own place is that of the first."""

    def __init__(self, errors: Sequence[BadTable]) -> None:
        first = errors[0]
        super().__init__(first.file, first.row, first.column, first.reason)
        self.errors = tuple(errors)
        self.args = ("\n".join(map(str, errors)),)


class BadGrammar(BadInput):
    """A file under ``grammar/`` cannot be read as grammar."""

    def __init__(self, file: str, where: str, reason: str) -> None:
        self.file, self.where, self.reason = file, where, reason
        super().__init__(f"{file}, {where}: {reason}")


class BadAudio(BadInput):
    """An audio file or stream cannot be used (header, rate, length, not-a-number samples)."""

    def __init__(self, source: str | Path, reason: str) -> None:
        self.source, self.reason = str(source), reason
        super().__init__(f"{source}: {reason}")


class Abandoned(VoicefitError):
    """What was being recognised is wanted no longer: the person went on speaking."""


class Missing(VoicefitError):
    """A device, an engine, a model or a voice is not there; the text says how to get it."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what} is missing: {remedy}")


class DeviceLost(VoicefitError):
    """A device that was in use has gone."""

    def __init__(self, device: str, reason: str = "") -> None:
        self.device, self.reason = device, reason
        super().__init__(f"{device} was lost{': ' + reason if reason else ''}")


class StoreError(VoicefitError):
    """The journal could not be written or read; nothing may be confirmed aloud after it."""
