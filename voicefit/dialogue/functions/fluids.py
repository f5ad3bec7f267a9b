"""The fluid in a hose, named by voice: it decides the compound of hose and seals."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import spoken
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import Topic
from voicefit.records import Command

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
        turn.log("answered", topic=Topic.MATERIAL.value, text=command.name)
        turn.report = True
    known = turn.knowledge.aftercare.ordering.fluids[command.name]
    turn.say(
        "fluid",
        fluid=spoken.aloud(known.words[0]),
        suits=", ".join(map(spoken.aloud, known.suits)),
        avoid=", ".join(map(spoken.aloud, known.avoid)),
    )


TABLE: Mapping[str, Does] = dict.fromkeys(FLUIDS, fluid)
