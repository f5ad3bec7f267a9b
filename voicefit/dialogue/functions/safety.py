"""Safety talk when it is asked for or when what was said calls for it."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import entries, identification
from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Command

ON_REQUEST = ("pressure", "injection", "hot", "mixing", "maker", "aid")


def safety(turn: Turn, command: Command) -> None:
    """All cautions, three at a time; the one about the line first."""
    texts = tuple(turn.knowledge.wording.cautions[name].rstrip(".") for name in ON_REQUEST)
    for name in ON_REQUEST:
        turn.log(entries.Told(caution=name))
    turn.cautions.extend(turn.knowledge.wording.cautions[name] for name in ON_REQUEST)
    turn.say_list(texts, "listed", "items")


def leak(turn: Turn, command: Command) -> None:
    turn.caution("injection", again=True)


def injected(turn: Turn, command: Command) -> None:
    turn.caution("injected", again=True)


def on_the_machine(turn: Turn, command: Command) -> None:
    if not turn.job.mounted:
        turn.log(entries.Mounted(mounted=True))
    turn.caution("pressure", again=True)
    identification.ask(turn, on_request=True)


def on_the_bench(turn: Turn, command: Command) -> None:
    if turn.job.mounted:
        turn.log(entries.Mounted(mounted=False))
    turn.say("on-the-bench")
    identification.ask(turn, on_request=True)


def out_of_scope(turn: Turn, command: Command) -> None:
    turn.say("out-of-scope", use=turn.knowledge.wording.uses[command.name])


TABLE: Mapping[str, Does] = {
    "safety": safety,
    "leak": leak,
    "injected": injected,
    "on-the-machine": on_the_machine,
    "on-the-bench": on_the_bench,
    "breathing-air": out_of_scope,
    "gas-line": out_of_scope,
    "brake-line": out_of_scope,
    "steering-line": out_of_scope,
    "lifting-people": out_of_scope,
}
