"""Of which seat an O-ring is, or which one is denied: "flat, with an o-ring set into it", "no ring" in answer to
whether one is in the face; and whose nut it is: a male has its own.

Duty: this, over the items of one text. It must not know what is on record.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.repairs import as_it_seemed
from voicefit.records import (
    O_RING,
    O_RING_SEALS,
    Command,
    Context,
    Gender,
    Item,
    Meaning,
    Measurand,
    Option,
    Reading,
    Seal,
    SeatForm,
)

_NO = "no"
_IN_IT = re.compile(r"\b(in|into|inside) (it|that|there|the front|(a|the|its) groove)\b")
_NUT, _OWN_NUT = "nut", frozenset({"male", "female", "swivel", "turns", "spins"})  # "a male nut", "a swivel nut"
_WITH = r"[\s,]*(?:(?:and|with|an?|one|it's got|has(?: got)?) )*"
_ANYWHERE = re.compile(r"\b(any|anywhere|nowhere|at all|whatsoever|of any sort)\b", re.I)
_ON_IT = re.compile(r"\b(in|into|on|round|around|over) (it|that|there)\b")
_RING_OF: Mapping[str, tuple[Seal, re.Pattern[str]]] = {
    SeatForm.FLAT: (Seal.FACE_O_RING, _IN_IT),
    SeatForm.CONVEX: (Seal.CONE_O_RING, _ON_IT),
}


def in_its_seat(meaning: Meaning) -> Meaning:
    """The meaning with an O-ring "in it", right behind a seat, as the one of that seat."""
    meaning = _without_its_nut(as_it_seemed(meaning))
    items = list(meaning.items)
    for at, (seat, ring) in enumerate(pairwise(items), start=1):
        if not isinstance(seat, Reading) or not isinstance(ring, Reading):
            continue
        if seat.measurands != {Measurand.SEAT_FORM} or any(o.negated for o in (*seat.options, *ring.options)):
            continue
        seal, where = _RING_OF.get(str(seat.options[0].value), (None, _IN_IT))
        behind = meaning.text[meaning.text.find(ring.heard) :].casefold().split(",")[0]
        there = where.search(behind) or (seal is Seal.FACE_O_RING and _is_of_face(meaning.text, seat.heard, ring.heard))
        if seal is not None and {o.value for o in ring.options} == {O_RING} and there:
            items[at] = replace(ring, options=tuple(replace(option, value=seal) for option in ring.options))
    return replace(meaning, items=tuple(items))


def _without_its_nut(meaning: Meaning) -> Meaning:
    """The meaning without the nut that is named beside a male: it is the male's own, over its tube."""
    said = [item for item in meaning.items if isinstance(item, Reading) and item.measurands == {Measurand.GENDER}]
    male, female = ([i for i in said if _is_surely(i, gender)] for gender in (Gender.MALE, Gender.FEMALE))
    nuts = [item for item in female if _NUT in (words := item.heard.casefold().split()) and _OWN_NUT.isdisjoint(words)]
    return replace(meaning, items=tuple(item for item in meaning.items if item not in nuts)) if male else meaning


def _is_surely(reading: Reading, gender: Gender) -> bool:
    return all(option.value == gender and not option.negated for option in reading.options)


def _is_of_face(text: str, seat: str, ring: str) -> bool:
    """Whether a face is named and, right behind it, a ring and no place: "flat face, o-ring"."""
    said = re.search(rf"{re.escape(seat)}{_WITH}{re.escape(ring)}\W*(?:,|$)", text)
    return said is not None and seat.casefold().endswith("face")


def of_the_face(meaning: Meaning, context: Context) -> Meaning:
    """The meaning with an O-ring as the one in the face that is said with it, where the seal was asked for; and with
    none as a no to the one that was asked about: "no ring", but not "no ring anywhere"."""
    if context.asked is not None and context.asked.value in O_RING_SEALS:
        meaning = _denied(meaning, context.asked)
    seats = [item for item in meaning.items if isinstance(item, Reading) and item.measurands == {Measurand.SEAT_FORM}]
    flat = seats and all(o.value == SeatForm.FLAT and not o.negated for seat in seats for o in seat.options)
    if not flat or Measurand.SEAL not in context.expected:
        return meaning
    placed = (
        replace(item, options=tuple(replace(o, value=Seal.FACE_O_RING) for o in item.options))
        if _is_ring(item, negated=False) and isinstance(item, Reading)
        else item
        for item in meaning.items
    )
    return replace(meaning, items=tuple(placed))


def _denied(meaning: Meaning, asked: Option) -> Meaning:
    """The meaning with O-rings that are denied as the one that was asked about; as a no where nothing else is said."""
    items = tuple(
        replace(item, options=(replace(item.options[0], value=asked.value),))
        if isinstance(item, Reading) and _is_ring(item, negated=True) and not _ANYWHERE.search(item.heard)
        else item
        for item in meaning.items
    )
    only = all(
        item.options == (replace(item.options[0], value=asked.value, negated=True),)
        if isinstance(item, Reading)
        else isinstance(item, Command) and item.name == _NO
        for item in items
    )
    return replace(meaning, items=(Command(_NO, meaning.text),) if only else items)


def _is_ring(item: Item, *, negated: bool) -> bool:
    """Whether it is an O-ring, or none, of which it was not said where."""
    return isinstance(item, Reading) and [(o.value, o.negated) for o in item.options] == [(O_RING, negated)]
