"""What a sentence calls by the words in it, however it goes: alarms, and what was otherwise not understood.

How it works. A command has, beside its phrases, lines of words that stand together (``wordgroups``):

- ``alarms``, of what must never be missed: whoever is hurt does not choose words. What the text was understood as gives
  way, but for a sentence of commands alone that was understood to the end: an urgent command, or a question about it;
  and readings in another part of it are kept: "it's spraying oil, sixteen pitch".
- ``gist``: asked or answered in words that no phrase has ("what would I have to torque that to"). Only where nothing of
  the text was understood, and it is a question, or a few words without a number, which may be a reading misunderstood.
  The command is called of which a line with most groups was found, the first of several in the grammar. A line with a
  "?" is only what a question may be about ("torque"): it calls its command where no other line was found, the one of
  which most is spoken. An answer's lines call it only where what they answer was asked.

A wrong guess costs the person a reply that they did not want.

Duty: this. It must not know what a command does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from voicefit.interpretation.wordgroups import Slots, WordGroups, is_number, read_line
from voicefit.records import Command, Item, Meaning, Reading

if TYPE_CHECKING:
    from voicefit.interpretation.schema import CommandEntry

_WHOLE = 0.8  # of a text's letters: it was understood to the end
_FEW = 10  # words
_EACH_WORD = 0.1  # of what a question is about
_ABOUT = "?"
_PARTS = re.compile(r"[,;.!?]\s+")


@dataclass(frozen=True, slots=True)
class Gist:
    """``alarm`` : whatever else was said. ``about`` : of a question alone. ``answers`` : the rule of answers that must
    be open now, or nothing."""

    command: str
    line: WordGroups
    alarm: bool = False
    about: bool = False
    argument: str | None = None
    answers: str = ""


@dataclass(frozen=True, slots=True)
class Called:
    """A command, and how much of the text speaks of it: the groups of its longest line."""

    command: Command
    groups: int


def gists_of(entry: CommandEntry, lists: Mapping[str, Sequence[str]]) -> tuple[Gist, ...]:
    """The word lists of a command, in their order. Raises ``KeyError`` for a list that there is not."""
    alarms = tuple(Gist(entry.id, read_line(line, lists), alarm=True) for line in entry.alarms)
    return alarms + tuple(
        Gist(
            entry.id,
            read_line(line.removeprefix(_ABOUT), lists),
            about=line.startswith(_ABOUT),
            argument=entry.argument,
        )
        for line in entry.gist
    )


def alarm(
    found: tuple[Meaning, ...],
    text: str,
    words: Sequence[str],
    gists: Iterable[Gist],
    words_of: Callable[[str], Sequence[str]],
) -> tuple[Meaning, ...] | None:
    """The alarm that a text rings, whatever it was understood as; ``None`` where it rings none.

    ``words_of`` : the words of a part of the text.
    """
    items = found[0].items if found else ()
    commands = [item for item in items if isinstance(item, Command)]
    if commands and len(commands) == len(items) and sum(len(each.heard) for each in commands) >= _WHOLE * len(text):
        return None
    for gist in gists:
        if gist.alarm and gist.line.find(words):
            quiet = [part for part in _PARTS.split(text) if gist.line.find(words_of(part)) is None]
            rings = len(quiet) == len(_PARTS.split(text))
            readings = () if rings else _said_in(quiet, items)
            return (Meaning(text, (Command(gist.command, text), *readings), 0.0),)
    return None


def _said_in(parts: Sequence[str], items: Sequence[Item]) -> tuple[Reading, ...]:
    """The readings that were said in one of the parts of a text."""
    readings = [item for item in items if isinstance(item, Reading) and not item.guessed]
    return tuple(reading for reading in readings if any(reading.heard in part for part in parts))


def called(
    text: str,
    words: Sequence[str],
    gists: Sequence[Gist],
    slots: Slots,
    *,
    asks: bool,
    numbers: Set[str],
    answers: Set[str],
) -> Called | None:
    """The command that a text is about of which nothing was understood.

    ``slots`` : the matches of a rule in the text; ``asks`` : it is a question; ``numbers`` : the words of numbers;
    ``answers`` : the rules of answers that are open.
    """
    few = len(words) <= _FEW
    counted = frozenset(at for at in range(len(words)) if is_number(words, at, numbers))
    best: Called | None = None
    about: dict[tuple[str, str | None], tuple[float, frozenset[int]]] = {}
    for gist in gists:
        if gist.alarm or not (asks or (few and not gist.about)) or (gist.answers and gist.answers not in answers):
            continue
        found = gist.line.find(words, slots)
        if found is None or not (asks or counted <= found.all_places):
            continue
        argument = gist.argument or (None if found.value is None else str(found.value))
        if not gist.about:
            if best is None or found.groups > best.groups:
                best = Called(Command(gist.command, text, (), argument), found.groups)
            continue
        weight, places = about.get((gist.command, argument), (0.0, frozenset()))
        weight += (gist.line.weight + 1.0 if places.isdisjoint(found.places) else 0.0) + _EACH_WORD * len(
            found.places - places
        )
        about[gist.command, argument] = (weight, places | found.places)
    if best is not None or not about:
        return best
    name, argument = max(about, key=lambda key: about[key][0])
    return Called(Command(name, text, (), argument), 1)
