"""What a sentence is about by the words in it, however it goes: alarms, and what was otherwise not understood.

How it works. A command has, beside its phrases, lists of words that stand together: "oil|fluid eye|eyes" is one word of
each group, "inject*" any word that begins so, "!not|no" none of these. Two kinds:

- ``alarms``, of what must never be missed: whoever is hurt does not choose words. What the text was understood as gives
  way, but for a sentence of commands alone that was understood to the end: an urgent command, or a question about it.
- ``gist``: asked in words that no phrase has ("what would I have to torque that to"). Only where nothing of the text
  was understood, and it is a question, or a few words without a number: a number may be a reading misunderstood.

Duty: this. It must not know what a command does.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from voicefit.records import Command, Meaning, Rejection

if TYPE_CHECKING:
    from voicefit.interpretation.schema import CommandEntry

_WHOLE = 0.8  # of a text's letters: it was understood to the end
_FEW = 10  # words
_ASK = frozenset(
    {
        *("why", "what", "which", "how", "who", "where", "when", "can", "could", "do", "does", "did", "is", "are"),
        *("should", "would", "will", "shall", "may", "must", "has", "have", "any", "got", "tell", "give", "show"),
        *("read", "let"),
    }
)


@dataclass(frozen=True, slots=True)
class Gist:
    """``groups`` : of each a word must be there; ``never`` : words that must not. ``alarm`` : whatever else
    was said."""

    command: str
    groups: tuple[tuple[str, ...], ...]
    never: tuple[str, ...]
    alarm: bool

    def is_in(self, words: Sequence[str]) -> bool:
        """Whether each group has a word of its own among them."""
        if any(_one_of(word, self.never) for word in words):
            return False
        return _placed(self.groups, list(words))


def gists_of(entry: CommandEntry) -> tuple[Gist, ...]:
    """The word lists of a command, in their order."""
    found = []
    for line, alarm in [*((line, True) for line in entry.alarms), *((line, False) for line in entry.gist)]:
        parts = line.split()
        never = tuple(word for part in parts if part[0] == "!" for word in part[1:].split("|"))
        groups = tuple(tuple(part.split("|")) for part in parts if part[0] != "!")
        found.append(Gist(entry.id, groups, never, alarm))
    return tuple(found)


def first(
    found: tuple[Meaning, ...], text: str, words: Sequence[str], gists: Sequence[Gist], numbers: Set[str]
) -> tuple[Meaning, ...]:
    """The meanings of a text, or what it is about instead: an alarm, or the gist of what was not understood."""
    items = found[0].items if found else ()
    commands = [item for item in items if isinstance(item, Command)]
    whole = len(commands) == len(items) and sum(len(each.heard) for each in commands) >= _WHOLE * len(text)
    lost = all(isinstance(item, Rejection) for item in items)
    has_number = any(word[0].isdecimal() or word in numbers for word in words)
    asks = words[0] in _ASK or (len(words) <= _FEW and not has_number)
    rings = [gist for gist in gists if (not whole if gist.alarm else lost and asks) and gist.is_in(words)]
    if not rings:
        return found
    best = max(rings, key=lambda gist: (gist.alarm, 0 if gist.alarm else len(gist.groups)))
    return (Meaning(text, (Command(best.command, text),), 0.0),)


def _placed(groups: Sequence[Sequence[str]], words: list[str]) -> bool:
    """Whether there is a word for each group, none for two."""
    if not groups:
        return True
    places = [at for at, word in enumerate(words) if _one_of(word, groups[0])]
    return any(_placed(groups[1:], words[:at] + words[at + 1 :]) for at in places)


def _one_of(word: str, group: Sequence[str]) -> bool:
    return any(word.startswith(each[:-1]) if each.endswith("*") else word == each for each in group)
