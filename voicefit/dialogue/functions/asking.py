"""Answers that are the same whatever the end is: what is never used twice, who knows the price.

Duty: say the reply of the function's own id. It must not know any of them: a new one is an entry of ``commands.toml``
in the group "asking" and a reply.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from voicefit.dialogue import entries, standing
from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Command

ANSWERED = ("opening", "reuse", "new-ring", "sealant", "price", "crimping", "take-off", "beyond", "binds")
LEAVE = (
    "under-pressure", "makeshift", "hand-tight", "few-turns", "knock-out", "mixing", "hand-on-leak", "damaged",
    "over-torque", "force", "heat",
)  # fmt: skip
DANGER = frozenset({"dangerous", "unsafe", "risky", "bad", "harm", "harmful", "matter", "risk"})
_FAILS = frozenset({"leak", "leaks", "fail", "fails", "blow", "burst"})
_MAY, _ONESELF = frozenset({"can", "could", "may", "shall", "should"}), frozenset({"i", "we"})
_NEED = frozenset({"need", "have"})
_HOSES = frozenset({"hose", "hoses"})


def answer(turn: Turn, command: Command) -> None:
    """The answer, what was open staying open; before anything is opened the caution, where it is not said with it."""
    turn.asked = True
    if command.name == "take-off":
        turn.caution("pressure", again=True)
    elif command.name == "opening" and not turn.has_told("pressure"):
        turn.log(entries.Told(caution="pressure"))
    if command.name == "reuse" and not _HOSES.isdisjoint(command.heard.casefold().split()):
        turn.say("reuse-hose")
        return
    turn.say(command.name)


def leave(turn: Turn, command: Command) -> None:
    """Whether one may: yes or no before anything else; of what is asked to be dangerous the other way round."""
    turn.asked = True
    words = command.heard.casefold().split()
    may = any(one in _MAY and two in _ONESELF for one, two in pairwise(words))  # "can I put my hand on the leak": no
    if not may and not (DANGER | _FAILS).isdisjoint(words):
        turn.say("leave-dangerous", why=turn.knowledge.wording.plain(f"never.{command.name}"))
    elif words[:1] == ["do"] and not _NEED.isdisjoint(words):
        turn.say("leave-needed", why=turn.knowledge.wording.plain(f"never.{command.name}"))
    elif command.name == "knock-out":
        turn.say(command.name)
    else:
        turn.say("leave-no", why=turn.knowledge.wording.plain(f"never.{command.name}"))
    if command.name == "hand-tight" and standing.leads(turn.belief):
        turn.functions["torque"](turn, command)


TABLE: Mapping[str, Does] = {**dict.fromkeys(ANSWERED, answer), **dict.fromkeys(LEAVE, leave)}
