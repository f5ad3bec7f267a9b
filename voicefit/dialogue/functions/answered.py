"""What a hose is for, and where and when it is wanted: answers that are no readings, by closed sets of words."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue.functions import Does
from voicefit.dialogue.hoses import WHEN, WHERE, with_half
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import Topic
from voicefit.records import Command

# Common practice, no source.
APPLICATIONS = ("pressure-line", "return-line", "suction-line", "pilot-line", "drain-line")


def application(turn: Turn, command: Command) -> None:
    if _of_a_hose(turn):
        words = turn.knowledge.wording.plain(f"answer.{command.name}")
        turn.log("answered", topic=Topic.APPLICATION.value, text=words)
        turn.say("hose-answer", answer=words)


def delivery(turn: Turn, command: Command) -> None:
    """One half of it; the other half that was said stays."""
    if not _of_a_hose(turn):
        return
    before = dict(turn.piece.answers).get(Topic.DELIVERY.value)
    turn.log("answered", topic=Topic.DELIVERY.value, text=with_half(before, command.name))
    turn.say("hose-answer", answer=turn.knowledge.wording.plain(f"answer.{command.name}"))


def _of_a_hose(turn: Turn) -> bool:
    """Whether a hose is in hand; says so where none is."""
    if turn.piece.kind != HOSE:
        turn.say("no-hose")
        return False
    turn.report = True
    return True


TABLE: Mapping[str, Does] = dict.fromkeys(APPLICATIONS, application) | dict.fromkeys((*WHERE, *WHEN), delivery)
