"""Readings: correct, drop, read back, where are we."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import entries, identification, taking
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import Kept
from voicefit.dialogue.state import Correcting
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Reading


def correct(turn: Turn, command: Command) -> None:
    """Replace what the new readings correct: a named value, else the last one that may have such a value."""
    question = turn.focus.question
    if question is not None:
        turn.settle()
        taking.take(turn, command.readings, question.replacing)
        return
    left = list(turn.piece.readings)
    readings, replaced, words = [], [], []
    for reading in command.readings:
        old = _corrected(turn, left, reading)
        if old is not None:
            left.remove(old)
            replaced.append(old.number)
            words.append(_words(turn, old))
            reading = _in_its_place(reading, old.reading)
        readings.append(reading)
    if words and not turn.settings.short:
        turn.say("instead-of", old=", ".join(words))
    taking.take(turn, tuple(readings), tuple(replaced))


def correction(turn: Turn, command: Command) -> None:
    """The value that comes next replaces the last one; what is being asked about is dropped."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
    elif not turn.piece.readings:
        turn.say("nothing-to-correct")
    else:
        turn.leave()
        turn.turn_to(Correcting())
        ask_value(turn)


def ask_value(turn: Turn) -> None:
    """Which value replaces the last one."""
    turn.ask("correct-what", old=_words(turn, turn.piece.readings[-1]))


def _corrected(turn: Turn, left: list[Kept], reading: Reading) -> Kept | None:
    """The latest reading taken as a measurand of the new one, else the latest that may be such a one."""
    taken = {kept.number: t.option.measurand for kept, t in zip(turn.piece.readings, turn.belief.taken, strict=True)}
    for kept in reversed(left):
        if taken[kept.number] in reading.measurands:
            return kept
    for kept in reversed(left):
        if kept.reading.measurands & reading.measurands:
            return kept
    return None


def _in_its_place(reading: Reading, old: Reading) -> Reading:
    """The new reading, held to what the old one may have been, and to the check it answered."""
    options = tuple(option for option in reading.options if option.measurand in old.measurands)
    return replace(reading, options=options or reading.options, asked=old.asked)


def wrong(turn: Turn, command: Command) -> None:
    """Drop the last reading, or what is being asked about."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
        return
    if not turn.piece.readings:
        turn.say("nothing-to-drop")
        return
    last = turn.piece.readings[-1]
    words = _words(turn, last)
    turn.log(entries.Dropped(number=last.number))
    turn.say("dropped", reading=words)
    turn.report = True


def _words(turn: Turn, kept: Kept) -> str:
    taken = dict(zip((k.number for k in turn.piece.readings), turn.belief.taken, strict=True))[kept.number]
    return turn.knowledge.wording.reading(taken.option)


def what_do_you_have(turn: Turn, command: Command) -> None:
    words = identification.read_back_all(turn)
    if not words:
        turn.say("readings-none")
    else:
        turn.say("read-back", readings=", ".join(words))


def where_are_we(turn: Turn, command: Command) -> None:
    wording, job = turn.knowledge.wording, turn.job
    turn.say("place", job=wording.count(job.number), piece=wording.count(job.current + 1))
    leader = turn.belief.leader
    if not turn.piece.readings:
        turn.say("readings-none")
    elif leader is not None and identification.leads(turn.belief):
        concluded = turn.concluded is not None and turn.belief.advice.identified
        turn.say("still-identified" if concluded else "leading", end=turn.knowledge.end_words(leader.row))
    else:
        turn.say("nothing-leads")
    if turn.focus.question is not None:
        return
    identification.ask(turn)


TABLE: Mapping[str, Does] = {
    "correct": correct,
    "correction": correction,
    "wrong": wrong,
    "what-do-you-have": what_do_you_have,
    "where-are-we": where_are_we,
}
