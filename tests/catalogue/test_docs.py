"""What is made from the tables is up to date, and the examples in the docstrings run."""

from __future__ import annotations

import doctest
import importlib
import json

import pytest

from tools import data_docs
from tools.census import census, census_table
from tools.table_schema import schema
from voicefit.catalogue.load import TABLES
from voicefit.catalogue.tables import belongs, read_table
from voicefit.resources import data_folder


def test_readme_counts_the_rows_that_are_there(texts: dict[str, str]) -> None:
    readme = (data_folder() / "README.md").read_text(encoding="utf-8")
    assert data_docs.readme_with(readme, data_docs.counted_parts(texts)) == readme, "run tools/data_docs.py"


def test_the_census_says_how_sure_it_is(texts: dict[str, str]) -> None:
    figures = [basis for counts in census(texts).values() for basis in counts.elements()]
    assert f"How sure: of {len(figures)} figures {figures.count('memory')} (" in census_table(texts)


def test_schema_file_is_that_of_the_row_types() -> None:
    text = (data_folder() / "schema.json").read_text(encoding="utf-8")
    assert text == data_docs.schema_text(), "run tools/data_docs.py"
    assert json.loads(text) == schema(data_docs.ALL_TABLES)


def test_every_table_has_its_schema(texts: dict[str, str]) -> None:
    families = data_docs.ALL_TABLES
    for path, text in texts.items():
        model = next(model for family, model in families.items() if belongs(path, family))
        assert read_table(path, text, model), path


def test_the_census_counts_filled_cells_by_their_own_basis(texts: dict[str, str]) -> None:
    counts = census(texts)
    assert counts["threads-unified.csv", "size"].total() == len(texts["threads-unified.csv"].splitlines()) - 1
    hexagons = counts["ends-american-flare.csv", "female_hex_in"]
    assert hexagons["read"] == 8 and hexagons["memory"] > 0  # the rows are recalled, eight of their hexagons were read
    assert not any(path.startswith(("sources", "gaps", "provenance")) for path, _ in counts)


def test_every_length_and_angle_has_its_unit_and_every_bare_number_a_range() -> None:
    """Units are the columns' suffixes; a number without one is a count, a ratio or has its unit in the next column."""
    bare = set()
    for family, table in schema(data_docs.ALL_TABLES).items():
        for name, column in table["columns"].items():
            if column["type"] == "text":
                continue
            if "unit" not in column:
                bare.add(name)
            if not column.get("several"):
                assert "maximum" in column or "less_than" in column, (family, name)
                assert "minimum" in column or "more_than" in column, (family, name)
    assert bare == {
        *("dash", "dn", "dn_from", "dn_to", "tpi", "odds", "low", "high", "burst_ratio"),
        *("ball_nose_share", "seals_a_joint"),
    }


@pytest.mark.parametrize("family", TABLES)
def test_every_row_has_source_and_basis(family: str) -> None:
    columns = schema()[family]["columns"]
    assert {"source", "basis"} <= set(columns)
    if family != "sources":
        assert columns["source"]["required"] and columns["basis"]["required"]


@pytest.mark.parametrize("name", ["tables", "tolerances", "sizes", "load", "orings"])
def test_examples_in_docstrings(name: str) -> None:
    result = doctest.testmod(importlib.import_module(f"voicefit.catalogue.{name}"))
    assert result.attempted and not result.failed
