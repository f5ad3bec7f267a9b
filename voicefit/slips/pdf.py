"""The order slip as PDF: its text, then each end and its mate in outline to scale, with a bar of 50 mm to verify the
print; on one page where that holds it.

The letters are those of a free font with Latin, Greek and Cyrillic, subset and embedded by the PDF library. It comes as
a package of its own (Apache licence 2.0); it must not be looked for on the system, so that a slip looks the same
everywhere.

Duty: lay out pages and return bytes. It must not write files and must not compute what is on the slip.
"""

from __future__ import annotations

import importlib.resources
import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast

from fontTools.ttLib import TTFont
from fpdf import FPDF
from fpdf.enums import MethodReturnValue, XPos, YPos

from voicefit.catalogue import Catalogue
from voicefit.ordering.naming import end_name
from voicefit.ordering.outline import DrawnAs, Outline, outline
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_text import to_text

FAMILY = "slip"
_FILES = {"": "Roboto-Regular.ttf", "B": "Roboto-Bold.ttf"}
MISSING = "?"

logging.getLogger("fontTools").setLevel(logging.WARNING)  # it reports each table that it leaves out


def give_fonts(pdf: FPDF) -> None:
    """Let ``pdf.set_font(FAMILY, style="" or "B")`` be used."""
    for style, name in _FILES.items():
        pdf.add_font(FAMILY, style=style, fname=_path(name))


def printable(text: str) -> str:
    """Text in the letters of the font; others become a question mark. The slip's JSON and code keep them."""
    return "".join(letter if ord(letter) in _letters() or letter == "\n" else MISSING for letter in text)


@cache
def _letters() -> frozenset[int]:
    with TTFont(_path(_FILES[""]), lazy=True) as font:
        return frozenset(font.getBestCmap())


def _path(name: str) -> Path:
    return Path(str(importlib.resources.files("font_roboto") / "files" / name))


PAGE_MM = (210.0, 297.0)
MARGIN_MM = 12.0
BAR_MM, BAR_LINE_MM = 50.0, 0.3
LINE_MM = 4.3
GAP_MM = 6.0
BAR_ROOM_MM = 8.0
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
    rows = list(_rows(slip, catalogue))
    if rows:
        if pdf.get_y() + BAR_ROOM_MM + sum(_row_mm(pdf, row) for row in rows) > PAGE_MM[1] - MARGIN_MM:
            pdf.add_page()
        _scale_bar(pdf)
        for row in rows:
            _draw_row(pdf, row)
    return bytes(pdf.output())


@dataclass(frozen=True, slots=True)
class _Drawing:
    title: str
    of: Outline

    @property
    def wide_mm(self) -> float:
        return self.of.width_mm + (GAP_MM + self.of.front_width_mm if self.of.front else 0.0)

    @property
    def high_mm(self) -> float:
        return max(self.of.height_mm, self.of.front_height_mm)

    def scale(self, across_mm: float) -> float:
        room_mm = PAGE_MM[1] - 2 * MARGIN_MM - 30
        fits = (each for each in REDUCED if self.wide_mm * each <= across_mm and self.high_mm * each <= room_mm)
        return next(fits, REDUCED[-1])

    def words(self, across_mm: float) -> str:
        scale = self.scale(across_mm)
        ratio = "1:1" if scale == 1 else f"1:{1 / scale:g}, NOT full size"
        recalled = f" From memory: {', '.join(self.of.recalled)}." if self.of.recalled else ""
        return f"Scale {ratio}. Not to scale: {self.of.free}.{recalled}"


def _rows(slip: OrderSlip, catalogue: Catalogue) -> Iterator[tuple[_Drawing, ...]]:
    """Each end with the first of its mates beside it, or below it where it would be drawn smaller beside it."""
    named = {end_name(end): end for end in reversed(catalogue.ends)}
    for end in slip.ends:
        if (known := catalogue.by_id.get(end.id or "")) is None:
            continue
        pair = [_Drawing(end.name, outline(known, catalogue.orings))]
        if end.mates and (mate := named.get(end.mates[0])) is not None:
            pair.append(_Drawing(f"Mates with: {end.mates[0]}", outline(mate, catalogue.orings)))
        if all(each.scale(_across_mm(len(pair))) == each.scale(_across_mm(1)) for each in pair):
            yield tuple(pair)
        else:
            yield from ((each,) for each in pair)


def _across_mm(drawings: int) -> float:
    return (PAGE_MM[0] - 2 * MARGIN_MM + GAP_MM) / drawings - GAP_MM


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


def _row_mm(pdf: FPDF, row: Sequence[_Drawing]) -> float:
    across = _across_mm(len(row))
    drawn = max(each.high_mm * each.scale(across) for each in row)
    return max(_put_words(pdf, each, 0.0, across, dry_run=True) for each in row) + 2 + drawn + 6


def _draw_row(pdf: FPDF, row: Sequence[_Drawing]) -> None:
    if pdf.get_y() + _row_mm(pdf, row) > PAGE_MM[1] - MARGIN_MM:
        pdf.add_page()
    top, across, bottom = pdf.get_y(), _across_mm(len(row)), pdf.get_y() + _row_mm(pdf, row)
    axis = bottom - 6 - max(each.high_mm * each.scale(across) for each in row) / 2
    for number, each in enumerate(row):
        left = MARGIN_MM + number * (across + GAP_MM)
        pdf.set_y(top)
        _put_words(pdf, each, left, across)
        _draw(pdf, each.of, left, axis, each.scale(across))
    pdf.set_y(bottom)


def _put_words(pdf: FPDF, what: _Drawing, left: float, across: float, *, dry_run: bool = False) -> float:
    """The lines over a drawing; how high they are."""
    high = 0.0
    for style, size, text in (("B", 9, what.title), ("", 8, what.words(across))):
        pdf.set_font(FAMILY, style=style, size=size)
        pdf.set_x(left or MARGIN_MM)
        lines = pdf.multi_cell(
            across,
            LINE_MM,
            printable(text),
            align="L",
            new_x=XPos.LMARGIN,
            new_y=YPos.NEXT,
            dry_run=dry_run,
            output=MethodReturnValue.LINES,
        )
        high += LINE_MM * len(cast(list[str], lines))
    return high


def _draw(pdf: FPDF, drawn: Outline, edge: float, axis: float, scale: float) -> None:
    left = edge - drawn.left_mm * scale
    for shape in drawn.shapes:
        for side in (1, -1) if shape.mirrored else (1,):
            points = [(left + x * scale, axis - side * y * scale) for x, y in shape.points]
            _polygon(pdf, points, shape.role, shape.closed)
    _axis(pdf, edge - 2, edge + drawn.width_mm * scale + 2, axis)
    if drawn.front:
        centre = edge + drawn.width_mm * scale + GAP_MM + drawn.front_width_mm * scale / 2
        _front(pdf, drawn, centre, axis, scale)


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
