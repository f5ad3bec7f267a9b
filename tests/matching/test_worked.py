"""Worked identifications from published tables: the piece measures what the tables say, and it must be found."""

from __future__ import annotations

import csv
import importlib.util
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.matching.saying import Piece, identify, said
from voicefit.matching import Advisor

WORKED = tomllib.loads((Path(__file__).parent / "worked.toml").read_text(encoding="utf-8"))
CASES: list[dict[str, Any]] = WORKED["worked"]


def piece(case: dict[str, Any]) -> Piece:
    return Piece({**WORKED["family"][case["family"]]["says"], **case["says"]})


def test_there_are_at_least_forty_each_with_its_source() -> None:
    assert len(CASES) >= 40
    assert all(case["source"] and case["basis"] in ("handbook", "memory", "standard") for case in CASES)
    assert all(family["source"] for family in WORKED["family"].values())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_identified_from_published_values(case: dict[str, Any], advisor: Advisor) -> None:
    """From the first diameter on, the advisor's checks, answered by the tables, lead to the right part."""
    matcher = advisor.matcher
    diameter = "outside_diameter" if "outside_diameter" in case["says"] else "inside_diameter"
    readings = [said(diameter, case["says"][diameter])]
    posterior, advice, asked = identify(advisor, piece(case), readings)
    leader = matcher.ends[posterior.best_parts(1)[0][0]]
    true = next(end for end in matcher.ends if end.id == case["id"])
    assert leader.part == true.part, [check.id for check in asked]
    assert advice.identified, (posterior.best_parts(3), [check.id for check in asked])
    assert len(asked) <= 14


def test_never_identified_on_a_thread_that_others_share(advisor: Advisor) -> None:
    """Diameter and pitch, however often measured, never name one of several parts that have that thread."""
    ends = advisor.matcher.ends
    parts: dict[object, set[str]] = {}
    for end in ends:
        if end.thread is not None:
            parts.setdefault((end.thread.designation, end.external), set()).add(end.part)
    tried = 0
    for end in ends:
        if end.thread is None or len(parts[end.thread.designation, end.external]) < 2:
            continue
        measurand = "outside_diameter" if end.external else "inside_diameter"
        diameter = end.thread.external_major_mm[1] if end.external else end.thread.internal_minor_mm[0]
        pitch = f"{end.thread.tpi} tpi" if end.thread.tpi else f"{end.thread.pitch_mm} mm"
        readings = [said(measurand, f"{diameter:.2f} mm"), said("pitch", pitch)] * 3
        assert not advisor.advise(readings).identified, end.id
        tried += 1
    assert tried > 300


def test_the_parallel_pipe_values_are_those_of_an_open_table() -> None:
    """ISO 228-1 as bd_warehouse (PyPI) has it, read without importing the package."""
    spec = importlib.util.find_spec("bd_warehouse")
    assert spec is not None and spec.origin is not None, "pip install --no-deps bd_warehouse"
    [path] = Path(spec.origin).parent.rglob("iso_228_1.csv")
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = {row["size"]: row for row in csv.DictReader(file)}
    seen = 0
    for case in CASES:
        found = re.fullmatch(r"ISO 228-1, G([\d/ ]+): (major|minor) ([\d.]+) mm", case["source"])
        if found:
            size, which, printed = found.groups()
            assert float(rows[size][f"{which}_diameter"]) == float(printed), case["id"]
            assert case["says"]["pitch"] == f"{rows[size]['tpi']} tpi"
            seen += 1
    assert seen >= 10
