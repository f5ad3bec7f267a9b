"""Numbers in data files, each with where it is from: ``{ value, source, basis }``.

Duty: read, check and strip them. It must not know what they mean.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from voicefit import toml_data
from voicefit.catalogue.ends import Basis

Table = TypeVar("Table", bound=BaseModel)


class SourcedNumber(BaseModel):
    """One entry of a file: the value with where it is from."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    value: Any
    source: Annotated[str, Field(min_length=1)]
    basis: Basis


def read_numbers(texts: Mapping[str, str], file: str, kind: type[Table], **more: object) -> Table:
    """A file of ``{value, source, basis}`` as a ``kind``, with each number's whole entry in ``numbers``.

    Raises with all that is wrong: entries without a source, and numbers that ``kind`` does not take.
    """
    numbers: dict[str, SourcedNumber] = {}
    wrong: list[toml_data.EntryFault] = []
    values = _stripped(toml_data.tree(texts, file), "", numbers, wrong)
    try:
        found = kind.model_validate({**values, **more, "numbers": numbers})
    except ValidationError as error:
        told = {fault.where for fault in wrong}
        more_wrong = [fault for fault in toml_data.faults_of(error) if fault.where not in told]
        raise toml_data.in_data(file, [*wrong, *more_wrong]) from None
    if wrong:
        raise toml_data.in_data(file, wrong)
    return found


def _stripped(
    tree: Mapping[str, Any], path: str, numbers: dict[str, SourcedNumber], wrong: list[toml_data.EntryFault]
) -> dict[str, Any]:
    """Strip each ``{value, source, basis}`` to its value, noting the whole under its dotted path."""
    found: dict[str, Any] = {}
    for key, entry in tree.items():
        here = f"{path}.{key}" if path else key
        if not isinstance(entry, dict):
            wrong.append(toml_data.EntryFault(here, "is a bare value: give value, source and basis"))
            found[key] = entry
        elif "value" in entry:
            try:
                numbers[here] = SourcedNumber.model_validate(entry)
            except ValidationError as error:
                wrong += toml_data.faults_of(error, here)
            found[key] = entry["value"]
        else:
            found[key] = _stripped(entry, here, numbers, wrong)
    return found
