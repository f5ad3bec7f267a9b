"""Figures of one joint from many publications, drawn together: one span for each thing they differ in.

What was read and what was recalled stay apart, and so do seals, hose and tube, materials, duties and practices; the
same figure for steel, lubricated and not, becomes one range with all its sources.

Duty: group and span. It must not leave a figure out, and must not average.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from voicefit.catalogue.conditions import Duty, HoldsFor, Material, SealedBy
from voicefit.catalogue.ends import Basis, Figure

_APART = HoldsFor()
_Joint = tuple[str, HoldsFor]


def drawn_together(figures: Iterable[Figure], series: Mapping[str, str]) -> tuple[Figure, ...]:
    """One figure a group: of machines before other practices, read before recalled, else in the order given.

    A captured ring's comes after a sealing washer's, which takes half of it, and a heavy duty's after a light one's:
    what is said first does no harm. What is recalled and lies within what was read of the same joint is not repeated.
    ``series`` : id to name, for the conditions in writing.
    """
    groups: dict[tuple[_Joint, Basis], list[Figure]] = {}
    for figure in figures:
        groups.setdefault((_joint(figure), figure.basis), []).append(figure)
    spans = {key: group[0] if len(group) == 1 else _span(group, series) for key, group in groups.items()}
    read: dict[_Joint, list[Figure]] = {}
    for (joint, _), figure in spans.items():
        read.setdefault(joint, []).extend([] if figure.recalled else [figure])
    kept = [
        figure
        for (joint, _), figure in spans.items()
        if not (figure.recalled and any(each.low <= figure.low and figure.high <= each.high for each in read[joint]))
    ]
    return tuple(sorted(kept, key=_when_said))


def _when_said(figure: Figure) -> tuple[bool, bool, bool, bool]:
    holds = figure.holds_for or _APART
    captured, heavy = holds.sealed_by is SealedBy.CAPTURED_RING, holds.duty is Duty.HEAVY
    return holds.use is not None, figure.recalled, captured, heavy


def of_machines(figures: Iterable[Figure]) -> tuple[Figure, ...]:
    """Without those of another practice (aircraft, refrigeration, engines), where machines have any of their own."""
    found = tuple(figures)
    own = tuple(figure for figure in found if not (figure.holds_for and figure.holds_for.use))
    return own or found


def _joint(figure: Figure) -> _Joint:
    """What must be the same for two figures to be of one thing; of fittings that name no material, steel is meant."""
    holds = figure.holds_for or _APART
    material = None if holds.material is Material.STEEL else holds.material
    return figure.unit, holds.model_copy(update={"material": material, "lubrication": None, "remark": ""})


def _span(group: list[Figure], series: Mapping[str, str]) -> Figure:
    holds = [figure.holds_for or _APART for figure in group]
    columns = HoldsFor.model_fields.items()
    differ = {name: column.default for name, column in columns if len({getattr(each, name) for each in holds}) > 1}
    common = holds[0].model_copy(update=differ)
    sources = tuple(dict.fromkeys(figure.source for figure in group))
    return replace(
        group[0],
        low=min(figure.low for figure in group),
        high=max(figure.high for figure in group),
        edition="",
        condition=common.words(series),
        holds_for=common,
        more_sources=sources[1:],
    )
