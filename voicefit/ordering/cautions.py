"""The written cautions of ``data/cautions.toml``: which of them belong to what is ordered.

Duty: parse and choose. It must not word anything of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pydantic import BaseModel, ConfigDict, Field

from voicefit import toml_data
from voicefit.errors import BadTable
from voicefit.records import Seal

FILE = "cautions.toml"
ALL, HOSE = "all", "hose"
_PLACES = frozenset({ALL, HOSE, *(seal.value for seal in Seal)})


class Caution(BaseModel):
    """``on`` : ``all``, ``hose`` or names of seals."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str = Field(pattern=r"[a-z]+(-[a-z]+)*")
    on: tuple[str, ...] = Field(min_length=1)
    text: str = Field(min_length=1, max_length=160)


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    caution: tuple[Caution, ...]


def parse(data: Mapping[str, str]) -> tuple[Caution, ...]:
    """All cautions in order. Raises ``BadTable`` naming the entry and what is wrong with it."""
    file = toml_data.read(data, FILE, _File)
    for row in file.caution:
        if unknown := sorted(set(row.on) - _PLACES):
            raise BadTable(FILE, None, row.id, f"{unknown[0]!r} is neither all, hose nor a seal")
    return file.caution


def belonging(cautions: Iterable[Caution], places: Iterable[str]) -> tuple[Caution, ...]:
    """Those for any of the places (``hose``, names of seals), and those for all."""
    wanted = {ALL, *places}
    return tuple(caution for caution in cautions if wanted & set(caution.on))
