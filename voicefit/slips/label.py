"""Labels with a QR code that carries the slip's JSON; a slip that is too long for one code comes in sheets.

Duty: split, make codes and lay out labels, as bytes. Each sheet is an order slip of its own, valid by the same schema;
its lists behind those of the sheets before it are the whole's. It must not write files and must not change the JSON.
"""

from __future__ import annotations

from collections.abc import Iterator

import segno
from fpdf import FPDF
from fpdf.enums import XPos, YPos

from voicefit.errors import BadInput
from voicefit.ordering import recalled
from voicefit.ordering.slip import OrderSlip, Sheet
from voicefit.ordering.slip_text import NEEDED, flange_lines, seal_name
from voicefit.slips.pdf import FAMILY, new_document, printable

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


def _with(sheet: OrderSlip, field: str, item: object) -> OrderSlip:
    return sheet.model_copy(update={field: (*getattr(sheet, field), item)})


LABEL_MM = (148.0, 105.0)  # A6, lying: as large as a parcel's label, so that a telephone reads the code in one go
CODE_MM = 97.0
MARGIN_MM = 4.0
QUIET_ZONE = 4  # modules, ISO/IEC 18004


def codes(slip: OrderSlip) -> tuple[segno.QRCode, ...]:
    """One code a sheet. Raises ``BadInput`` where an item is too long for any code."""
    return tuple(_code(sheet) for sheet in sheets(slip))


def to_labels(slip: OrderSlip) -> bytes:
    """The labels as PDF, one page a sheet: the code, and in letters the job and what is on it."""
    pdf = new_document("L", (LABEL_MM[1], LABEL_MM[0]), MARGIN_MM)
    pdf.set_auto_page_break(False)
    for sheet in sheets(slip):
        pdf.add_page()
        _draw(pdf, _code(sheet))
        pdf.set_left_margin(CODE_MM + 5)
        pdf.set_y(5)
        for size, style, text in label_lines(sheet):
            pdf.set_font(FAMILY, style=style, size=size)
            pdf.multi_cell(0, size * 0.42, printable(text), new_x=XPos.LMARGIN, new_y=YPos.NEXT, align="L")
            if pdf.get_y() > LABEL_MM[1] - 12:
                break
        pdf.set_left_margin(MARGIN_MM)
    return bytes(pdf.output())


def _code(sheet: OrderSlip) -> segno.QRCode:
    return segno.make_qr(sheet.to_json(), error="l", mode="byte", encoding="ascii", boost_error=True)


def _draw(pdf: FPDF, code: segno.QRCode) -> None:
    matrix = code.matrix
    module = CODE_MM / (len(matrix) + 2 * QUIET_ZONE)
    left, top = 2 + QUIET_ZONE * module, (LABEL_MM[1] - CODE_MM) / 2 + QUIET_ZONE * module
    pdf.set_fill_color(0)
    for row, modules in enumerate(matrix):
        start = None
        for column, dark in enumerate((*modules, 0)):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                pdf.rect(left + start * module, top + row * module, (column - start) * module, module, style="F")
                start = None


def _counted(sheet: OrderSlip) -> Iterator[str]:
    """What is on the sheet, with how many of it, and what a hose still needs."""
    for end in sheet.ends:
        yield f"{end.count} × {end.name}"
    yield from (f"{each.count} × {seal_name(each.seal)}" for each in sheet.seals)
    for hose in sheet.hoses:
        length = () if hose.length_mm is None else (f"{hose.length_mm:.0f} mm long",)
        needed = (f"NEEDED: {', '.join(NEEDED[each] for each in hose.needed)}",) if hose.needed else ()
        yield f"{hose.count} × hose: {'; '.join((hose.name, *length, *hose.ends, *needed))}"
    for chain in sheet.chains:
        yield from (f"{each.count} × {' x '.join(each.names)}" for each in chain.adapters)


def label_lines(sheet: OrderSlip) -> list[tuple[int, str, str]]:
    """What stands in letters beside the code: size in points, style, text."""
    lines = [(9, "B", f"Job {sheet.job}")]
    if sheet.sheet is not None:
        lines.append((8, "", f"Label {sheet.sheet.number} of {sheet.sheet.of}"))
    lines += [(7, "", line) for line in _counted(sheet)]
    flanges = [(end.flange, end.gender == "port") for end in sheet.ends if end.flange is not None]
    lines += [(6, "", line) for flange, port in flanges for line in flange_lines(flange, port=port)]
    if from_memory := recalled.of_slip(sheet):
        lines.append((7, "B", f"From memory, check: {', '.join(from_memory)}"))
    return lines
