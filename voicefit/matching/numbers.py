"""Numbers in data files, each with where it is from: ``{ value, source, basis }``.

Duty: read, check and strip them. It must not know what they mean.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from voicefit.catalogue.ends import Basis
from voicefit.errors import BadTable, BadTables

Table = TypeVar("Table", bound=BaseModel)


class Number(BaseModel):
    """One entry of a file: the value with where it is from."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    value: Any
    source: Annotated[str, Field(min_length=1)]
    basis: Basis


def read_numbers(texts: Mapping[str, str], file: str, kind: type[Table], **more: object) -> Table:
    """A file of ``{value, source, basis}`` as a ``kind``, with each number's whole entry in ``numbers``."""
    numbers: dict[str, Number] = {}
    values = strip(read_toml(texts, file), "", numbers, file)
    try:
        return kind.model_validate({**values, **more, "numbers": numbers})
    except ValidationError as error:
        raise bad_entry(file, error) from None


def read_toml(texts: Mapping[str, str], file: str) -> dict[str, Any]:
    """The TOML tree of ``file``; a missing or broken file is a :class:`BadTable`."""
    if file not in texts:
        raise BadTable(file, None, None, "the file is missing")
    try:
        return tomllib.loads(texts[file])
    except tomllib.TOMLDecodeError as error:
        raise BadTable(file, None, None, f"is not TOML: {error}") from None


def bad_entry(file: str, error: ValidationError, *within: str) -> BadTable:
    """Every fault that validation found, as errors that name the entry; ``within`` : the table it is in."""
    errors = [
        BadTable(file, None, ".".join((*within, *(str(step) for step in each["loc"]))) or None, each["msg"])
        for each in error.errors()
    ]
    return errors[0] if len(errors) == 1 else BadTables(errors)


def strip(tree: Mapping[str, Any], path: str, numbers: dict[str, Number], file: str) -> dict[str, Any]:
    """Strip each ``{value, source, basis}`` to its value, noting the whole under its dotted path."""
    found: dict[str, Any] = {}
    for key, entry in tree.items():
        here = f"{path}.{key}" if path else key
        if not isinstance(entry, dict):
            raise BadTable(file, None, here, "is a bare value: give value, source and basis")
        if "value" in entry:
            try:
                numbers[here] = Number.model_validate(entry)
            except ValidationError as error:
                raise bad_entry(file, error, here) from None
            found[key] = entry["value"]
        else:
            found[key] = strip(entry, here, numbers, file)
    return found
