"""Safety talk when it is asked for or when what was said calls for it."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import entries, identification, injury
from voicefit.dialogue.functions import Does
from voicefit.dialogue.state import Injury
from voicefit.dialogue.turn import Turn
from voicefit.records import Command

ON_REQUEST = ("pressure", "leak", "hot", "mixing", "maker", "aid")
INJECTED = "injected"
INJURIES = (INJECTED, "in-the-eye", "burnt", "trapped", "struck", "hurt")
REPEATED = ("leak", "hot")  # that nobody need be hurt by: said twice running, it goes on behind it
URGENT = (*INJURIES, "leak", "hot", "smoke", "fire", "falling", "accumulator", "danger")


def safety(turn: Turn, command: Command) -> None:
    """All cautions, three at a time; the one about the line first."""
    texts = tuple(turn.knowledge.wording.cautions[name].rstrip(".") for name in ON_REQUEST)
    for name in ON_REQUEST:
        turn.log(entries.Told(caution=name))
    turn.cautions.extend(turn.knowledge.wording.cautions[name] for name in ON_REQUEST)
    turn.say_list(texts, "listed", "items")


def urgent(turn: Turn, command: Command) -> None:
    """The caution at once, whatever is open; after it what was read in the same breath, and nothing is asked,
    but where the same was just said: who said it again meant to answer. What happened long ago gets one sentence, and
    nothing is open of it."""
    if injury.is_long_ago(turn.heard):
        turn.say("long-ago")
        return
    just_said = command.name in REPEATED and command.name in turn.before.last.did
    turn.asked = turn.alarmed = True  # what was open stays open, and is not asked again now
    turn.caution(command.name, again=True)
    known = injury.is_open(turn)
    if just_said and known is None and turn.focus.check is not None:
        turn.say("open-check", prompt=turn.prompt())
    if command.name == INJECTED and known is not None and known.caution == INJECTED:
        turn.say("if-none-was-hit")  # the way out of it
    if command.name in INJURIES and (known is None or known.caution != INJECTED):  # what may cost the hand stays open
        turn.look(injury=Injury(command.name, turn.job.number))


def all_well(turn: Turn, command: Command) -> None:
    """It was a false alarm. That somebody feels well is none of oil under the skin: what to do is said again."""
    known = injury.is_open(turn)
    if known is not None and known.caution == INJECTED and not injury.is_false_alarm(command.heard):
        turn.functions[known.caution](turn, Command(known.caution, command.heard))
        return
    turn.look(injury=None)
    turn.say("all-well")
    identification.ask(turn, on_request=True)


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
    turn.asked = turn.alarmed = True  # what is refused is not asked about in the same breath
    turn.say("out-of-scope", use=turn.knowledge.wording.uses[command.name])


def for_fuel(turn: Turn, command: Command) -> None:
    """The ends may be hydraulic ones: what else hangs on it is said, and it goes on."""
    turn.say("for-fuel")


TABLE: Mapping[str, Does] = {
    "safety": safety,
    **dict.fromkeys(URGENT, urgent),
    "all-well": all_well,
    "on-the-machine": on_the_machine,
    "on-the-bench": on_the_bench,
    "breathing-air": out_of_scope,
    "gas-line": out_of_scope,
    "brake-line": out_of_scope,
    "steering-line": out_of_scope,
    "lifting-people": out_of_scope,
    "fuel-line": for_fuel,
}
