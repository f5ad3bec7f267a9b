"""What the search through a text knows, and the edges that it goes along.

Duty: the two frozen types. They must not decide anything.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicefit.interpretation.priors import Priors
from voicefit.records import Item, Reading


@dataclass(frozen=True, slots=True)
class Edge:
    start: int
    end: int
    weight: float
    items: tuple[Item, ...] = ()
    left: bool = False  # words that nothing took
    passed: bool = False  # words that carry nothing
    fragile: bool = False  # a command, or a word that means something only where it was asked: any other word spoils it
    urgent: bool = False  # a command that only a weighty word spoils
    costly: bool = False  # a command that costs something: words that carry nothing spoil it too
    open: bool = False  # a number of which was not said what it measures
    answer: float = 0.0  # part of the weight: that it answers the question; a question is answered once
    unmoved: tuple[Reading, ...] = ()  # of a number of which was not said what it measures: as if nothing was asked


@dataclass(frozen=True, slots=True)
class Scene:
    """What the search knows of the grammar: all its words, those that may turn or move a meaning, the words of numbers
    and units, those of numbers alone, and how likely things are to be said. ``one_number`` : rules of what is
    one number. ``addressed`` : how one speaks to somebody. ``numbered`` : a number right behind one of these is
    theirs, and right before one of the ``other_units``. ``commands`` : in the order of the grammar. ``perhaps`` :
    how certain what is only perhaps so is. ``gaps`` : words of a gauge that does not fit."""

    known: frozenset[str]
    weighty: frozenset[str]
    numeric: frozenset[str]
    numbers: frozenset[str]
    priors: Priors
    one_number: tuple[str, ...] = ()
    addressed: frozenset[str] = frozenset()
    numbered: frozenset[str] = frozenset()
    other_units: frozenset[str] = frozenset()
    commands: tuple[str, ...] = ()
    perhaps: float = 1.0
    gaps: frozenset[str] = frozenset()
