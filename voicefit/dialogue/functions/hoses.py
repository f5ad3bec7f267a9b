"""Answers about a hose that are no readings, by closed sets of words: what it is for, where, when, which fluid."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import entries, spoken
from voicefit.dialogue.functions import Does
from voicefit.dialogue.hoses import APPLICATIONS, ELBOWS, ONE_ELBOW, STRAIGHT, WHEN, WHERE, with_half
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import Topic
from voicefit.records import Command, Measurand


def application(turn: Turn, command: Command) -> None:
    """What the hose is for; of an end that is being identified it tells nothing."""
    if turn.piece.kind != HOSE and turn.among_others:
        turn.add("aside")
    elif _of_a_hose(turn):
        words = turn.knowledge.wording.plain(f"answer.{command.name}")
        turn.log(entries.Answered(topic=Topic.APPLICATION.value, text=words))
        turn.say("hose-answer", answer=words)


def delivery(turn: Turn, command: Command) -> None:
    """One half of it; the other half that was said stays."""
    if not _of_a_hose(turn):
        return
    before = dict(turn.piece.answers).get(Topic.DELIVERY.value)
    turn.log(entries.Answered(topic=Topic.DELIVERY.value, text=with_half(before, command.name)))
    turn.say("hose-answer", answer=turn.knowledge.wording.plain(f"answer.{command.name}"))


def one_elbow(turn: Turn, command: Command) -> None:
    """An angle is between two elbows: with one there is none, and one that was taken is dropped. Of an end that is
    straight nothing is taken: which of the two it is the order does not say."""
    if command.argument == STRAIGHT:
        turn.say("straight-end")
        turn.report = True
        return
    if not _of_a_hose(turn):
        return
    for kept, taken in zip(turn.piece.readings, turn.belief.taken, strict=True):
        if taken.option.measurand is Measurand.ELBOW_ANGLE:
            turn.log(entries.Dropped(number=kept.number))
    turn.log(entries.Answered(topic=ELBOWS, text=ONE_ELBOW))
    turn.say("one-elbow")


def _of_a_hose(turn: Turn) -> bool:
    """Whether a hose is in hand; says so where none is."""
    if turn.piece.kind != HOSE:
        turn.say("no-hose")
        return False
    turn.report = True
    return True


# The ids of ``data/fluids.csv``; a test holds them against the table.
FLUIDS = (
    "mineral-oil",
    "water-glycol",
    "oil-in-water",
    "phosphate-ester",
    "synthetic-ester",
    "vegetable-oil",
    "diesel",
    "water",
)


def fluid(turn: Turn, command: Command) -> None:
    """Keep the fluid of the hose, if one is in hand, and say which seals suit it."""
    if turn.piece.kind == HOSE:
        turn.log(entries.Answered(topic=Topic.MATERIAL.value, text=command.name))
        turn.report = True
    known = turn.knowledge.aftercare.ordering.fluids[command.name]
    turn.say(
        "fluid",
        fluid=spoken.aloud(known.words[0]),
        suits=", ".join(map(spoken.aloud, known.suits)),
        avoid=", ".join(map(spoken.aloud, known.avoid)),
    )


TABLE: Mapping[str, Does] = (
    {"one-elbow": one_elbow}
    | dict.fromkeys(APPLICATIONS, application)
    | dict.fromkeys((*WHERE, *WHEN), delivery)
    | dict.fromkeys(FLUIDS, fluid)
)
