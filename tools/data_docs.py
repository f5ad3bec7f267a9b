"""Write what is made from the tables: data/schema.json and the census in data/README.md."""

from __future__ import annotations

import json
from pathlib import Path

from voicefit.catalogue.schema import census_table, schema
from voicefit.resources import data_folder, read_texts

BEGIN, END = "<!-- census: made by tools/data_docs.py -->", "<!-- end of census -->"


def readme_with_census(readme: str, table: str) -> str:
    """The text with what stands between the two marks replaced."""
    before, _, rest = readme.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{table}\n{END}{after}"


def schema_text() -> str:
    return json.dumps(schema(), ensure_ascii=False, indent=1) + "\n"


def main() -> None:
    folder: Path = data_folder()
    readme = folder / "README.md"
    table = census_table(read_texts(folder, ".csv"))
    readme.write_text(readme_with_census(readme.read_text(encoding="utf-8"), table), encoding="utf-8")
    (folder / "schema.json").write_text(schema_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
