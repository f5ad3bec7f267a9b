"""What words mean by what is known of the end in hand: "turns" or a screw's name behind "how tight", a pressure behind
which it is asked whether it holds, a number of bolts behind an end that is settled, the ring in a flange's face.

Duty: see that. It must not answer.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from voicefit.dialogue.expecting import shape_said
from voicefit.dialogue.hoses import STRAIGHT
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.subjects import flange_in_hand
from voicefit.dialogue.turn import Turn
from voicefit.ordering.screws import Screw
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Measurand, Reading, Seal

_TORQUE = "torque"
_PRESSURE, _HOT = "pressure", "hot"
_TURNS = "turns"  # how tight, or "it turns"
_STRAIGHT = re.compile(r"\bstraight\b", re.I)
_THREAD = re.compile(r"\b(?:threads?|crests?|taper\w*|parallel)\b", re.I)
_END = re.compile(r"\b(?:ends?|sides?|fittings?|hose)\b", re.I)
_OF_A_THREAD = frozenset(
    {Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER, Measurand.PITCH, Measurand.THREAD_SYSTEM}
)
_OF_THE_CRESTS = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.THREAD_SIZE})
_CLAUSE = re.compile(r"[,;.]\s+|\s+(?:and|but)\s+")
_INSIDE_IT = re.compile(
    r"\binside (?:of )?(?:the |its |this )?(?:tube|pipe)\b|\bfrom the inside\b|"
    r"\b(?:tube|pipe)(?:'s| is| has)? (?:inside|internal|bore|i d)\b",
    re.I,
)
_WELL_BELOW = Fraction(9, 10)
_FLANGE = "flange"  # a shape, and what the ids of its series begin with


def as_question(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with "turns" as asking how tight, where the end is known to be one that turns, or that does not; and
    with the screw that it names of a flange, where how tight was just asked."""
    meaning = _of_the_tube(turn, _of_its_form(turn, _of_that_pressure(meaning)))
    if turn.record.end_of(turn.piece) is not None and _counts_bolts(meaning):
        return replace(meaning, items=(Command("aside", meaning.text),))
    if (screw := _screw_named(turn, meaning)) is not None:
        return replace(meaning, items=(screw,))
    known = {t.option.measurand for t in turn.belief.taken}
    turns = [i for i in meaning.items if isinstance(i, Reading) and i.guessed and i.heard.casefold() == _TURNS]
    if not turns or len(meaning.items) != 1 or Measurand.GENDER not in known:
        return meaning
    return replace(meaning, items=(Command(_TORQUE, meaning.text),))


