"""What waits on a question of ours, "...: right?", when something else is said instead of an answer.

Duty: what hangs on it, and what becomes of it. It must not word the question (:mod:`voicefit.dialogue.asking`).
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.state import Choosing, Question
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Meaning, Reading

_OF_THE_TALK = frozenset({"answers", "talk", "listening", "settings"})  # groups of functions: nothing else is said then


def pass_over(turn: Turn, question: Question) -> None:
    """What was said is no answer to it: it is asked once more behind that, then let go, untaken. A command that nobody
    confirms was none, and is not asked about again where what was said instead was not understood either."""
    still = turn.focus.question
    if still is None or replace(still, beneath=question.beneath, replacing=question.replacing) != question:
        return
    by_id = turn.knowledge.registry.by_id
    groups = {by_id[name].group for name in turn.did if name != "aside"}
    if groups and groups <= _OF_THE_TALK and not (turn.rejected or turn.new_readings):
        return
    for_good = any(by_id[command.name].for_good for command in commands(question))
    if question.again or (turn.rejected and not (for_good or hangs(turn, question))):
        turn.settle()
    else:
        turn.turn_to(replace(still, again=True))


def choices(question: Question) -> tuple[Meaning, ...]:
    return question.choices if isinstance(question, Choosing) else (question.meaning,)


def commands(question: Question) -> list[Command]:
    return [item for choice in choices(question) for item in choice.items if isinstance(item, Command)]


def hangs(turn: Turn, question: Question) -> bool:
    """Whether a value, or what is always asked about, hangs on it, which must not be lost."""
    asked = any(turn.knowledge.registry.by_id[command.name].asked for command in commands(question))
    return asked or any(map(readings_of, choices(question)))


def is_about(question: Question, readings: tuple[Reading, ...]) -> bool:
    """Whether readings take the place of what is being asked about."""
    asked = frozenset(m for choice in choices(question) for reading in readings_of(choice) for m in reading.measurands)
    return any(asked & reading.measurands for reading in readings)
