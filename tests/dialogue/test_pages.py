"""The pages that are made from the registry or that name tests are true."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tools import spoken_docs
from voicefit.dialogue import Knowledge

TOP = Path(__file__).resolve().parent.parent.parent
ROWS = [
    line
    for line in (TOP / "ACCESSIBILITY.md").read_text(encoding="utf-8").splitlines()
    if re.match(r"\| \d", line)
]  # fmt: skip


def test_the_page_of_spoken_functions_is_up_to_date(knowledge: Knowledge) -> None:
    assert (TOP / "SPOKEN.md").read_text(encoding="utf-8") == spoken_docs.page(knowledge.registry)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.split("|")[1].strip())
def test_each_requirement_names_what_shows_it(row: str) -> None:
    _, clause, how, shown_by, _ = (part.strip() for part in row.split("|"))
    assert clause
    assert how
    named = re.findall(r"`([^`]+)`", shown_by)
    assert named or re.search(r"apply|is no |one language", how), "neither a test nor a reason"
    for each in named:
        path, _, test = each.partition("::")
        assert (TOP / path).is_file(), f"{path} is not there"
        if test:
            assert f"def {test}(" in (TOP / path).read_text(encoding="utf-8"), f"{path} has no {test}"


def test_both_clauses_are_gone_through() -> None:
    clauses = {row.split("|")[1].split()[0] for row in ROWS}
    assert {f"5.1.3.{number}" for number in range(1, 17)} | {"5.1.4"} <= clauses
