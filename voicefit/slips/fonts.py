"""The letters on paper: a free font with Latin, Greek and Cyrillic, subset and embedded by the PDF library.

Duty: give a document its font, and text the letters the font has. The font comes as a package of its own (Apache
licence 2.0); it must not be looked for on the system, so that a slip looks the same everywhere.
"""

from __future__ import annotations

import importlib.resources
import logging
from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont
from fpdf import FPDF

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
