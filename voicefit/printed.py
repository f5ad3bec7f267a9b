"""Readings and candidates of an answer as lines of print, for the terminal and the page alike.

Duty: format. It must not print, and must not decide what is shown.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicefit.documents import CandidateDocument, ReadingDocument

UNIT_SIGNS = {"deg": "°", "1": ""}


def reading_line(reading: ReadingDocument) -> str:
    """One reading as taken, with the millimetres beside an inch."""
    name = reading.measurand.value.replace("_", " ")
    value = reading.value_exact if reading.value_exact is not None else str(reading.value).replace("_", " ")
    unit = "" if reading.unit is None else UNIT_SIGNS.get(reading.unit.value, f" {reading.unit.value}")
    negation = "not " if reading.negated else ""
    beside = ""
    if reading.value_mm is not None and reading.unit is not None and reading.unit.value != "mm":
        beside = f" ({reading.value_mm:.2f} mm)"
    elif reading.unit is not None and reading.unit.value == "mm" and isinstance(reading.value, float):
        value = f"{reading.value:g}"
    return f"{name} {negation}{value}{unit}{beside}"


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
