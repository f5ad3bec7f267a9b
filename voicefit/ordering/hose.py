"""Hoses: what is known so far, which hoses of the catalogue fit it, what is asked next; and the fluids in them.

The interview follows the trade's mnemonic: size, temperature, application, material, pressure, ends, delivery.

Duty: hold the answers and choose hoses by them; name the seal compounds that suit a fluid, for a first orientation (the
makers of fluid and seal decide). It must not judge an assembly (:mod:`voicefit.ordering.assembly`) and must not word a
question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Literal

from voicefit.catalogue import Catalogue
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.tables import Row, Several, Text, read_rows
from voicefit.quantities import Quantity
from voicefit.records import Measurand, Option

BORE_SLACK = 0.06  # a bore is measured on a cut rubber edge: common practice, no source
OUTSIDE_SLACK_MM = 1.0  # paint, wear of the cover, a rule on a round hose: common practice, no source


class Topic(StrEnum):
    """What the interview asks for, in its order."""

    SIZE = "size"
    LENGTH = "length"
    TEMPERATURE = "temperature"
    APPLICATION = "application"
    MATERIAL = "material"
    PRESSURE = "pressure"
    ENDS = "ends"
    DELIVERY = "delivery"


class Need(StrEnum):
    """What a hose cannot be made without: common practice, no source. ``KIND`` : its print, its wires, or the pressure
    that it is chosen by."""

    SIZE = "size"
    KIND = "kind"
    LENGTH = "length"
    ENDS = "ends"


@dataclass(frozen=True, slots=True)
class HoseFacts:
    """The answers so far; ``None`` or empty: not said.

    ``hose_type`` : id of a type, from a layline or chosen. ``temperature_c`` : every temperature said.
    ``application``, ``delivery`` : in the user's words or the name of a note. ``fluid`` : id of ``fluids.csv``.
    ``ends`` : ids of the catalogue. ``length_mm`` : between sealing faces. ``one_elbow`` : there is no other, and no
    angle between them. ``routed_bend_deg``, ``routed_radius_mm`` : how far and how tightly the route turns.
    """

    hose_type: str | None = None
    dash: int | None = None
    bore_mm: float | None = None
    outside_mm: float | None = None
    reinforcement: frozenset[str] = frozenset()
    temperature_c: tuple[float, ...] = ()
    application: str | None = None
    fluid: str | None = None
    pressure_bar: float | None = None
    ends: tuple[str, ...] = ()
    delivery: str | None = None
    length_mm: float | None = None
    elbow_angle_deg: float | None = None
    one_elbow: bool = False
    routed_bend_deg: float | None = None
    routed_radius_mm: float | None = None

    @property
    def missing(self) -> tuple[Topic, ...]:
        """What has not been answered, in the order in which it is asked."""
        answered = {
            Topic.SIZE: self.dash is not None or self.bore_mm is not None,
            Topic.LENGTH: self.length_mm is not None,
            Topic.TEMPERATURE: bool(self.temperature_c),
            Topic.APPLICATION: self.application is not None,
            Topic.MATERIAL: self.fluid is not None,
            Topic.PRESSURE: self.pressure_bar is not None,
            Topic.ENDS: len(self.ends) == 2,
            Topic.DELIVERY: self.delivery is not None,
        }
        return tuple(topic for topic in Topic if not answered[topic])

    @property
    def needed(self) -> tuple[Need, ...]:
        """What it cannot be made without and was not said; the counter does without the rest."""
        known = {
            Need.SIZE: self.dash is not None or self.bore_mm is not None,
            Need.KIND: self.hose_type is not None or bool(self.reinforcement) or self.pressure_bar is not None,
            Need.LENGTH: self.length_mm is not None,
            Need.ENDS: len(self.ends) == 2,
        }
        return tuple(need for need in Need if not known[need])


# What a reading says of a hose: the fact, and what of the quantity it is.
_FACT = {
    Measurand.HOSE_BORE: ("bore_mm", "mm"),
    Measurand.HOSE_OUTSIDE_DIAMETER: ("outside_mm", "mm"),
    Measurand.LENGTH: ("length_mm", "mm"),
    Measurand.ELBOW_ANGLE: ("elbow_angle_deg", "value"),
    Measurand.ROUTE_BEND: ("routed_bend_deg", "value"),
    Measurand.ROUTE_RADIUS: ("routed_radius_mm", "mm"),
    Measurand.PRESSURE: ("pressure_bar", "bar"),
}


def facts_from(options: Iterable[Option]) -> HoseFacts:
    """What readings say of a hose; the last of two answers counts, temperatures add up."""
    facts: dict[str, Any] = {}
    for option in options:
        if option.negated:
            continue
        value = option.value
        if isinstance(value, Quantity):
            if option.measurand in _FACT:
                name, unit = _FACT[option.measurand]
                facts[name] = float(getattr(value, unit))
            elif option.measurand is Measurand.DASH:
                facts["dash"] = int(value.value)
            elif option.measurand is Measurand.TEMPERATURE:
                facts["temperature_c"] = (*facts.get("temperature_c", ()), float(value.celsius))
        elif option.measurand is Measurand.HOSE_TYPE:
            facts["hose_type"] = value
        elif option.measurand is Measurand.REINFORCEMENT:
            facts["reinforcement"] = frozenset({value})
    return HoseFacts(**facts)


def fitting(hoses: Iterable[Hose], facts: HoseFacts, *, water_based: bool = False) -> tuple[Hose, ...]:
    """The hoses that nothing said speaks against, those nearest to the measured bore first, then the weakest.

    Of several editions of one size all are given: they differ in pressure, and a layline seldom tells.
    """
    kept = [hose for hose in hoses if _fits(hose, facts, water_based=water_based)]
    return tuple(sorted(kept, key=lambda hose: (_bore_error(hose, facts), hose.pressure_bar, hose.id)))


def _fits(hose: Hose, facts: HoseFacts, *, water_based: bool) -> bool:
    if facts.hose_type is not None and hose.type.id != facts.hose_type:
        return False
    if facts.dash is not None and hose.dash != facts.dash:
        return False
    if facts.reinforcement and hose.type.reinforcement and not facts.reinforcement & set(hose.type.reinforcement):
        return False
    if facts.bore_mm is not None and not _within(
        facts.bore_mm, hose.bore_limits_mm, hose.bore_mm, BORE_SLACK * hose.bore_mm
    ):
        return False
    outside = hose.outside_nominal_mm
    if facts.outside_mm is not None and not _within(
        facts.outside_mm, hose.outside_limits_mm, outside, OUTSIDE_SLACK_MM
    ):
        return False
    if facts.pressure_bar is not None and hose.pressure_bar < facts.pressure_bar:
        return False
    return all(hose.type.allows(each, water_based=water_based) for each in facts.temperature_c)


def _within(value: float, limits: tuple[float | None, float | None], nominal: float | None, slack: float) -> bool:
    low, high = limits
    if low is None and high is None:
        return nominal is None or abs(value - nominal) <= slack
    if low is None:
        low = None if nominal is None else nominal - slack
    return (low is None or value >= low - slack) and (high is None or value <= high + slack)


def _bore_error(hose: Hose, facts: HoseFacts) -> float:
    return 0.0 if facts.bore_mm is None else round(abs(hose.bore_mm - facts.bore_mm), 1)


class Fluid(Row):
    """One row of ``fluids.csv``. ``words`` : what it is called aloud. ``suits``, ``avoid`` : compounds."""

    id: Text
    name: Text
    words: Several
    suits: Several
    avoid: Several
    water_based: Literal["yes", "no"] = "no"


def fluids_from(catalogue: Catalogue, data: Mapping[str, str], faults: Faults = AT_ONCE) -> dict[str, Fluid]:
    """All fluids by id. Notes ``BadTable``."""
    return read_rows(data, "fluids", Fluid, catalogue.sources, faults)
