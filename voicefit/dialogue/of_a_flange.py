"""What words mean while a flange is in hand: a bare screw behind how tight, and the ring in its face.

Duty: these two. It must not say anything.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue.subjects import flange_in_hand
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.screws import SCREWS
from voicefit.ordering.screws import Screw
from voicefit.records import Command, Context, Meaning, Measurand, Reading, Seal

TORQUE = "torque"
_TELL_NOTHING = frozenset({"yes", "aside"})
_FLANGE = "flange"  # a shape, and what the ids of its series begin with


def screw_named(turn: Turn, meaning: Meaning) -> Command | None:
    """The question how tight, of the screw that is named and nothing else; not of what was asked of the head."""
    if TORQUE not in turn.before.last.did or flange_in_hand(turn) is None:
        return None
    if any(isinstance(item, Command) and item.name not in _TELL_NOTHING for item in meaning.items):
        return None
    said = turn.knowledge.language.interpret(f"{meaning.text} {SCREWS}", Context())[0].items
    if len(said) != 1 or not isinstance(said[0], Command) or said[0].name != SCREWS:
        return None
    asked = {check.measurand for check in turn.before.focus.open_checks}
    by_class = Screw.of(said[0].argument or "").size is None
    if by_class and Measurand.FLANGE_HEAD_THICKNESS in asked:
        return None
    return replace(said[0], name=TORQUE, heard=meaning.text)


def with_its_ring(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with the ring in a flange's face as the flange's ring, which lies nowhere else."""
    readings = [item for item in meaning.items if isinstance(item, Reading)]
    rings = [reading for reading in readings if any(o.value == Seal.FACE_O_RING for o in reading.options)]
    options = [option for reading in readings for option in reading.options if not option.negated]
    told = any(str(option.value).startswith(_FLANGE) for option in options if option.measurand is not Measurand.SEAL)
    if not rings or not (told or flange_in_hand(turn) is not None):
        return meaning
    items = tuple(
        _of_the_flange(item) if item in rings and isinstance(item, Reading) else item for item in meaning.items
    )
    return replace(meaning, items=items)


def _of_the_flange(reading: Reading) -> Reading:
    options = (
        replace(each, value=Seal.FLANGE_O_RING) if each.value == Seal.FACE_O_RING else each for each in reading.options
    )
    return replace(reading, options=tuple(options))
