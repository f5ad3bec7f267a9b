"""Which of several values of one thing was right: "the first one was right", "I was right the first time".

How it works. Where several readings of that thing stand side by side, the others are dropped. Where a correction put
one in the place of another, that one comes back in its place: the latest that a correction of it replaced, of "the
first" the earliest. What it was is in the works before (``record.past``): a reading that is no longer on record, of
what one says now that stands on record since.

That light shows is told of the gauge that was last said to fit.

Duty: find it and put it back. What is said with its value is a correction like any other
(:mod:`voicefit.dialogue.corrections`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from voicefit.dialogue import entries, taking
from voicefit.dialogue.expecting import last_gauged
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import Kept
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Reading, option_key

_PLACES = ("first", "second", "third")
_FIRST = re.compile(r"\b(first|original\w*|initial|begin|start)\b")


def was_right(turn: Turn, command: Command) -> None:
    heard = command.heard.casefold()
    if not turn.piece.readings:
        turn.say("nothing-to-correct")
        return
    if turn.focus.question is not None:
        turn.settle()
    named = of_its_place(turn, heard) if any(place in heard.split() for place in _PLACES) else ()
    others = [kept for kept in _alike(turn) if kept not in named]
    if named and others:
        drop(turn, others)
        return
    replaced = _replaced(turn)
    if not replaced:
        turn.say("nothing-of-that")
        return
    old, now = replaced[-1]
    if _FIRST.search(heard):
        old = next(earliest for earliest, at in replaced if at == now)
    if not turn.settings.short:
        turn.say("instead-of", old=words_of(turn, now))
    taking.take(turn, (old.reading,), (now.number,))


def _replaced(turn: Turn) -> list[tuple[Kept, Kept]]:
    """What is no longer on record of the piece in hand, earliest first, each with the latest reading that stands there
    since and can be of nothing else."""
    now = turn.piece.readings
    found: dict[int, tuple[Kept, Kept]] = {}
    for work in turn.record.past:
        for piece in (piece for job in work.jobs for piece in job.pieces if piece.number == turn.piece.number):
            for old in piece.readings:
                since = [kept for kept in now if kept.number > old.number and _is_of_the_same(kept, old)]
                if old not in now and since:
                    found[old.number] = (old, since[-1])
    return list(found.values())


def _is_of_the_same(kept: Kept, old: Kept) -> bool:
    other = option_key(kept.reading.options[0]) != option_key(old.reading.options[0])
    return other and kept.reading.measurands <= old.reading.measurands


def of_its_place(turn: Turn, heard: str) -> Sequence[Kept]:
    """The last reading, or the first, second or third of those of the same thing: "the first one was wrong"."""
    said, alike = heard.casefold().split(), _alike(turn)
    place = next((at for at, word in enumerate(_PLACES) if word in said), None)
    if place is None:
        return () if "other" in said and len(alike) > 1 else turn.piece.readings[-1:]
    return alike[place : place + 1] if len(alike) > 1 else ()


def _alike(turn: Turn) -> Sequence[Kept]:
    """The readings of what the last one was taken as."""
    taken = turn.belief.taken
    of = taken[-1].option.measurand
    return tuple(kept for kept, t in zip(turn.piece.readings, taken, strict=True) if t.option.measurand is of)


def drop(turn: Turn, gone: Sequence[Kept]) -> None:
    """Drop these, and say which."""
    if not gone:
        turn.say("nothing-of-that")
        return
    words = ", ".join(words_of(turn, each) for each in gone)
    for each in gone:
        turn.log(entries.Dropped(number=each.number))
    turn.say("dropped", reading=words)
    turn.report = True


def words_of(turn: Turn, kept: Kept) -> str:
    taken = dict(zip((k.number for k in turn.piece.readings), turn.belief.taken, strict=True))[kept.number]
    return turn.knowledge.wording.reading(taken.option)


def light_shows(turn: Turn, command: Command) -> None:
    """Of the gauge that was last said to fit: it does not."""
    option = last_gauged(turn.belief.taken)
    if option is None:
        turn.functions["aside"](turn, command)
        return
    taking.take(
        turn,
        (Reading(command.heard, (replace(option, negated=True, log_prior=0.0),)),),
        (turn.piece.readings[-1].number,),
    )


TABLE: Mapping[str, Does] = {"was-right": was_right, "light-shows": light_shows}
