"""Whether two meanings of the same words go together, so that nobody need be asked which was meant.

Duty: this, of two meanings. It must not weigh them.
"""

from __future__ import annotations

from voicefit.quantities import Quantity
from voicefit.records import Item, Meaning, Measurand, Option, Reading, Rejection

_O_RING = "o_ring"  # wherever it sits


def agree(one: Meaning, best: Meaning) -> bool:
    """Whether the one may say the very same and only leave more open ("three quarters, sixteen" as a thread of that
    name, and as two numbers), says all that the ``best`` says and more, or all but a part of it ("a sixty degree cone"
    is an angle, and may be told as a cone besides), or differs from it in one thing that may be so as well: "a tapered
    nose" is a nose that stands out, and may be a tapered thread."""
    if one.text != best.text or any(isinstance(item, Rejection) for item in (*one.items, *best.items)):
        return False
    if len(one.items) != len(best.items):
        less, more = sorted((one.items, best.items), key=len)
        return all(any(_share(a, b) for b in more) for a in less)
    apart = [(a, b) for a, b in zip(one.items, best.items, strict=True) if not _share(a, b)]
    return not apart or (len(apart) == 1 and _both_so(*apart[0]))


def _share(one: Item, other: Item) -> bool:
    if isinstance(one, Reading) and isinstance(other, Reading):
        return bool(values(one) & values(other))
    return one == other


def _both_so(one: Item, other: Item) -> bool:
    if not isinstance(one, Reading) or not isinstance(other, Reading):
        return False
    return all(_may_both_be(a, b) for a in one.options for b in other.options)


def _may_both_be(one: Option, other: Option) -> bool:
    if isinstance(one.value, Quantity) or isinstance(other.value, Quantity) or one.negated != other.negated:
        return False  # what a number is of is asked
    if one.measurand is not other.measurand or one.negated:
        return True
    return _O_RING in (one.value, other.value) and all(str(each.value).endswith(_O_RING) for each in (one, other))


def values(reading: Reading) -> frozenset[tuple[Measurand, object, bool]]:
    """What a reading may say."""
    return frozenset((option.measurand, option.value, option.negated) for option in reading.options)
