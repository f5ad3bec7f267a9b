"""Teaching: how a check is made, step by step, and how by touch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue.functions import Does
from voicefit.dialogue.state import Lesson
from voicefit.dialogue.turn import Turn
from voicefit.records import Check, Command


def how(turn: Turn, command: Command) -> None:
    check = _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    turn.look(lesson=Lesson(check.id, turn.knowledge.steps(check)), listing=None)
    say_step(turn)


def by_touch(turn: Turn, command: Command) -> None:
    check = _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    turn.look(lesson=None, listing=None)
    turn.speak(turn.knowledge.touch(check))


def step_on(turn: Turn, by: int) -> None:
    """Another step of the lesson in progress; past the last one the check is asked again."""
    lesson = turn.focus.lesson
    assert lesson is not None
    at = lesson.at + by
    if at < 0:
        turn.say("first-step", step=lesson.steps[0])
    elif at >= len(lesson.steps):
        turn.look(lesson=None)
        turn.say("last-step", prompt=turn.prompt())
    else:
        turn.look(lesson=replace(lesson, at=at))
        say_step(turn)


def say_step(turn: Turn) -> None:
    """The present step of the lesson."""
    lesson = turn.focus.lesson
    assert lesson is not None
    count = turn.knowledge.wording.count
    if len(lesson.steps) == 1:
        turn.speak(lesson.steps[0])
        return
    turn.say("step", number=count(lesson.at + 1), count=count(len(lesson.steps)), step=lesson.steps[lesson.at])


def _open_check(turn: Turn) -> Check | None:
    """The check that was prompted, or would be."""
    return turn.focus.check or turn.belief.advice.check


TABLE: Mapping[str, Does] = {"how": how, "by-touch": by_touch}
