"""What was said, as what it is of the piece in hand and beside what is being asked.

How it works. Each step takes a meaning and gives it changed: a size said in both units is one; a cone "inside" of a
swivel nut is its nose or its funnel; a diameter of a flange is that of its head; an angle said while leaves are laid in
is that of the flanks. What a word says by the end that it is said of is of :mod:`voicefit.dialogue.by_its_end`,
and of what a yes or no is, of :mod:`voicefit.dialogue.naming`.

Duty: these steps. It must not choose of which check a bare value is (:mod:`voicefit.dialogue.answering`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import by_its_end, naming
from voicefit.dialogue.expecting import shape_said
from voicefit.dialogue.record import END
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity
from voicefit.records import Command, Gender, Item, Meaning, Measurand, Option, Reading, Seal, SeatForm

_YES_NO = frozenset({"yes", "no"})
FLUIDS = "fluids"  # the group of functions that tell which seals suit a fluid
_HYDRAULIC = "hydraulic"
_NUTS = frozenset({"nut", "swivel"})
_CONES, _INSIDE = frozenset({"cone", "seat", "flare", "taper"}), frozenset({"inside", "in"})
_GOES = frozenset({"goes", "go", "dips", "slopes", "points", "cut", "machined", "recessed"})
_EITHER = (SeatForm.CONVEX, SeatForm.RECESSED)
_RECESSED = (Measurand.SEAT_FORM, SeatForm.RECESSED.value)
_CHAMFERS = frozenset({"chamfer", "chamfered", "bevel", "bevelled", "countersunk", "countersink"})
_SMALL = frozenset({"small", "tiny", "slight", "narrow", "little", "wee"})
SAID_TWICE_WITHIN = 0.015  # of a size that is said in inches and again in millimeters
SMALLEST_SAID_TWICE_MM = 5.0  # what is smaller may be a pitch
_DIAMETERS = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER})
# A diameter of what has no thread, as what it is: the head of a flange, the part of a coupler that goes in.
_SMOOTH = dict.fromkeys((Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER), Measurand.PROFILE_DIAMETER)
_ACROSS: Mapping[str, Mapping[Measurand, Measurand]] = {
    "flange": {Measurand.OUTSIDE_DIAMETER: Measurand.FLANGE_HEAD_DIAMETER},
    **dict.fromkeys(("coupler", "staple"), _SMOOTH),
    "banjo": {  # its bolt has a thread outside
        Measurand.OUTSIDE_DIAMETER: Measurand.OUTSIDE_DIAMETER,
        Measurand.INSIDE_DIAMETER: Measurand.PROFILE_DIAMETER,
    },
}


def resolved(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning after all of the steps that hold now."""
    shape = shape_said(turn.knowledge, turn.belief, meaning) or ""
    asked = any(check.measurand is Measurand.PROFILE_DIAMETER for check in turn.focus.open_checks)
    if across := _ACROSS.get(shape) or (_SMOOTH if asked else None):
        meaning = _across(meaning, across)
    meaning = by_its_end.meant(turn, _of_its_gender(turn, _without_repeats(meaning)))
    if any(check.measurand is Measurand.FLANK_ANGLE for check in turn.focus.open_checks):
        meaning = _of_the_flanks(turn, meaning)
    if turn.focus.question is not None:
        return meaning
    if turn.piece.kind == END:
        meaning = _of_the_line(turn, meaning)
    return naming.named(turn, _confirmed(turn, _decided(meaning)))


def _without_repeats(meaning: Meaning) -> Meaning:
    """The meaning without a size that was said again in the other unit: "an inch and three quarters, forty-four and a
    half mil" is one size."""
    kept: list[Item] = []
    for item in meaning.items:
        said = [other for other in kept if isinstance(other, Reading)]
        if not (isinstance(item, Reading) and len(item.measurands) > 1 and any(_is_same(item, s) for s in said)):
            kept.append(item)
    return replace(meaning, items=tuple(kept))


def _is_same(again: Reading, first: Reading) -> bool:
    """Whether both are one length, in inches and in millimeters."""
    sizes, others = (
        [o.value for o in reading.options if isinstance(o.value, Quantity) and o.value.is_length and not o.negated]
        for reading in (again, first)
    )
    return any(
        one.unit is not other.unit
        and other.mm >= SMALLEST_SAID_TWICE_MM
        and abs(one.mm - other.mm) <= SAID_TWICE_WITHIN * float(other.mm)
        for one in sizes
        for other in others
    )


