"""Reasons: why, why not, what else. What they say comes from the matcher's explanations."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Command


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
        turn.look(check=check, lesson=None)
        turn.say("what-else-check", prompt=turn.knowledge.prompt(check))
        return
    possible = replace(turn.piece, impossible=frozenset())
    left_out = turn.knowledge.separating(possible, parts[0].row, parts[1].row)
    if left_out is None:
        turn.say("what-else-no-check")
    else:
        turn.look(check=left_out, lesson=None)
        turn.say("what-else-left-out", prompt=turn.knowledge.prompt(left_out))


TABLE: Mapping[str, Does] = {"why": why, "why-not": why_not, "what-else": what_else}
