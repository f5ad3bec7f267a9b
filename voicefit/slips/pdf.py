"""The order slip as PDF: its text, and beside each end an outline to scale with a bar of 50 mm to verify the print.

Duty: lay out pages and return bytes. It must not write files and must not compute what is on the slip.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fpdf import FPDF
from fpdf.enums import XPos, YPos

from voicefit.catalogue import Catalogue
from voicefit.ordering.outline import DrawnAs, Outline, outline
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_text import to_text
from voicefit.slips.fonts import FAMILY, give_fonts, printable

PAGE_MM = (210.0, 297.0)
MARGIN_MM = 12.0
BAR_MM, BAR_LINE_MM = 50.0, 0.3
LINE_MM = 4.3
GAP_MM = 6.0
REDUCED = (1.0, 0.5, 0.25)  # scales tried in turn; what is not 1:1 is said beside the drawing
_FILL = {DrawnAs.METAL: 205, DrawnAs.SEAL: 40}


def to_pdf(slip: OrderSlip, catalogue: Catalogue) -> bytes:
    """The slip as PDF, A4. Ends that today's catalogue does not have are left without an outline."""
    pdf = new_document("P")
    pdf.add_page()
    pdf.set_font(FAMILY, size=9)
    for line in to_text(slip).splitlines():
        bold = line[:1].isdigit() or line.startswith("ORDER SLIP")
        pdf.set_font(FAMILY, style="B" if bold else "", size=12 if line.startswith("ORDER SLIP") else 9)
        indent = 5.0 if line.startswith("   ") else 0.0
        pdf.set_x(MARGIN_MM + indent)
        pdf.multi_cell(0, LINE_MM, printable(line.strip()), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    drawn = [
        (end.name, outline(known, catalogue.orings))
        for end in slip.ends
        if (known := catalogue.by_id.get(end.id or ""))
    ]
    if drawn:
        pdf.add_page()
        _scale_bar(pdf)
        for name, each in drawn:
            _drawing(pdf, name, each)
    return bytes(pdf.output())


def new_document(orientation: str, size: Any = "A4", margin_mm: float = MARGIN_MM) -> FPDF:
    """An empty document in millimetres with its font."""
    pdf = FPDF(orientation=orientation, unit="mm", format=size)
    pdf.set_margin(margin_mm)
    pdf.set_auto_page_break(True, margin_mm)
    pdf.set_creator("voicefit")
    give_fonts(pdf)
    return pdf


def _scale_bar(pdf: FPDF) -> None:
    y = pdf.get_y() + 4
    pdf.set_fill_color(0)
    pdf.rect(MARGIN_MM, y, BAR_MM, BAR_LINE_MM, style="F")  # rectangles: a line's ends would stand out by its width
    for step in range(0, int(BAR_MM) + 1, 10):
        high = 2.5 if step in (0, BAR_MM) else 1.2
        x = min(max(step - BAR_LINE_MM / 2, 0.0), BAR_MM - BAR_LINE_MM)
        pdf.rect(MARGIN_MM + x, y - high, BAR_LINE_MM, high, style="F")
    pdf.set_font(FAMILY, size=8)
    pdf.text(MARGIN_MM + BAR_MM + 3, y, "This bar must measure 50 mm: print at 100 %, not fitted to the page.")
    pdf.set_y(y + 4)


def _drawing(pdf: FPDF, name: str, drawn: Outline) -> None:
    across = PAGE_MM[0] - 2 * MARGIN_MM
    wide = drawn.width_mm + (GAP_MM + drawn.front_width_mm if drawn.front else 0.0)
    high = max(drawn.height_mm, drawn.front_height_mm)
    room = PAGE_MM[1] - 2 * MARGIN_MM - 30
    scale = next((each for each in REDUCED if wide * each <= across and high * each <= room), REDUCED[-1])
    if pdf.get_y() + high * scale + 16 > PAGE_MM[1] - MARGIN_MM:
        pdf.add_page()
    pdf.set_font(FAMILY, style="B", size=9)
    pdf.multi_cell(0, LINE_MM, printable(name), new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    pdf.set_font(FAMILY, size=8)
    ratio = "1:1" if scale == 1 else f"1:{1 / scale:g}, NOT full size"
    pdf.multi_cell(
        0, LINE_MM, printable(f"Scale {ratio}. Not to scale: {drawn.free}."), new_x=XPos.LMARGIN, new_y=YPos.NEXT
    )
    axis = pdf.get_y() + 2 + high * scale / 2
    left = MARGIN_MM - drawn.left_mm * scale
    for shape in drawn.shapes:
        for side in (1, -1) if shape.mirrored else (1,):
            points = [(left + x * scale, axis - side * y * scale) for x, y in shape.points]
            _polygon(pdf, points, shape.role, shape.closed)
    _axis(pdf, MARGIN_MM - 2, MARGIN_MM + drawn.width_mm * scale + 2, axis)
    if drawn.front:
        centre = MARGIN_MM + drawn.width_mm * scale + GAP_MM + drawn.front_width_mm * scale / 2
        _front(pdf, drawn, centre, axis, scale)
    pdf.set_y(axis + high * scale / 2 + 6)


def _polygon(pdf: FPDF, points: Sequence[tuple[float, float]], role: DrawnAs, closed: bool) -> None:
    pdf.set_draw_color(0)
    pdf.set_line_width(0.1)
    if closed:
        pdf.set_fill_color(_FILL[role])
        pdf.polygon(points, style="DF")
    else:
        pdf.polyline(points)


def _axis(pdf: FPDF, x0: float, x1: float, y: float) -> None:
    pdf.set_line_width(0.1)
    pdf.set_dash_pattern(dash=3, gap=1)
    pdf.line(x0, y, x1, y)
    pdf.set_dash_pattern()


def _front(pdf: FPDF, drawn: Outline, x: float, y: float, scale: float) -> None:
    pdf.set_line_width(0.2)
    if drawn.front_square_mm is not None:
        side = drawn.front_square_mm * scale
        pdf.rect(x - side / 2, y - side / 2, side, side)
    for circle in drawn.front:
        pdf.circle(x + circle.centre[0] * scale, y - circle.centre[1] * scale, circle.diameter_mm * scale / 2)
