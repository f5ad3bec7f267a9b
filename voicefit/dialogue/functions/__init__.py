"""What each entry of the registry does: one function an entry, found by the entry's id.

Duty: hold them by name. Each changes the session only through the :class:`~voicefit.dialogue.turn.Turn` it is given.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
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


_ROOMS = (
    "answers", "asking", "converting", "first", "fitting", "holding", "hoses", "its_hose", "jobs", "notes", "orders",
    "readings", "reasons", "restoring", "safety", "settings", "slip_lines", "talk", "tightening", "using", "whether",
)  # fmt: skip


def _all() -> Mapping[str, Does]:
    return collected(*(import_module(f"{__name__}.{room}").TABLE for room in _ROOMS))


FUNCTIONS: Mapping[str, Does] = _all()
