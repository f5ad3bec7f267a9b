"""Figures of one joint from many books: what is drawn into one span, what stays apart, and which is said first.

The figures are made up; what belongs together is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from voicefit.catalogue.conditions import Duty, HoldsFor, MadeOn, Material, SealedBy, Use
from voicefit.catalogue.ends import Basis, Figure
from voicefit.ordering.rating import lowest, rating_of
from voicefit.ordering.room import Ordering
from voicefit.ordering.spans import drawn_together, of_machines


def figure(low: float, high: float, source: str, basis: Basis = Basis.HANDBOOK, **holds: Any) -> Figure:
    held = HoldsFor(**holds) if holds else None
    return Figure(low, high, "N·m", source, "1999", basis, "said so", held)


def test_one_alone_is_left_as_it_is() -> None:
    alone = figure(40, 50, "a", duty=Duty.HEAVY)
    assert drawn_together([alone], {}) == (alone,)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({}, {}),
        ({"material": Material.STEEL}, {}),  # of fittings that name no material, steel is meant
        ({"lubrication": "lubricated"}, {"lubrication": "dry"}),
        ({"remark": "page 3"}, {}),
    ],
)
def test_figures_of_one_thing_are_one_span_with_all_its_sources(
    one: dict[str, object], other: dict[str, object]
) -> None:
    (span,) = drawn_together([figure(40, 50, "a", **one), figure(35, 45, "b", **other), figure(38, 60, "a", **one)], {})
    assert (span.low, span.high, span.source, span.more_sources) == (35, 60, "a", ("b",))
    assert span.edition == "" and span.condition == (span.holds_for.words({}) if span.holds_for else "")
    assert span.holds_for is not None and span.holds_for.lubrication is None and span.holds_for.remark == ""


@pytest.mark.parametrize(
    "other",
    [
        {"material": Material.ALUMINIUM},
        {"port_material": Material.IRON},
        {"duty": Duty.LIGHT},
        {"made_on": MadeOn.TUBE},
        {"adjustable": "yes"},
        {"sealed_by": SealedBy.CAPTURED_RING},
        {"stud_of": "orfs"},
        {"use": Use.AIRCRAFT},
    ],
)
def test_figures_of_two_things_stay_apart(other: dict[str, object]) -> None:
    found = drawn_together([figure(40, 50, "a"), figure(35, 45, "b", **other)], {})
    assert [(each.low, each.high, each.more_sources) for each in found] == [(40, 50, ()), (35, 45, ())]
    turns = replace(figure(35, 45, "b"), unit="turn")
    assert len(drawn_together([figure(40, 50, "a"), turns], {})) == 2


@pytest.mark.parametrize(
    ("low", "high", "kept"), [(40, 50, False), (42, 48, False), (39.9, 50, True), (40, 50.1, True), (60, 70, True)]
)
def test_what_is_recalled_within_what_was_read_is_not_repeated(low: float, high: float, kept: bool) -> None:
    read, recalled = figure(40, 50, "a"), figure(low, high, "b", Basis.MEMORY)
    assert drawn_together([recalled, read], {}) == ((read, recalled) if kept else (read,))
    light = figure(low, high, "b", Basis.MEMORY, duty=Duty.LIGHT)  # of another joint
    assert drawn_together([light, read], {}) == (read, light)


def test_what_is_said_first_does_no_harm() -> None:
    """A sealing washer takes half of what a captured ring takes; light duty is first, another trade's practice last."""
    aircraft = figure(10, 12, "d", use=Use.AIRCRAFT)
    ring, washer = (
        figure(x, x, "a", sealed_by=by) for x, by in ((45, SealedBy.CAPTURED_RING), (35, SealedBy.SEALING_WASHER))
    )
    heavy, light = (figure(x, 80, "c", Basis.MEMORY, duty=duty) for x, duty in ((70, Duty.HEAVY), (60, Duty.LIGHT)))
    assert drawn_together([aircraft, ring, heavy, light, washer], {}) == (washer, ring, light, heavy, aircraft)
    assert of_machines([aircraft, ring, washer]) == (ring, washer)
    assert of_machines([aircraft]) == (aircraft,)  # where machines have none of their own


def test_a_line_holds_what_its_weakest_part_holds(ordering: Ordering) -> None:
    """And of one part the lowest figure; parts without one are named, each once."""
    strong, weak = ordering.end("flare37/4/male"), ordering.end("npt/16/male")
    bare, other = ordering.end("npsm/8/female"), ordering.end("flare30-g/6/male")
    assert not bare.pressure and not other.pressure
    for line in ((strong, weak), (weak, strong), (bare, strong, other, weak, bare)):
        rating = rating_of(line)
        assert (rating.bar, rating.weakest) == (min(each.low for each in weak.pressure), weak.id)
        assert rating.figure == lowest(weak)
        assert rating.without_figure == ((bare.id, other.id) if bare in line else ())
    assert (rating_of((bare,)).bar, rating_of((bare,)).weakest, rating_of((bare,)).figure) == (None, None, None)
