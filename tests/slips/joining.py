"""What whoever scans the codes of a long slip does with them."""

from __future__ import annotations

from collections.abc import Iterable

from voicefit.ordering.slip import OrderSlip
from voicefit.slips.label import ITEM_LISTS


def joined(parts: Iterable[OrderSlip]) -> OrderSlip:
    """The whole slip of its sheets, in any order; all of them must be there, and of one slip."""
    found = list(parts)
    if len(found) == 1 and found[0].sheet is None:
        return found[0]
    ordered = sorted(found, key=lambda each: each.sheet.number if each.sheet else 0)
    assert [(each.job, each.sheet and (each.sheet.number, each.sheet.of)) for each in ordered] == [
        (found[0].job, (number, len(found))) for number in range(1, len(found) + 1)
    ]
    lists = {field: tuple(item for sheet in ordered for item in getattr(sheet, field)) for field in ITEM_LISTS}
    return ordered[0].model_copy(update={**lists, "sheet": None})
