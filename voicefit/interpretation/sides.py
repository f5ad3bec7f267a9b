"""The side of a diameter, said apart from its number: "inside, let me see, and that's eighteen point seven".

Duty: this. It must not read numbers.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from voicefit.interpretation.answers import counts
from voicefit.records import Item, Measurand, Reading

_SIDES = {"outside": Measurand.OUTSIDE_DIAMETER, "inside": Measurand.INSIDE_DIAMETER}


def of(words: Sequence[str]) -> set[Measurand]:
    """The sides that the words name."""
    return {_SIDES[word] for word in words if word in _SIDES}


def is_one(words: Sequence[str]) -> bool:
    """Whether the words are a side and nothing else."""
    return len(words) == 1 and words[0] in _SIDES


def taken_of(items: Sequence[Item], named: Set[Measurand]) -> bool:
    """Whether a number was taken that may be of the sides ``named``, if any are, and none surely of another."""
    taken = [item for item in items if isinstance(item, Reading) and counts(item)]
    return bool(taken) and not any(_is_of_another(reading, named) for reading in taken)


def narrowed(item: Item, named: Set[Measurand]) -> Item:
    """A number that may be of either side, of the one that is named; anything else as it is."""
    if len(named) != 1 or not isinstance(item, Reading) or not counts(item) or item.measurands.isdisjoint(named):
        return item
    return replace(item, options=tuple(option for option in item.options if option.measurand in named))


def _is_of_another(reading: Reading, named: Set[Measurand]) -> bool:
    return bool(named) and reading.measurands <= set(_SIDES.values()) and reading.measurands.isdisjoint(named)
