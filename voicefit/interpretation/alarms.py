"""Alarms: what must never be missed, by the words in it, however it goes: whoever is hurt does not choose words.

How it works. A command has, beside its phrases, ``alarms``: lines of words that stand together (``wordgroups``). What
the text was understood as gives way to one, but for a sentence of commands alone that was understood to the end: an
urgent command, or a question about it; and readings in another part of it are kept: "it's spraying oil, sixteen pitch".

Duty: this. It must not know what a command does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from voicefit.interpretation.wordgroups import WordGroups
from voicefit.records import Command, Item, Meaning, Measurand, Option, Reading, Rejection

_WHOLE = 0.8  # of a text's letters: it was understood to the end
_CLAUSES = re.compile(r"[,;.!?]\s+|\s+and\s+")


@dataclass(frozen=True, slots=True)
class Alarm:
    command: str
    line: WordGroups


def rung(
    found: tuple[Meaning, ...],
    text: str,
    words: Sequence[str],
    alarms: Iterable[Alarm],
    words_of: Callable[[str], Sequence[str]],
    asked: Option | None = None,
) -> tuple[Meaning, ...] | None:
    """The alarm that a text rings, whatever it was understood as; ``None`` where it rings none.

    ``words_of`` : the words of a part of the text. ``asked`` : what a yes would say now.
    """
    items = found[0].items if found else ()
    if is_called(items, text, asked):
        return None
    for alarm in alarms:
        if alarm.line.is_in(words):
            quiet = [part for part in _CLAUSES.split(text) if not alarm.line.is_in(words_of(part))]
            everywhere = len(quiet) == len(_CLAUSES.split(text))
            readings = () if everywhere else _said_in(quiet, items)
            return (Meaning(text, (Command(alarm.command, text), *readings), 0.0),)
    return None


def is_called(items: Sequence[Item], text: str, asked: Option | None = None) -> bool:
    """Whether a text was understood to its end, as commands alone, or as the answer to what was asked: "came off with
    the hose"."""
    whole = sum(0 if isinstance(item, Rejection) else len(item.heard) for item in items) >= _WHOLE * len(text)
    answers = {asked.measurand} if asked else frozenset[Measurand]()
    return (
        bool(items)
        and whole
        and all(
            isinstance(item, Command) or (isinstance(item, Reading) and item.measurands == answers) for item in items
        )
    )


def ringing(
    text: str, words: Sequence[str], alarms: Iterable[Alarm], words_of: Callable[[str], Sequence[str]]
) -> tuple[str, ...]:
    """The clauses of a text that ring an alarm each by itself; where none does, the text, if it rings one at all."""
    lines = [alarm.line for alarm in alarms if alarm.line.is_in(words)]
    if not lines:
        return ()
    clauses = [part for part in _CLAUSES.split(text) if any(line.is_in(words_of(part)) for line in lines)]
    return tuple(clauses) or (text,)


def _said_in(parts: Sequence[str], items: Sequence[Item]) -> tuple[Reading, ...]:
    """The readings that were said in one of the parts of a text."""
    readings = [item for item in items if isinstance(item, Reading) and not item.guessed]
    return tuple(reading for reading in readings if any(reading.heard in part for part in parts))
