"""Numbers in data files, each with where it is from: ``{ value, source, basis }``.

Duty: read, check and strip them. It must not know what they mean.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field

from voicefit import toml_data
from voicefit.catalogue.ends import Basis
from voicefit.errors import BadTable

Table = TypeVar("Table", bound=BaseModel)


class SourcedNumber(BaseModel):
    """One entry of a file: the value with where it is from."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    value: Any
    source: Annotated[str, Field(min_length=1)]
    basis: Basis


def read_numbers(texts: Mapping[str, str], file: str, kind: type[Table], **more: object) -> Table:
    """A file of ``{value, source, basis}`` as a ``kind``, with each number's whole entry in ``numbers``."""
    numbers: dict[str, SourcedNumber] = {}
    values = strip(toml_data.tree(texts, file), "", numbers, file)
    return toml_data.checked(kind, {**values, **more, "numbers": numbers}, file)


def strip(tree: Mapping[str, Any], path: str, numbers: dict[str, SourcedNumber], file: str) -> dict[str, Any]:
    """Strip each ``{value, source, basis}`` to its value, noting the whole under its dotted path."""
    found: dict[str, Any] = {}
    for key, entry in tree.items():
        here = f"{path}.{key}" if path else key
        if not isinstance(entry, dict):
            raise BadTable(file, None, here, "is a bare value: give value, source and basis")
        if "value" in entry:
            numbers[here] = toml_data.checked(SourcedNumber, entry, file, within=here)
            found[key] = entry["value"]
        else:
            found[key] = strip(entry, here, numbers, file)
    return found