def _of_its_form(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning without "straight" as a parallel thread, where it is said of the form of a hose's end: that has no
    elbow. Of a thread it is where that is asked for, or anything of a thread is said beside it or known of the end."""
    if all(piece.kind != HOSE for piece in turn.job.pieces) or _THREAD.search(meaning.text):
        return meaning
    said = {measurand for reading in readings_of(meaning) for measurand in reading.measurands}
    known = {t.option.measurand for t in turn.belief.taken} if _END.search(meaning.text) is None else set()
    asked = {check.measurand for check in turn.focus.open_checks}
    if Measurand.TAPER in asked or not _OF_A_THREAD.isdisjoint(said | known):
        return meaning
    items = tuple(item for item in meaning.items if not (isinstance(item, Reading) and _is_straight(item)))
    return (
        meaning
        if items == meaning.items
        else replace(meaning, items=items or (Command("one-elbow", meaning.text, argument=STRAIGHT),))
    )


def _of_the_tube(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with an outside diameter as the tube's, where that is asked for, the thread has its size and this is
    well below it, as a tube is that goes through its nut; and without what is inside the tube, which tells no end."""
    taken = [t.option for t in turn.belief.taken if t.option.measurand in _OF_THE_CRESTS and not t.option.negated]
    crests = [option.value.mm for option in taken if isinstance(option.value, Quantity)]
    asked = {check.measurand for check in turn.focus.open_checks}
    if Measurand.TUBE_OUTSIDE_DIAMETER not in asked or asked & _OF_THE_CRESTS or _THREAD.search(meaning.text):
        return meaning
    kept = (item for item in meaning.items if not _is_inside_the_tube(item, meaning.text))
    items = tuple(_as_tube(item) if _is_below(item, min(crests, default=None)) else item for item in kept)
    return replace(meaning, items=items or (Command("aside", meaning.text),))


def _as_tube(item: Item) -> Item:
    if not isinstance(item, Reading):
        return item
    return replace(item, options=tuple(replace(o, measurand=Measurand.TUBE_OUTSIDE_DIAMETER) for o in item.options))


def _is_below(item: Item, crests: Fraction | None) -> bool:
    """Whether it is an outside diameter, well below that of the thread (in mm)."""
    if crests is None or not isinstance(item, Reading) or item.measurands != {Measurand.OUTSIDE_DIAMETER}:
        return False
    return all(isinstance(o.value, Quantity) and o.value.mm < _WELL_BELOW * crests for o in item.options)


def _is_inside_the_tube(item: Item, text: str) -> bool:
    """Whether it is told of the tube's inside: "from the inside the tube is twelve". The bore that takes it has its
    size."""
    if not isinstance(item, Reading) or Measurand.TUBE_OUTSIDE_DIAMETER not in item.measurands:
        return False
    clause = next((each for each in _CLAUSE.split(text) if item.heard in each), text)
    return _INSIDE_IT.search(clause) is not None


def _is_straight(reading: Reading) -> bool:
    return reading.measurands == {Measurand.TAPER} and _STRAIGHT.search(reading.heard) is not None


def _counts_bolts(meaning: Meaning) -> bool:
    """Whether it is a number of bolts: that tells a flange, and behind an end that is settled, nothing of it."""
    match meaning.items:
        case (Reading(heard=heard) as reading,):
            return reading.measurands == {Measurand.SHAPE} and heard.casefold().endswith("bolts")
    return False


def _of_that_pressure(meaning: Meaning) -> Meaning:
    """The meaning with a pressure that is asked about in the next breath as what is asked, and no reading; hot oil that
    runs in it is no alarm there: "hot oil, two hundred bar, will it take it"."""
    asks = next((i for i in meaning.items if isinstance(i, Command) and i.name == _PRESSURE and not i.about), None)
    said = tuple(i for i in meaning.items if isinstance(i, Reading) and i.measurands == {Measurand.PRESSURE})
    if asks is None or not said:
        return meaning
    others = (i for i in meaning.items if i not in (*said, asks) and not (isinstance(i, Command) and i.name == _HOT))
    return replace(meaning, items=(*others, replace(asks, about=said)))


def _screw_named(turn: Turn, meaning: Meaning) -> Command | None:
    """The question how tight, of the screw that is named and nothing else; not of what was asked of the head."""
    *when, sizes = turn.before.focus.which_screw
    asked = sizes if when == [turn.piece.number, turn.record.readings_made] else ()
    if not (asked or _TORQUE in turn.before.last.did) or flange_in_hand(turn) is None:
        return None
    named = turn.knowledge.language.screw(meaning.text, asked)
    if named is None:
        return None
    of_the_head = Measurand.FLANGE_HEAD_THICKNESS in {check.measurand for check in turn.before.focus.open_checks}
    if of_the_head and Screw.of(named).size is None:
        return None
    return Command(_TORQUE, meaning.text, argument=named)


def with_its_ring(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with the ring in a flange's face as the flange's ring, which lies nowhere else."""
    readings = [item for item in meaning.items if isinstance(item, Reading)]
    rings = [reading for reading in readings if any(o.value == Seal.FACE_O_RING for o in reading.options)]
    options = [option for reading in readings for option in reading.options if not option.negated]
    told = any(str(option.value).startswith(_FLANGE) for option in options if option.measurand is not Measurand.SEAL)
    told = told or shape_said(turn.knowledge, turn.belief, meaning) == _FLANGE
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
