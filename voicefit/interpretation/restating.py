"""A diameter said once more in finer steps: "almost sixteen outside, like fifteen point eight".

Duty: this, over the items of one text. It must not know what is on record.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from voicefit.quantities import Quantity
from voicefit.records import Item, Option, Reading

_NEAR = Fraction(1, 20)  # of the value


def restated(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items, where a loose value and right behind it a number of anything that is near it are one reading: the
    number, of what the loose value is of."""
    kept: list[Item] = []
    for item in items:
        before = kept[-1] if kept else None
        if isinstance(item, Reading) and isinstance(before, Reading) and (same := tuple(_finer(before, item))):
            kept.pop()
            item = replace(item, heard=f"{before.heard} {item.heard}", options=same)
        kept.append(item)
    return tuple(kept)


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
