"""Words that stand together, in whatever order: the notation of alarms.

How it works. A line is made of groups: "oil|fluid eye|eyes" needs one word of each group, for each a word of its own.
"inject*" is any word that begins so, "on$" that word as the last of all, "!not|no" none of these.

Duty: read a line, and find its words in a text. It must not know what a line says.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass

_LAST = "$"
_ONE, _TWO = "one", "two"


@dataclass(frozen=True, slots=True)
class WordGroups:
    """``groups`` : of each a word must be there; ``never`` : words that must not."""

    groups: tuple[tuple[str, ...], ...]
    never: tuple[str, ...] = ()

    def is_in(self, words: Sequence[str]) -> bool:
        """Whether the groups are among the words."""
        return not any(_begins_as(word, self.never) for word in words) and _placed(self.groups, words, frozenset())


def read_line(text: str) -> WordGroups:
    """The groups of a line."""
    parts = text.split()
    never = tuple(word for part in parts if part[0] == "!" for word in part[1:].split("|"))
    return WordGroups(tuple(tuple(part.split("|")) for part in parts if part[0] != "!"), never)


def _placed(groups: Sequence[Sequence[str]], words: Sequence[str], taken: frozenset[int]) -> bool:
    """Whether each group has a place of its own, none for two."""
    if not groups:
        return True
    return any(
        place not in taken and _is_of(words, place, groups[0]) and _placed(groups[1:], words, taken | {place})
        for place in range(len(words))
    )


def _is_of(words: Sequence[str], at: int, group: Sequence[str]) -> bool:
    return _begins_as(words[at], group) or (at + 1 == len(words) and f"{words[at]}{_LAST}" in group)


def _begins_as(word: str, group: Sequence[str]) -> bool:
    """Whether a word is one of a group, or begins as one with a star."""
    return any(word.startswith(each[:-1]) if each.endswith("*") else word == each for each in group)


def is_number(words: Sequence[str], at: int, numbers: Set[str]) -> bool:
    """A figure or a word of numbers; but "one", or "the two", by itself points at things: "it's one of those"."""
    word = words[at]
    if word == _ONE or (word == _TWO and at > 0 and words[at - 1] == "the"):
        beside = [*words[max(at - 1, 0) : at], *words[at + 1 : at + 2]]
        return any(other != word and (other[0].isdecimal() or other in numbers) for other in beside)
    return word[0].isdecimal() or word in numbers
