"""The person chooses what is checked now: "the tube first", "let's do the pitch".

Duty: ask the check of what is named; what else is open stays to be asked. It must not take the answer.
"""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import asking, hoses, unplaced
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
    check = of_hose(named) if turn.piece.kind == HOSE else unplaced.check_named(turn, named)
    turn.asked = True
    if check is None:
        turn.say("say-it-then")
        return
    if turn.job.mounted and turn.piece.kind != HOSE:
        turn.caution("pressure")
    turn.look(check=check, beside=())
    turn.ask("prompt", prompt=turn.knowledge.prompt(check))


def of_hose(named: frozenset[Measurand]) -> Check | None:
    asked = (topic for topic, (measurand, _) in hoses.ASKED.items() if measurand in named)
    return next((hoses.question(topic.value) for topic in asked), None)


TABLE: Mapping[str, Does] = {"this-first": this_first}
