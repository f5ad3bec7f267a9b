"""Where single cells come from: ``provenance.csv`` says it of those that differ from their row.

A row's ``source`` and ``basis`` are those of all its cells but for the ones named here, so that a row whose hexagon was
read and whose ring was recalled says so of each. One line may name several rows and columns: each crossing is a cell.

Duty: the table, checked, and the look-up. It must not hold a fact of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from voicefit.catalogue.ends import Origin
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Row, Several, Text, read_rows


class ProvenanceRow(Row):
    """Cells. ``table`` : family of tables; ``row`` : ids of rows; ``page`` : where in the publication."""

    id: Text
    table: Text
    row: Several
    column: Several
    page: str = ""

    @property
    def cells(self) -> tuple[tuple[str, str, str], ...]:
        """Each by family, row and column."""
        return tuple((self.table, row, column) for row in self.row for column in self.column)


@dataclass(frozen=True, slots=True)
class Provenance:
    """Cells by family, row and column."""

    cells: Mapping[tuple[str, str, str], Origin] = field(default_factory=dict)

    def of(self, family: str, row: Row, *columns: str) -> Origin:
        """Where the value in one of ``columns`` comes from: of the first that has a line of its own, else the row's."""
        for column in columns:
            found = self.cells.get((family, str(getattr(row, "id", "")), column))
            if found is not None:
                return found
        return Origin(row.source, row.basis)


UNKNOWN = Provenance()  # every cell is as its row says


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object],
    models: Mapping[str, type[Row]],
    ids: Callable[[str], Iterable[str]],
    faults: Faults = AT_ONCE,
) -> Provenance:
    """The table. ``models`` : family to type of row; ``ids`` : of a family's rows. Notes a line that is of no cell."""
    rows = read_rows(texts, "provenance", ProvenanceRow, sources, faults)
    known = {family: set(ids(family)) for family in {row.table for row in rows.values()} if family in models}
    for row in rows.values():
        if row.table not in models:
            faults.note(row.bad("table", f"{row.table!r} is no family of tables"))
            continue
        for column in row.column:
            if column not in models[row.table].model_fields:
                faults.note(row.bad("column", f"{column!r} is no column of {row.table}"))
        for name in row.row:
            if faults.lacks(name, known[row.table]):
                faults.note(row.bad("row", f"{name!r} is in no table of {row.table}"))
    return Provenance({cell: Origin(row.source, row.basis) for row in rows.values() for cell in row.cells})