def _of_its_gender(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with a cone "inside" of a swivel nut as the nose that it carries or the funnel that it is cut to, and
    the chamfer of a port as that of its O-ring."""
    said = [kept.reading for kept in turn.piece.readings] + [i for i in meaning.items if isinstance(i, Reading)]
    genders = [reading for reading in said if reading.measurands == {Measurand.GENDER}]
    nut = any(not _NUTS.isdisjoint(reading.heard.casefold().split()) for reading in genders)
    port = any(reading.options[0].value == Gender.PORT and not reading.options[0].negated for reading in genders)

    def one(item: Item) -> Item:
        if not isinstance(item, Reading) or {(o.measurand, o.value) for o in item.options} != {_RECESSED}:
            return item
        words, option = set(item.heard.casefold().split()), item.options[0]
        if port and words & _CHAMFERS:
            deep = replace(option, measurand=Measurand.SEAL, value=Seal.BASE_O_RING.value)
            return replace(item, options=(replace(deep, negated=deep.negated or bool(words & _SMALL)),))
        if nut and words & _CONES and words & _INSIDE and not words & _GOES and not option.negated:
            return replace(item, options=tuple(replace(option, value=form.value) for form in _EITHER))
        return item

    return replace(meaning, items=tuple(map(one, meaning.items)))


def _of_the_flanks(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with an angle that a leaf has, said while leaves are laid in, as that of the flanks."""
    leaves = {value for value, _ in turn.knowledge.values[Measurand.FLANK_ANGLE]}

    def one(item: Item) -> Item:
        if not isinstance(item, Reading) or len(item.measurands) < 2:
            return item
        angles = [o for o in item.options if o.measurand is Measurand.SEAT_ANGLE and o.value in leaves]
        flanks = tuple(replace(option, measurand=Measurand.FLANK_ANGLE, log_prior=0.0) for option in angles[:1])
        return replace(item, options=flanks) if flanks else item

    return replace(meaning, items=tuple(map(one, meaning.items)))


def _of_the_line(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with what is named of fluids and lines, said while it is asked what runs in this one, as the answer,
    and that it is hydraulic at any time; what is refused for it is refused all the same."""
    by_id, items = turn.knowledge.registry.by_id, list[Item]()
    asked = any(check.measurand is Measurand.LINE for check in turn.focus.open_checks)
    told = asked and any(isinstance(each, Reading) for each in meaning.items)
    for item in meaning.items:
        function = by_id[item.name] if isinstance(item, Command) else None
        so = isinstance(item, Command) and _HYDRAULIC in item.heard.casefold()
        if isinstance(item, Command) and function is not None and function.carried and (asked or so):
            if not told:
                items.append(Reading(item.heard, tuple(Option(Measurand.LINE, value) for value in function.carried)))
            if function.group == FLUIDS:
                continue
        items.append(item)
    return replace(meaning, items=tuple(items))


def _decided(meaning: Meaning) -> Meaning:
    """The meaning without a yes or no that ends in "hard to tell", nor one that is only what one cannot see, as "light"
    in "I can't see light": that is none."""
    names = [item.name if isinstance(item, Command) else "" for item in meaning.items]
    if "cannot-tell" not in names:
        return meaning
    at = names.index("cannot-tell")
    kept = [
        item
        for place, item in enumerate(meaning.items)
        if names[place] not in _YES_NO or (place > at and not _runs_on(meaning, at, place))
    ]
    return replace(meaning, items=tuple(kept))


def _runs_on(meaning: Meaning, at: int, place: int) -> bool:
    """Whether a command is said right behind another, without a pause."""
    first, second = (
        item.heard.strip() if isinstance(item, Command) else "" for item in (meaning.items[at], meaning.items[place])
    )
    return f"{first} {second}" in meaning.text


def _confirmed(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning without a bare value that only says again, behind a yes, what was read back: "yes, fifty-five"."""
    first, *rest = meaning.items or (None,)
    if not (isinstance(first, Command) and first.name == "yes"):
        return meaning
    before = turn.before.last.heard.casefold()
    new = [
        item for item in rest if not (isinstance(item, Reading) and len(item.measurands) > 1 and item.heard in before)
    ]
    return replace(meaning, items=(first, *new))


def _across(meaning: Meaning, across: Mapping[Measurand, Measurand]) -> Meaning:
    """The meaning with what was said to be measured outside, or inside, as what that is here."""

    def one(item: Item) -> Item:
        if not isinstance(item, Reading) or not item.measurands <= _DIAMETERS | {Measurand.HOSE_BORE}:
            return item
        here = tuple(replace(o, measurand=across[o.measurand]) for o in item.options if o.measurand in across)
        return replace(item, options=here or item.options)

    return replace(meaning, items=tuple(map(one, meaning.items)))
