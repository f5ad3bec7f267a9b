"""A slip in sheets that are small enough for a QR code each, and back.

Duty: split and join. Each sheet is an order slip of its own, valid by the same schema; joined they are the whole.
"""

from __future__ import annotations

from collections.abc import Iterable

from voicefit.errors import BadInput
from voicefit.ordering.slip import OrderSlip, Sheet

COMFORTABLE_BYTES = 1900  # a code of that size can still be printed at a third of a millimetre on a label
ITEM_LISTS = ("ends", "seals", "hoses", "chains", "conventions", "cautions", "notes")
MOST_BYTES = 2953  # QR code version 40-L in byte mode, ISO/IEC 18004


def sheets(slip: OrderSlip, comfortable_bytes: int = COMFORTABLE_BYTES) -> tuple[OrderSlip, ...]:
    """The slip in as few sheets as fit; one sheet without a number where the whole fits.

    The first carries what concerns the whole. Raises ``BadInput`` where a single item is too long for any code.
    """
    if len(slip.to_json()) <= comfortable_bytes:
        return (slip,)
    bare = OrderSlip(job=slip.job, catalogue=slip.catalogue, sheet=Sheet(number=99, of=99))
    pieces: list[tuple[str, object]] = [(field, item) for field in ITEM_LISTS for item in getattr(slip, field)]
    first = bare.model_copy(
        update={"machine": slip.machine, "opened_at": slip.opened_at, "written_at": slip.written_at}
    )
    made = [first]
    for piece in pieces:
        together = _with(made[-1], *piece)
        if len(together.to_json()) <= comfortable_bytes or made[-1] in (bare, first):
            made[-1] = together
        else:
            made.append(_with(bare, *piece))
    if too_long := next((sheet for sheet in made if len(sheet.to_json()) > MOST_BYTES), None):
        name = next(iter(too_long.names), "an item")
        raise BadInput(f"{name}: too long for a QR code ({len(too_long.to_json())} of {MOST_BYTES} bytes)")
    return tuple(
        sheet.model_copy(update={"sheet": Sheet(number=number, of=len(made))}) for number, sheet in enumerate(made, 1)
    )


def joined(parts: Iterable[OrderSlip]) -> OrderSlip:
    """The whole slip of its sheets, in any order. Raises ``BadInput`` where one is missing or is of another slip."""
    found = list(parts)
    if len(found) == 1 and found[0].sheet is None:
        return found[0]
    numbered: dict[int, OrderSlip] = {sheet.sheet.number: sheet for sheet in found if sheet.sheet is not None}
    of = {sheet.sheet.of if sheet.sheet else 0 for sheet in found}
    if len(of) != 1 or sorted(numbered) != list(range(1, max(of) + 1)) or len({sheet.job for sheet in found}) != 1:
        raise BadInput("the sheets are not all there, or not of one slip")
    ordered = [numbered[number] for number in sorted(numbered)]
    lists = {field: tuple(item for sheet in ordered for item in getattr(sheet, field)) for field in ITEM_LISTS}
    return ordered[0].model_copy(update={**lists, "sheet": None})


def _with(sheet: OrderSlip, field: str, item: object) -> OrderSlip:
    return sheet.model_copy(update={field: (*getattr(sheet, field), item)})
