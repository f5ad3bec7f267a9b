"""Words that stand together, in whatever order: the notation of alarms.

How it works. A line is made of groups: "oil|fluid eye|eyes" needs one word of each group, for each a word of its own.
"inject*" is any word that begins so, "on$" that word as the last of all, "!not|no" none of these.

Duty: read a line, and find its words in a text. It must not know what a line says.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from typing import Self

_LAST, _STEM = "$", "*"
_ONE, _TWO = "one", "two"


@dataclass(frozen=True, slots=True)
class _Group:
    """Words, beginnings of words, and words that stand last of all."""

    words: frozenset[str]
    stems: tuple[str, ...]
    last: frozenset[str]

    @classmethod
    def read(cls, text: str) -> Self:
        every = text.split("|") if text else []
        return cls(
            frozenset(each for each in every if each[-1] not in (_LAST, _STEM)),
            tuple(each[:-1] for each in every if each[-1] == _STEM),
            frozenset(each[:-1] for each in every if each[-1] == _LAST),
        )

    def has(self, word: str) -> bool:
        return word in self.words or word.startswith(self.stems)

    def places(self, words: Sequence[str]) -> list[int]:
        found = [at for at, word in enumerate(words) if word in self.words or word.startswith(self.stems)]
        if words and words[-1] in self.last:
            found.append(len(words) - 1)
        return found


@dataclass(frozen=True, slots=True)
class WordGroups:
    """``groups`` : of each a word must be there; ``never`` : words that must not."""

    groups: tuple[_Group, ...]
    never: _Group

    def is_in(self, words: Sequence[str]) -> bool:
        """Whether the groups are among the words."""
        places = []
        for group in self.groups:
            found = group.places(words)
            if not found:
                return False
            places.append(found)
        return not any(map(self.never.has, words)) and _apart(places, frozenset())


def read_line(text: str) -> WordGroups:
    """The groups of a line."""
    parts = text.split()
    never = "|".join(part[1:] for part in parts if part[0] == "!")
    return WordGroups(tuple(_Group.read(part) for part in parts if part[0] != "!"), _Group.read(never))


def _apart(places: Sequence[Sequence[int]], taken: frozenset[int]) -> bool:
    """Whether each group has a place of its own, none for two."""
    if not places:
        return True
    return any(at not in taken and _apart(places[1:], taken | {at}) for at in places[0])


def is_number(words: Sequence[str], at: int, numbers: Set[str]) -> bool:
    """A figure or a word of numbers; but "one", or "the two", by itself points at things: "it's one of those"."""
    word = words[at]
    if word == _ONE or (word == _TWO and at > 0 and words[at - 1] == "the"):
        beside = [*words[max(at - 1, 0) : at], *words[at + 1 : at + 2]]
        return any(other != word and (other[0].isdecimal() or other in numbers) for other in beside)
    return word[0].isdecimal() or word in numbers
