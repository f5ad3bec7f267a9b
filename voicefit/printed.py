"""Readings and candidates of an answer as lines of print, for the terminal and the page alike.

Duty: format. It must not print, and must not decide what is shown.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicefit.documents import CandidateDocument, ReadingDocument

_ON_A_RULE = frozenset({1, 2, 4, 8, 16, 32, 64})  # denominators
UNIT_SIGNS = {"deg": "°", "1": ""}


def reading_line(reading: ReadingDocument) -> str:
    """One reading as taken, with the millimetres beside an inch."""
    name = reading.measurand.value.replace("_", " ")
    value = str(reading.value).replace("_", " ") if reading.value_exact is None else _figures(reading.value_exact)
    unit = "" if reading.unit is None else UNIT_SIGNS.get(reading.unit.value, f" {reading.unit.value}")
    negation = "not " if reading.negated else ""
    beside = ""
    if reading.value_mm is not None and reading.unit is not None and reading.unit.value != "mm":
        beside = f" ({reading.value_mm:.2f} mm)"
    elif reading.unit is not None and reading.unit.value == "mm" and isinstance(reading.value, float):
        value = f"{reading.value:g}"
    return f"{name} {negation}{value}{unit}{beside}"


def _figures(exact: str) -> str:
    """A fraction as rules and drills have them, anything else as a decimal: ``1 5/16``, ``0.51`` for 51/100."""
    value = Fraction(exact)
    if value.denominator not in _ON_A_RULE:
        return f"{float(value):g}"
    whole, rest = divmod(value, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"


def candidate_line(candidate: CandidateDocument) -> str:
    """One candidate with its probability."""
    return f"{candidate.probability:6.1%}  {candidate_name(candidate)}"


def candidate_name(candidate: CandidateDocument) -> str:
    """The end in print: its series, thread, gender and size."""
    parts = [candidate.name, candidate.thread or "", candidate.gender]
    if candidate.dash is not None:
        parts.append(f"dash {candidate.dash}")
    if candidate.tube_od_mm is not None:
        parts.append(f"tube {candidate.tube_od_mm:g} mm")
    return ", ".join(part for part in parts if part)
