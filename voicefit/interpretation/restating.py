"""What is of the thing that was said right before it.

How it works. A diameter may be said once more in finer steps: "almost sixteen outside, like fifteen point eight"; or
begun and then said to its end: "eighteen, eighteen point eight inside". The
longer of two lengths behind "bolts" is the long side's. "Not round" behind the tops of a thread is of those tops. And
who says the angle between the ends says no other one: degrees are then those of the oil. Of two corrections of one
thing in a row the last is meant.

Duty: this, over the items of one text. It must not know what is on record.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Measurand, Option, Reading

_NEAR = Fraction(1, 20)  # of the value
_BOLTS = {Measurand.BOLT_LONG, Measurand.BOLT_SHORT}
_CORRECT = "correct"
_TURN, _HEAT = Measurand.ELBOW_ANGLE, Measurand.TEMPERATURE


def restated(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items, where a loose value and right behind it a number of anything that is near it are one reading: the
    number, of what the loose value is of."""
    kept: list[Item] = []
    for item in items:
        before = kept[-1] if kept else None
        if isinstance(item, Reading) and isinstance(before, Reading):
            if same := tuple(_finer(before, item)):
                kept.pop()
                item = replace(item, heard=f"{before.heard} {item.heard}", options=same)
            elif _is_begun(before, item):
                kept.pop()
            elif both := _both_ways(before, item):
                kept[-1], item = both
            else:
                item = _of_the_crests(before, item)
        elif _corrects_it_too(before, item):
            kept.pop()  # "I said flat, but I meant a shoulder"
        kept.append(item)
    if any(isinstance(item, Reading) and _TURN in item.measurands and _HEAT not in item.measurands for item in kept):
        kept = [_of_the_oil(item) for item in kept]
    return tuple(kept)


def _corrects_it_too(before: Item | None, item: Item) -> bool:
    """Whether two corrections in a row are of one thing: what it is corrected to is the last."""
    if not (isinstance(before, Command) and isinstance(item, Command) and before.name == item.name == _CORRECT):
        return False
    first, last = ({m for reading in each.readings for m in reading.measurands} for each in (before, item))
    return bool(first) and first == last


def _is_begun(bare: Reading, number: Reading) -> bool:
    """Whether a bare whole number is the beginning of the one right behind it: "eighteen, eighteen point eight"."""
    if len(bare.measurands) == 1 or bare.options[0].negated:
        return False
    return any(
        isinstance(one.value, Quantity)
        and isinstance(two.value, Quantity)
        and (one.measurand, one.value.unit) == (two.measurand, two.value.unit)
        and one.value.value == two.value.value // 1 != two.value.value
        and number.heard.casefold().startswith(f"{bare.heard.casefold()} point")
        for one in bare.options
        for two in number.options
    )


def _both_ways(one: Reading, other: Reading) -> tuple[Reading, Reading] | None:
    """The spacing of bolts and a bare length behind it as those of both sides: "bolts fifty-seven, twenty-seven"."""
    if one.measurands != _BOLTS or len(other.measurands) < 2 or any(o.negated for o in (*one.options, *other.options)):
        return None
    for first in one.options:
        for second in other.options:
            a, b = first.value, second.value
            if isinstance(a, Quantity) and isinstance(b, Quantity) and a.unit is b.unit and a.value != b.value:
                sides = (Measurand.BOLT_LONG, Measurand.BOLT_SHORT)[:: 1 if a.value > b.value else -1]
                said = (replace(option, measurand=side) for option, side in zip((first, second), sides, strict=True))
                long, short = (replace(o, log_prior=0.0) for o in said)
                return replace(one, options=(long,)), replace(other, options=(short,))
    return None


def _of_the_crests(crests: Reading, item: Reading) -> Reading:
    """The roundness of a nose right behind the tops of a thread as theirs: "the tips are flat, not round"."""
    of_nose = item.measurands == {Measurand.NOSE} and all(option.value == "ball" for option in item.options)
    if crests.measurands != {Measurand.CREST} or not of_nose:
        return item
    return replace(item, options=tuple(replace(o, measurand=Measurand.CREST, value="rounded") for o in item.options))


def _of_the_oil(item: Item) -> Item:
    if not isinstance(item, Reading) or item.measurands != {_TURN, _HEAT}:
        return item
    return replace(item, options=tuple(replace(o, log_prior=0.0) for o in item.options if o.measurand is _HEAT))


def _finer(loose: Reading, number: Reading) -> Iterator[Option]:
    """The options of the number that may be the loose value said once more."""
    if len(loose.measurands) > 1 or len(number.measurands) == 1 or any(o.hedge is None for o in loose.options):
        return
    for option in number.options:
        if option.measurand in loose.measurands and not option.negated and any(_near(option, o) for o in loose.options):
            yield option


def _near(one: Option, other: Option) -> bool:
    a, b = one.value, other.value
    if not isinstance(a, Quantity) or not isinstance(b, Quantity) or other.negated or not (a.is_length and b.is_length):
        return False
    steps = (a.resolution_mm, b.resolution_mm)
    return steps[0] is not None and steps[1] is not None and steps[0] < steps[1] and abs(a.mm - b.mm) <= _NEAR * b.mm
