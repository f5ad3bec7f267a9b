"""The labelled sentences that the classifier is trained on.

Duty: read them.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

SENTENCES = Path(__file__).with_name("sentences")
_MARKS = re.compile(r"[\[\]]")
_TALK, FIGURE = frozenset({"nothing", "elsewhere"}), "figure"


class Row(NamedTuple):
    """A sentence. ``kind`` : with ``!`` where it is denied; empty where only the words are labelled. ``told`` : the
    places that tell of the end in hand, from start to end; ``None`` where that is not labelled."""

    kind: str
    text: str
    told: tuple[tuple[int, int], ...] | None


def rows_of(folder: Path = SENTENCES) -> dict[str, list[Row]]:
    """The labelled sentences, by file: of a kind in ``*.tsv``, with marks in ``marked/*.txt``; of the kinds in
    ``contrasts/*.tsv`` only whether the sentence tells. Raises ValueError where two files have one name."""
    found: dict[str, list[Row]] = {}
    for path in sorted([*folder.glob("*.tsv"), *folder.glob("contrasts/*.tsv"), *folder.glob("marked/*.txt")]):
        if path.stem in found:
            raise ValueError(f"{path}: another file has this name, by which it is left out")
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        if path.parent.name == "marked":
            found[path.stem] = [marked(line) for line in lines]
            continue
        rows = [_of_kind(*line.split("\t")) for line in lines]
        if path.parent.name == "contrasts":
            rows = [row._replace(kind="") for row in rows if row.told is not None]
        found[path.stem] = rows
    return found


def kinds_of(rows: dict[str, list[Row]]) -> list[str]:
    return sorted({row.kind.rstrip("!") for each in rows.values() for row in each if row.kind})


def marked(line: str) -> Row:
    """A sentence with what it tells in brackets.

    >>> marked("the book says nineteen but [fourteen fits]")
    Row(kind='', text='the book says nineteen but fourteen fits', told=((27, 40),))
    """
    places = [match.start() - before for before, match in enumerate(_MARKS.finditer(line))]
    return Row("", _MARKS.sub("", line), tuple(zip(places[::2], places[1::2], strict=True)))


def _of_kind(kind: str, text: str) -> Row:
    if kind in _TALK:
        return Row(kind, text, ())
    return Row(kind, text, ((0, len(text)),) if "=" in kind or kind == FIGURE else None)
