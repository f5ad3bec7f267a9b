"""Write what is made from the tables: data/schema.json and the counted parts of data/README.md."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from tools.census import census_table
from tools.coverage import coverage_table, gap_table
from tools.gaps import GapRow, gaps_from
from tools.table_schema import schema
from voicefit.catalogue import load_catalogue
from voicefit.catalogue.load import TABLES
from voicefit.catalogue.tables import Row
from voicefit.ordering.adapters import AdapterRow
from voicefit.ordering.assembly import LengthToleranceRow
from voicefit.ordering.hose import Fluid
from voicefit.ordering.mating import DeclaredRow
from voicefit.resources import data_folder, read_texts

ALL_TABLES: Mapping[str, type[Row]] = {
    **TABLES,
    "gaps": GapRow,
    "adapters": AdapterRow,
    "mating": DeclaredRow,
    "fluids": Fluid,
    "length-tolerances": LengthToleranceRow,
}


def counted_parts(texts: Mapping[str, str]) -> dict[str, str]:
    """The parts of the README by name."""
    known = load_catalogue(texts)
    return {
        "census": census_table(texts),
        "coverage": coverage_table(known.ends),
        "gaps": gap_table(gaps_from(texts, known), known.ends, known.hoses),
    }


def readme_with(readme: str, parts: Mapping[str, str]) -> str:
    """The text with what stands between the two marks of each part replaced."""
    for name, part in parts.items():
        begin, end = f"<!-- {name}: made by tools/data_docs.py -->", f"<!-- end of {name} -->"
        before, found, rest = readme.partition(begin)
        _, ended, after = rest.partition(end)
        if not (found and ended):
            raise SystemExit(f"data/README.md has no marks for {name}")
        readme = f"{before}{begin}\n{part}\n{end}{after}"
    return readme


def schema_text() -> str:
    return json.dumps(schema(ALL_TABLES), ensure_ascii=False, indent=1) + "\n"


def main() -> None:
    folder: Path = data_folder()
    readme = folder / "README.md"
    parts = counted_parts(read_texts(folder, ".csv"))
    readme.write_text(readme_with(readme.read_text(encoding="utf-8"), parts), encoding="utf-8")
    (folder / "schema.json").write_text(schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
