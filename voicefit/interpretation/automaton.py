"""Phrases as a small automaton: equal beginnings written once, equal ends written once.

Duty: that construction. It must not know what any word means.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from voicefit.interpretation.notation import Flat, Join, Slot, Word

Label = tuple[Join, str]  # what stands before a symbol, and the symbol's name


@dataclass(frozen=True, slots=True)
class AutomatonState:
    """``ends``: a phrase may end here. ``edges``: label and number of the state that it leads to."""

    ends: bool
    edges: tuple[tuple[Label, int], ...]


@dataclass(frozen=True, slots=True)
class Automaton:
    """``states`` : each after those that it leads to; the last one is the beginning."""

    states: tuple[AutomatonState, ...]

    def uses(self) -> list[int]:
        """How many edges lead to each state."""
        found = [0] * len(self.states)
        for state in self.states:
            for _, target in state.edges:
                found[target] += 1
        return found


class _Node(dict[Label, "_Node"]):
    ends = False


def build(flats: Iterable[Flat], name: Callable[[Word | Slot], str]) -> Automaton:
    """The automaton of some phrases; ``name`` names their symbols on the edges."""
    tree = _Node()
    for flat in flats:
        node = tree
        for at, (join, symbol) in enumerate(flat):
            node = node.setdefault((join if at else Join.NOTHING, name(symbol)), _Node())
        node.ends = True
    numbers: dict[AutomatonState, int] = {}

    def number(node: _Node) -> int:
        edges = sorted(
            ((label, number(target)) for label, target in node.items()), key=lambda e: (e[0][1], e[0][0].value)
        )
        return numbers.setdefault(AutomatonState(node.ends, tuple(edges)), len(numbers))

    number(tree)
    return Automaton(tuple(numbers))
