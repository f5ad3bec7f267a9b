"""Answers that are the same whatever the end is: what is never used twice, who knows the price.

Duty: say the reply of the function's own id. It must not know any of them: a new one is an entry of ``commands.toml``
in the group "asking" and a reply.
"""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Command

ANSWERED = ("opening", "reuse", "sealant", "price", "crimping", "take-off", "beyond")
_BEFORE_OPENING = frozenset({"opening", "take-off"})


def answer(turn: Turn, command: Command) -> None:
    """The answer, what was open staying open; before anything is opened the caution."""
    turn.asked = True
    if command.name in _BEFORE_OPENING:
        turn.caution("pressure", again=True)
    turn.say(command.name)


TABLE: Mapping[str, Does] = dict.fromkeys(ANSWERED, answer)
