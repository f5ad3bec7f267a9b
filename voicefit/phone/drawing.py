"""An end's outline as SVG, one user unit a millimetre, with a bar of 20 mm to hold a rule against.

Duty: draw what :mod:`voicefit.ordering.outline` gives. Size on the screen and colours are the page's: the picture has
classes (``metal``, ``seal``, ``edge``, ``axis``, ``bar``) and no style of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from voicefit.ordering.outline import Area, DrawnAs, Outline

BAR_MM = 20
_EDGE_MM, _GAP_MM, _BAR_ROOM_MM, _LETTERS_MM = 2.0, 8.0, 10.0, 4.0


def to_svg(drawn: Outline, name: str) -> str:
    """The section, the view from the front where there is one, and the bar below them."""
    section_height = max(drawn.height_mm, drawn.front_height_mm)
    wide = drawn.width_mm + (_GAP_MM + drawn.front_width_mm if drawn.front else 0.0)
    wide = max(wide, BAR_MM + 12) + 2 * _EDGE_MM
    high = section_height + _BAR_ROOM_MM + 2 * _EDGE_MM
    axis = _EDGE_MM + section_height / 2
    left = _EDGE_MM - drawn.left_mm
    parts = [part for shape in drawn.shapes for part in _shape(shape, left, axis)]
    parts.append(_line("axis", 0, axis, drawn.width_mm + 2 * _EDGE_MM, axis))
    if drawn.front:
        centre = _EDGE_MM + drawn.width_mm + _GAP_MM + drawn.front_width_mm / 2
        parts += _front(drawn, centre, axis)
    label = escape(f"{name}, cut open, to scale. Not to scale: {drawn.free}.", quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{label}" '
        f'viewBox="0 0 {wide:.2f} {high:.2f}">{"".join((*parts, *_bar(high - _EDGE_MM)))}</svg>'
    )


def _shape(shape: Area, left: float, axis: float) -> Iterator[str]:
    tag = "polygon" if shape.closed else "polyline"
    for side in (1, -1) if shape.mirrored else (1,):
        points = " ".join(f"{left + x:.2f},{axis - side * y:.2f}" for x, y in shape.points)
        yield f'<{tag} class="{shape.role.value}" points="{points}"/>'


def _front(drawn: Outline, x: float, y: float) -> Iterator[str]:
    if drawn.front_square_mm is not None:
        side = drawn.front_square_mm
        yield (
            f'<rect class="{DrawnAs.EDGE.value}" x="{x - side / 2:.2f}" y="{y - side / 2:.2f}" '
            f'width="{side:.2f}" height="{side:.2f}"/>'
        )
    for circle in drawn.front:
        cx, cy = x + circle.centre[0], y - circle.centre[1]
        yield f'<circle class="edge" cx="{cx:.2f}" cy="{cy:.2f}" r="{circle.diameter_mm / 2:.2f}"/>'


def _bar(y: float) -> Iterator[str]:
    x = _EDGE_MM
    yield f'<rect class="bar" x="{x}" y="{y - 1:.2f}" width="{BAR_MM}" height="1"/>'
    for step in range(0, BAR_MM + 1, 5):
        yield _line("tick", x + step, y - 1, x + step, y - (4 if step % 10 == 0 else 2.5))
    yield f'<text class="bar" x="{x + BAR_MM + 1.5}" y="{y:.2f}" font-size="{_LETTERS_MM}">{BAR_MM} mm</text>'


def _line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="{kind}" x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}"/>'
