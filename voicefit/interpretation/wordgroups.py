"""Words that stand together, in whatever order: the notation of alarms, gists and cues.

How it works. A line is made of groups: "oil|fluid eye|eyes" needs one word of each group, for each a word of its own.
"inject*" is any word that begins so, "in$" that word as the last of all, "<inward>" any word of that list, "{series}"
whatever that rule matches, "!not|no" none of these; "@ 0.5" at the end is the line's weight.

Duty: read a line, and find its words in a text. It must not know what a line says.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any

Found = tuple[int, int, Any]  # start, end and value of a slot
Slots = Callable[[str], Sequence[Found]]
_LAST = "$"
_ONE, _TWO = "one", "two"
_LIST = re.compile(r"<([a-z-]+)>")


def _no_slots(name: str) -> Sequence[Found]:
    return ()


@dataclass(frozen=True, slots=True)
class Together:
    """What of a line was found: the places of its words, one for each group, of all words that are in its groups, and
    the value of its slot."""

    places: frozenset[int]
    all_places: frozenset[int]
    groups: int
    value: Any = None


@dataclass(frozen=True, slots=True)
class WordGroups:
    """``groups`` : of each a word must be there; ``never`` : words that must not."""

    groups: tuple[tuple[str, ...], ...]
    never: tuple[str, ...] = ()
    weight: float = 0.0

    def find(self, words: Sequence[str], slots: Slots = _no_slots) -> Together | None:
        """Where the groups are among the words, or ``None``."""
        if any(begins_as(word, self.never) for word in words):
            return None
        taken = _placed(self.groups, words, slots, frozenset())
        if taken is None:
            return None
        every = frozenset(at for at, word in enumerate(words) if any(begins_as(word, group) for group in self.groups))
        return Together(taken[0], taken[0] | every, len(self.groups), taken[1])


def read_line(text: str, lists: Mapping[str, Sequence[str]]) -> WordGroups:
    """The groups of a line. Raises ``KeyError`` with the name of a list that there is not."""
    text, _, weight = text.partition(" @ ")
    text = _LIST.sub(lambda match: "|".join(lists[match[1]]), text)
    parts = text.split()
    never = tuple(word for part in parts if part[0] == "!" for word in part[1:].split("|"))
    groups = tuple(tuple(part.split("|")) for part in parts if part[0] != "!")
    return WordGroups(groups, never, float(weight or 0.0))


def _placed(
    groups: Sequence[Sequence[str]], words: Sequence[str], slots: Slots, taken: frozenset[int]
) -> tuple[frozenset[int], Any] | None:
    """Places for each group, none for two; a slot stands on all the words that it matches."""
    if not groups:
        return taken, None
    for places, value in _places(groups[0], words, slots):
        if taken.isdisjoint(places):
            rest = _placed(groups[1:], words, slots, taken | places)
            if rest is not None:
                return rest[0], value if rest[1] is None else rest[1]
    return None


def _places(group: Sequence[str], words: Sequence[str], slots: Slots) -> Iterator[tuple[frozenset[int], Any]]:
    for each in group:
        if each.startswith("{"):
            for start, end, value in slots(each[1:-1]):
                yield frozenset(range(start, end)), value
    for at, word in enumerate(words):
        if begins_as(word, group) or (at + 1 == len(words) and f"{word}{_LAST}" in group):
            yield frozenset({at}), None


def begins_as(word: str, group: Sequence[str]) -> bool:
    """Whether a word is one of a group, or begins as one with a star."""
    return any(word.startswith(each[:-1]) if each.endswith("*") else word == each for each in group)


def is_number(words: Sequence[str], at: int, numbers: Set[str]) -> bool:
    """A figure or a word of numbers; but "one", or "the two", by itself points at things: "it's one of those"."""
    word = words[at]
    if word == _ONE or (word == _TWO and at > 0 and words[at - 1] == "the"):
        beside = [*words[max(at - 1, 0) : at], *words[at + 1 : at + 2]]
        return any(other != word and (other[0].isdecimal() or other in numbers) for other in beside)
    return word[0].isdecimal() or word in numbers
