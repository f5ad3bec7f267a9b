"""What hangs on taking a meaning: the risk by which the confirmation policy judges it.

Duty: this judgement, and what would be believed if it were so. The thresholds are
those of :mod:`voicefit.dialogue.confirmation`.
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import hoses
from voicefit.dialogue.confirmation import Risk
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import Kept, Piece
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Meaning, Reading


def risk(turn: Turn, meaning: Meaning, share: float) -> Risk:
    """What hangs on taking a meaning."""
    policy, by_id = turn.knowledge.policy, turn.knowledge.registry.by_id
    if any(isinstance(item, Command) and by_id[item.name].urgent for item in meaning.items):
        return Risk.URGENT
    commands = [item for item in meaning.items if isinstance(item, Command)]
    if commands and not readings_of(meaning) and all(by_id[item.name].harmless for item in commands):
        return Risk.HARMLESS
    if share >= policy.deciding:  # whatever hangs on it
        return Risk.PLAIN
    if any(isinstance(item, Command) and by_id[item.name].costly for item in meaning.items):
        return Risk.COSTLY
    readings = readings_of(meaning)
    if not readings or any(map(hoses.tells_of_a_hose, readings)):
        return Risk.PLAIN  # of an end it decides nothing
    deciding = decides(turn.belief, preview(turn, readings), policy.settled)
    return Risk.DECIDING if deciding else Risk.PLAIN


def decides(before: Belief, after: Belief, settled_from: float) -> bool:
    """Whether the readings conclude the identification or overturn a settled leader."""
    if after.advice.identified:
        return True
    leader = before.leader
    settled = leader is not None and leader.probability >= settled_from
    return settled and (after.leader is None or leader is None or after.leader.part != leader.part)


def preview(turn: Turn, readings: tuple[Reading, ...], replacing: tuple[int, ...] = ()) -> Belief:
    """What would be believed with these readings; they are the last of it."""
    return turn.knowledge.believe(_with(turn.piece, readings, replacing))


def _with(piece: Piece, readings: tuple[Reading, ...], replacing: tuple[int, ...]) -> Piece:
    kept = tuple(k for k in piece.readings if k.number not in replacing)
    return replace(piece, readings=(*kept, *(Kept(-1 - n, reading) for n, reading in enumerate(readings))))
