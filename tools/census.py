"""How sure the tables are: figures by table, column and basis, for ``data/README.md``.

A figure is a filled cell that says something of the trade; a range (low, high) is one. Its basis is its row's, but for
the cells that ``provenance.csv`` names. Ids, names and words, the conditions that a figure holds for, and the
bibliography are no figures.

Duty: count and lay out. It must not hold a figure.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator, Mapping

from voicefit.catalogue.conditions import ConditionRow
from voicefit.catalogue.ends import Basis
from voicefit.catalogue.provenance import ProvenanceRow
from voicefit.catalogue.tables import belongs, read_family

_NAMES = """
    id series source basis note name spoken_name words written standard unit past variants nominal edition hose type
    practice code tube_letter ordered_as condition verdict high field why form like system title publication country
"""
LEFT_OUT = frozenset({*_NAMES.split(), *ConditionRow.model_fields} - {"gender", "seal"})
NAMES_THE_SIZE = frozenset({"dash", "tube_mm", "thread"})  # of figures of tightening and pressure
NO_FACTS = ("sources", "provenance", "gaps")
READ = (Basis.STANDARD, Basis.HANDBOOK)
COLUMNS = ("read", "computed", "common practice", "memory")


def census(texts: Mapping[str, str]) -> dict[tuple[str, str], Counter[str]]:
    """Figures by basis, by file and column. ``texts`` : of ``data/``, by file name."""
    cells = {cell: row.basis for row in read_family(texts, "provenance", ProvenanceRow) for cell in row.cells}
    found: dict[tuple[str, str], Counter[str]] = {}
    for path, text in sorted(texts.items()):
        if not path.endswith(".csv") or any(belongs(path, family) for family in NO_FACTS):
            continue
        family = next((table for table, *_ in cells if belongs(path, table)), "")
        for row in csv.DictReader(text.splitlines()):
            for column in _facts(path, row):
                basis = cells.get((family, row["id"], column), row["basis"]) if family else row["basis"]
                found.setdefault((path, column), Counter())[_group(basis)] += 1
    return found


def _facts(path: str, row: Mapping[str, str]) -> Iterator[str]:
    sized = any(belongs(path, family) for family in ("torques", "turns", "pressures"))
    for column, cell in row.items():
        skipped = column in LEFT_OUT or (sized and column in NAMES_THE_SIZE | {"gender", "seal"})
        if cell and not skipped:
            yield column


def _group(basis: str) -> str:
    return "read" if basis in READ else basis


def census_table(texts: Mapping[str, str]) -> str:
    """The census as a table in Markdown, with a line of sums, and a sentence on how sure it is."""
    lines = [f"| table | figure | {' | '.join(COLUMNS)} |", f"| --- | --- | {' | '.join(['---:'] * len(COLUMNS))} |"]
    total: Counter[str] = Counter()
    last = ""
    for (path, column), counts in census(texts).items():
        total += counts
        title = "" if path == last else f"`{path}`"
        last = path
        shown = "low to high" if column == "low" else column.replace("_", " ")
        lines.append(_line(title, shown, counts))
    lines.append(_line("all", "", total))
    figures = total.total()
    memory, practice, read, computed = (
        f"{total[name]} ({total[name] / figures:.0%})" for name in ("memory", "common practice", "read", "computed")
    )
    how_sure = (
        f"How sure: of {figures} figures {memory} are recalled and not read, {practice} are common practice without a "
        f"published source, {read} were read in the source named and {computed} follow by a formula."
    )
    return "\n".join([*lines, "", how_sure])


def _line(title: str, column: str, counts: Counter[str]) -> str:
    return f"| {title} | {column} | {' | '.join(str(counts[name] or '') for name in COLUMNS)} |"
