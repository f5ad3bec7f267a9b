"""Data written as TOML and checked by a pydantic type: one reader for every such file, one way to say what is wrong.

A reader is given the texts by name, the name and the type. What TOML or the type finds wrong becomes an error of the
project that names the file and the entry: of ``data/`` all that is wrong, of ``grammar/`` the first.

Duty: parse and check. It must not open files, and must not know what they mean.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, TypeVar

from pydantic import BaseModel, ValidationError

from voicefit.errors import BadGrammar, BadInput, BadTable, BadTables

Checked = TypeVar("Checked", bound=BaseModel)


class EntryFault(NamedTuple):
    """``where`` : the entry, dotted; empty for the whole file."""

    where: str
    reason: str


Wrong = Callable[[str, Sequence[EntryFault]], BadInput]


def in_data(file: str, faults: Sequence[EntryFault]) -> BadTable:
    """The error for a file of ``data/``."""
    errors = [BadTable(file, None, fault.where or None, fault.reason) for fault in faults]
    return errors[0] if len(errors) == 1 else BadTables(errors)


def in_grammar(file: str, faults: Sequence[EntryFault]) -> BadGrammar:
    """The error for a file of ``grammar/``."""
    return BadGrammar(file, faults[0].where or "file", faults[0].reason)


def read(texts: Mapping[str, str], file: str, kind: type[Checked], wrong: Wrong = in_data) -> Checked:
    """The file as a ``kind``. Raises what ``wrong`` makes of its faults."""
    return checked(kind, tree(texts, file, wrong), file, wrong)


def tree(texts: Mapping[str, str], file: str, wrong: Wrong = in_data) -> dict[str, Any]:
    """The file as it is written, not checked further."""
    if file not in texts:
        raise wrong(file, [EntryFault("", "the file is missing")])
    try:
        return tomllib.loads(texts[file])
    except tomllib.TOMLDecodeError as error:
        raise wrong(file, [EntryFault("", f"is not TOML: {error}")]) from None


def checked(kind: type[Checked], values: Any, file: str, wrong: Wrong = in_data, within: str = "") -> Checked:
    """A part of the file as a ``kind``; ``within`` : where it stands."""
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise wrong(file, faults_of(error, within)) from None


def faults_of(error: ValidationError, within: str = "") -> list[EntryFault]:
    """What validation found, each with its place."""
    before = [within] if within else []
    return [
        EntryFault(".".join([*before, *map(str, each["loc"])]), each["msg"].removeprefix("Value error, "))
        for each in error.errors(include_url=False)
    ]
