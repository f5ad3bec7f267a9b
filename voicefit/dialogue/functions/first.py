"""The person chooses what is checked now: "the tube first", "let's do the pitch".

Duty: ask the check of what is named; what else is open stays to be asked. It must not take the answer.
"""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import asking, hoses
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.records import Check, Command, Measurand


def this_first(turn: Turn, command: Command) -> None:
    """Ask for what is named; where nothing of ours asks for that, it can be said."""
    if turn.focus.question is not None:
        asking.ask_again(turn)
        return
    named = turn.knowledge.glossary.things[command.argument or ""]
    check = of_hose(named) if turn.piece.kind == HOSE else of_end(turn, named)
    turn.asked = True
    if check is None:
        turn.say("say-it-then")
        return
    if turn.job.mounted and turn.piece.kind != HOSE:
        turn.caution("pressure")
    turn.look(check=check, beside=())
    turn.ask("prompt", prompt=turn.knowledge.prompt(check))


def of_end(turn: Turn, named: frozenset[Measurand]) -> Check | None:
    """The first check of what is named whose answer is a value, of a part that the end may have; ``None``: there is
    none."""
    shown = [check for check in turn.belief.advice.checks if check.measurand in named]
    ways = [entry.check() for entry in turn.knowledge.checks.values() if entry.measurand in named and entry.yes is None]
    return next(iter((*shown, *ways)), None)


def of_hose(named: frozenset[Measurand]) -> Check | None:
    asked = (topic for topic, (measurand, _) in hoses.ASKED.items() if measurand in named)
    return next((hoses.question(topic.value) for topic in asked), None)


TABLE: Mapping[str, Does] = {"this-first": this_first}
