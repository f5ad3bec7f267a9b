"""Reasons and teaching: why, why not, what else; how a check is made, step by step and by touch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import asking
from voicefit.dialogue.functions import Does
from voicefit.dialogue.state import TRANSITIONS, Checking, Choosing, Confirming, Explaining
from voicefit.dialogue.turn import Turn
from voicefit.records import Check, Command


def why(turn: Turn, command: Command) -> None:
    if not turn.piece.readings:
        turn.say("why-nothing")
        return
    reasons = turn.knowledge.why(turn.piece)
    if reasons:
        turn.say_list(reasons, "why", "reasons")
    else:
        turn.say("why-none")


def why_not(turn: Turn, command: Command) -> None:
    series = command.argument or ""
    name = turn.knowledge.series_words(series)
    if name is None:
        turn.say("why-not-unknown")
        return
    if not turn.piece.readings:
        turn.say("why-nothing")
        return
    leader = turn.belief.leader
    if leader is not None and turn.knowledge.catalogue.ends[leader.row].series == series:
        turn.say("why-not-leads", end=turn.knowledge.end_words(leader.row))
        return
    reasons = turn.knowledge.why_not(turn.piece, series)
    if reasons:
        turn.say_list(reasons, "why-not", "reasons", series=name)
    else:
        turn.say("why-not-open", series=name)


def what_else(turn: Turn, command: Command) -> None:
    parts = turn.belief.parts
    if not turn.piece.readings or len(parts) < 2:
        turn.say("what-else-none")
        return
    turn.say("what-else", end=turn.knowledge.end_words(parts[1].row))
    check = turn.knowledge.separating(turn.piece, parts[0].row, parts[1].row)
    if check is not None:
        turn.look(check=check)
        turn.say("what-else-check", prompt=turn.knowledge.prompt(check))
        return
    possible = replace(turn.piece, impossible=frozenset())
    left_out = turn.knowledge.separating(possible, parts[0].row, parts[1].row)
    if left_out is None:
        turn.say("what-else-no-check")
    else:
        turn.look(check=left_out)
        turn.say("what-else-left-out", prompt=turn.knowledge.prompt(left_out))


def how(turn: Turn, command: Command) -> None:
    check = _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    if turn.focus.question is not None or Explaining not in TRANSITIONS[type(turn.focus.mode)]:
        asking.ask_again(turn)
        return
    turn.look(listing=None)
    turn.turn_to(Explaining(check.id, turn.knowledge.steps(check)))
    say_step(turn)


def by_touch(turn: Turn, command: Command) -> None:
    check = _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    if isinstance(turn.focus.mode, Explaining):
        turn.turn_to(Checking())
    turn.look(listing=None)
    turn.speak(turn.knowledge.touch(check))


def step_on(turn: Turn, by: int) -> None:
    """Another step of the lesson in progress; past the last one the check is asked again."""
    lesson = turn.focus.mode
    assert isinstance(lesson, Explaining)
    at = lesson.at + by
    if at < 0:
        turn.say("first-step", step=lesson.steps[0])
    elif at >= len(lesson.steps):
        turn.turn_to(Checking())
        turn.say("last-step", prompt=turn.prompt())
    else:
        turn.turn_to(replace(lesson, at=at))
        say_step(turn)


def say_step(turn: Turn) -> None:
    """The present step of the lesson."""
    lesson = turn.focus.mode
    assert isinstance(lesson, Explaining)
    count = turn.knowledge.wording.count
    if len(lesson.steps) == 1:
        turn.speak(lesson.steps[0])
        return
    turn.say("step", number=count(lesson.at + 1), count=count(len(lesson.steps)), step=lesson.steps[lesson.at])


def _open_check(turn: Turn) -> Check | None:
    """The check that was prompted, or would be."""
    return turn.focus.check or turn.belief.advice.check


def explain(turn: Turn, command: Command) -> None:
    """What was asked, in other words, then once more."""
    match turn.focus.mode:
        case Confirming():
            turn.say("explain-confirm")
        case Choosing():
            turn.say("explain-choose")
        case _:
            check = turn.focus.check
            if check is None:
                turn.say("explain-nothing")
            else:
                step = turn.knowledge.steps(check)[0]
                turn.ask("explain-check", step=step, prompt=turn.knowledge.prompt(check))


def what_is(turn: Turn, command: Command) -> None:
    turn.speak(turn.knowledge.glossary.means[command.argument or ""])
    turn.asked = True


TABLE: Mapping[str, Does] = {"why": why, "why-not": why_not, "what-else": what_else} | {
    "how": how,
    "explain": explain,
    "what-is": what_is,
    "by-touch": by_touch,
}
