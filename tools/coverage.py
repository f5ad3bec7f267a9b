"""How many ends have a figure of those that could have one, and the tables in Markdown that say so.

Duty: count by series and field. It must not say why a figure is missing: ``data/gaps.csv`` does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from tools.gaps import BY_NOTE, Field, GapRow, name_of
from voicefit.catalogue.ends import CandidateEnd
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.sizes import O_RING_SEALS
from voicefit.records import Gender, Seal


class Count(NamedTuple):
    """``known`` ends of ``of`` that could have the field."""

    known: int
    of: int


_O_RINGS = O_RING_SEALS | {Seal.FLANGE_O_RING, Seal.BORE_O_RING}

# Field to: whether an end could have it, whether it has.
_OF_ENDS: Mapping[Field, tuple[Callable[[CandidateEnd], bool], Callable[[CandidateEnd], bool]]] = {
    Field.DN: (lambda end: True, lambda end: end.dn is not None),
    Field.O_RING: (lambda end: end.seal in _O_RINGS, lambda end: end.o_ring is not None),
    Field.HEX: (
        lambda end: end.thread is not None and end.gender is not Gender.PORT,
        lambda end: bool(end.hex_mm),
    ),
    Field.WALL: (lambda end: end.tube_od_mm is not None, lambda end: end.tube_wall_mm is not None),
    Field.TORQUE: (lambda end: _is_tightened(end), lambda end: bool(end.torque)),
    Field.TURNS: (lambda end: end.thread is not None, lambda end: bool(end.turns)),
    Field.PRESSURE: (lambda end: True, lambda end: bool(end.pressure)),
}


def _is_tightened(end: CandidateEnd) -> bool:
    """By its thread or by the screws of its flange; couplers and staple connectors are pushed together."""
    return end.thread is not None or end.flange is not None


def coverage(ends: Iterable[CandidateEnd], hoses: Iterable[Hose] = ()) -> dict[str, dict[Field, Count]]:
    """Series, or hose as ``gaps.csv`` names it, to field to count.

    A field that nothing of the series could have is left out, and so is another trade's series: it is not ordered.
    """
    found: dict[str, dict[Field, Count]] = {}
    for end in ends:
        if end.trade is not None:
            continue
        counts = found.setdefault(end.series, {})
        for field, (could_have, has) in _OF_ENDS.items():
            if could_have(end):
                _add(counts, field, has(end))
    for hose in hoses:
        _add(found.setdefault(name_of(hose), {}), Field.OUTSIDE, hose.outside_diameter_mm is not None)
    return found


def _add(counts: dict[Field, Count], field: Field, known: bool) -> None:
    before = counts.get(field, Count(0, 0))
    counts[field] = Count(before.known + known, before.of + 1)


def coverage_table(ends: Sequence[CandidateEnd]) -> str:
    """Series by field in Markdown: ends with a figure of those that could have one; a dash where none could."""
    fields = tuple(_OF_ENDS)
    lines = [
        f"| series | ends | {' | '.join(field.replace('_', ' ') for field in fields)} |",
        f"| --- | {' | '.join(['---:'] * (len(fields) + 1))} |",
    ]
    for series, counts in coverage(ends).items():
        number = sum(end.series == series for end in ends)
        lines.append(f"| `{series}` | {number} | {' | '.join(_cell(counts.get(field)) for field in fields)} |")
    return "\n".join(lines)


def _cell(count: Count | None) -> str:
    if count is None:
        return "–"
    return "all" if count.known == count.of else f"{count.known} of {count.of}" if count.known else "none"


def gap_table(rows: Sequence[GapRow], ends: Iterable[CandidateEnd], hoses: Iterable[Hose]) -> str:
    """What is missing and why in Markdown, with the number of ends or hoses it concerns."""
    counts = coverage(ends, hoses)
    lines = ["| no figure of | in | ends or hoses without | why |", "| --- | --- | ---: | --- |"]
    whole, recalled = ([row for row in rows if row.field is field] for field in (Field.WHOLE, Field.SOURCE))
    for row in (row for row in rows if row.field not in BY_NOTE):
        missing = sum(count.of - count.known for s in row.series if (count := counts[s].get(row.field)) is not None)
        named = ", ".join(f"`{series}`" for series in row.series)
        why = f"{row.why}: {row.note}" if row.note else row.why
        lines.append(f"| {row.field.replace('_', ' ')} | {named} | {missing} | {why} |")
    lines += ["", "Not here at all:", "", *(f"- {row.note}" for row in whole)]
    lines += ["", "Here from memory, no open source found:", "", *(f"- {row.note}" for row in recalled)]
    return "\n".join(lines)
