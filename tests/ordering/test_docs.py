"""The documentation says what the program does."""

from __future__ import annotations

from pathlib import Path

from voicefit.journal.store import LINE_SUFFIXES, SQLITE_SUFFIXES
from voicefit.ordering.stock_list import COLUMNS

TEXT = (Path(__file__).parent.parent.parent / "docs" / "orders.md").read_text(encoding="utf-8")


def test_the_headings_of_a_stock_list() -> None:
    for field, headings in COLUMNS.items():
        assert f"| {field} | {', '.join(headings)} |" in TEXT


def test_the_names_of_stores() -> None:
    for suffix in (*LINE_SUFFIXES, *SQLITE_SUFFIXES):
        assert f"`…{suffix}`" in TEXT
