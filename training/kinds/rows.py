"""The labelled sentences that the classifier is trained on.

Duty: read them.
"""

from __future__ import annotations

from pathlib import Path

SENTENCES = Path(__file__).with_name("sentences")
Row = tuple[str, str]  # kind, with "!" where it is denied; sentence


def rows_of(folder: Path = SENTENCES) -> dict[str, list[Row]]:
    """The labelled sentences, by file."""
    found: dict[str, list[Row]] = {}
    for path in sorted(folder.glob("*.tsv")):
        lines = path.read_text(encoding="utf-8").splitlines()
        found[path.stem] = [(kind, text) for kind, text in (line.split("\t") for line in lines if line.strip())]
    return found


def kinds_of(rows: dict[str, list[Row]]) -> list[str]:
    return sorted({kind.rstrip("!") for each in rows.values() for kind, _ in each})
