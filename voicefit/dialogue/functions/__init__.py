"""What each entry of the registry does: one function an entry, found by the entry's id.

Duty: hold them by name. Each changes the session only through the :class:`~voicefit.dialogue.turn.Turn` it is given.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicefit.dialogue.turn import Turn
    from voicefit.records import Command

Does = Callable[["Turn", "Command"], None]


def collected(*tables: Mapping[str, Does]) -> Mapping[str, Does]:
    """One table of several. Raises ``ValueError`` when two name the same function."""
    all_of_them: dict[str, Does] = {}
    for table in tables:
        twice = all_of_them.keys() & table.keys()
        if twice:
            raise ValueError(f"two functions for {sorted(twice)}")
        all_of_them |= table
    return MappingProxyType(all_of_them)


def _all() -> Mapping[str, Does]:
    from voicefit.dialogue.functions import (
        answered,
        answers,
        fluids,
        jobs,
        listening,
        naming,
        notes,
        readings,
        reasons,
        safety,
        settings,
        talk,
        teaching,
        using,
    )

    rooms = (
        answered,
        answers,
        fluids,
        jobs,
        listening,
        naming,
        notes,
        readings,
        reasons,
        safety,
        settings,
        talk,
        teaching,
        using,
    )
    return collected(*(room.TABLE for room in rooms))


FUNCTIONS: Mapping[str, Does] = _all()
