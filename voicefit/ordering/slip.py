"""The order slip: one document for a parts counter, and its published JSON schema.

Duty: the document and its filling from what follows of ends and hoses. It must not draw, print or write files, must not
know a maker's name, and says "no figure" by leaving a figure out. ``OrderSlip.model_json_schema()`` is the schema.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from voicefit.catalogue.ends import Basis, Figure
from voicefit.catalogue.load import Source
from voicefit.ordering import naming
from voicefit.ordering.adapters import Chain
from voicefit.ordering.assembly import Assembly, Fault
from voicefit.ordering.follow import FollowUp, SealNeed
from voicefit.ordering.mating import Reason, Refusal, distinct_parts
from voicefit.ordering.rating import Rating, lowest
from voicefit.records import Seal

NEVER_LISTED = 3  # of the ends that screw on and must not: the likeliest mistakes
MATES_LISTED = 4


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class FigureItem(_Part):
    """A published figure: ``low`` equals ``high`` where one number is printed."""

    low: float
    high: float
    unit: Literal["N·m", "turn", "flat", "bar"]
    source: str
    basis: Basis
    condition: str = ""


class SealItem(_Part):
    kind: Seal
    count: int = Field(ge=0, description="0: the ends seal on each other, nothing to order")
    o_ring: str | None = Field(default=None, description="size number, or inside diameter x section in mm")
    inside_diameter_mm: float | None = None
    section_mm: float | None = None
    on: Literal["this end", "the mate"] = "this end"


class NeverItem(_Part):
    """An end that screws on and must not be mated."""

    name: str
    reason: Reason


class StockItem(_Part):
    """The shop's own: nothing here comes from the catalogue."""

    part_number: str
    bin: str = ""
    quantity: int | None = None


class EndItem(_Part):
    """One end. Without ``id`` it was not identified: then there are only the readings."""

    id: str | None = None
    name: str
    count: int = Field(default=1, ge=1)
    standard: str = ""
    series: str = ""
    gender: Literal["male", "female", "port", "stud"] | None = None
    thread: str | None = None
    dash: int | None = None
    tube_od_mm: float | None = None
    seat: str = ""
    hex_mm: tuple[float, ...] = ()
    seals: tuple[SealItem, ...] = ()
    mates: tuple[str, ...] = ()
    only_if: tuple[str, ...] = ()
    never: tuple[NeverItem, ...] = ()
    torque: tuple[FigureItem, ...] = ()
    turns: tuple[FigureItem, ...] = ()
    pressure: FigureItem | None = Field(default=None, description="lowest published working pressure; none: no figure")
    basis: Basis | None = None
    readings: tuple[str, ...] = ()
    stock: tuple[StockItem, ...] = ()


class RatingItem(_Part):
    """``bar`` : lowest of the parts that have a figure. ``without_figure`` : the parts that have none."""

    bar: float | None = None
    weakest: str | None = None
    without_figure: tuple[str, ...] = ()


class AdapterItem(_Part):
    """One adapter by its two ends. ``standard`` : the source of the family."""

    ends: tuple[str, str]
    names: tuple[str, str]
    count: int = Field(default=1, ge=1)
    standard: str
    stock: tuple[StockItem, ...] = ()


class ChainItem(_Part):
    """From one end to another; no adapters: they mate as they are."""

    start: str
    goal: str
    adapters: tuple[AdapterItem, ...]
    rating: RatingItem


class LengthItem(_Part):
    practice: str
    plus_mm: float
    minus_mm: float


class HoseItem(_Part):
    """One hose assembly. Conventions of length, angle and rating are in ``OrderSlip.conventions``."""

    id: str | None = Field(default=None, description="of the catalogue; none: not chosen yet")
    name: str
    count: int = Field(default=1, ge=1)
    edition: str = ""
    reinforcement: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    length_mm: float | None = None
    tolerances: tuple[LengthItem, ...] = ()
    elbow_angle_deg: float | None = None
    bend_radius_mm: float | None = None
    temperature_c: tuple[float, ...] = ()
    application: str = ""
    fluid: str = ""
    required_bar: float | None = None
    rating: RatingItem | None = None
    design_factor: float | None = None
    burst_bar: float | None = None
    delivery: str = ""
    faults: tuple[Fault, ...] = ()
    missing: tuple[str, ...] = Field(default=(), description="what was not answered")


class Sheet(_Part):
    number: int = Field(ge=1)
    of: int = Field(ge=1)


class OrderSlip(_Part):
    """What to order for one job. A long slip may come in sheets; each is a slip of its own with part of the items."""

    format: Literal["voicefit-order-slip/1"] = "voicefit-order-slip/1"
    job: str
    machine: str = ""
    opened_at: str = ""
    written_at: str = ""
    ends: tuple[EndItem, ...] = ()
    hoses: tuple[HoseItem, ...] = ()
    chains: tuple[ChainItem, ...] = ()
    notes: tuple[str, ...] = Field(default=(), description="names of sound notes, not their content")
    cautions: tuple[str, ...] = ()
    conventions: tuple[str, ...] = ()
    catalogue: str = Field(default="", description="first digits of the catalogue's SHA-256")
    sheet: Sheet | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """What is on the slip, by name: ends, hoses, adapters."""
        adapters = [" x ".join(adapter.names) for chain in self.chains for adapter in chain.adapters]
        return (*(end.name for end in self.ends), *(hose.name for hose in self.hoses), *adapters)

    def to_json(self) -> str:
        """One line of ASCII JSON; what has its default is left out. ``OrderSlip.model_validate_json`` reads it."""
        plain = self.model_dump(mode="json", exclude_defaults=True)
        return json.dumps({"format": self.format, **plain}, ensure_ascii=True, separators=(",", ":"), allow_nan=False)


CONVENTIONS = (
    "Length is between the sealing faces; at an elbow to the centre line of its sealing face.",
    "Elbow angle: look along the hose from end 1, the elbow at end 2 pointing straight down; count clockwise to the "
    "elbow at end 1.",
    "Rating is the lowest of hose, ends and adapters. Design factor of the hose 4:1, burst to working pressure.",
)


# ---- filling ------------------------------------------------------------------------------------------


def end_item(
    follow: FollowUp,
    sources: Mapping[str, Source],
    *,
    readings: Iterable[str] = (),
    stock: Iterable[StockItem] = (),
    count: int = 1,
) -> EndItem:
    """The item of an identified end."""
    end = follow.end
    pressure = lowest(end)
    return EndItem(
        id=end.id,
        name=naming.end_name(end),
        count=count,
        standard=end.standard,
        series=end.series,
        gender=end.gender.value,
        thread=None if end.thread is None else end.thread.designation,
        dash=end.dash,
        tube_od_mm=end.tube_od_mm,
        seat=naming.seat_name(end),
        hex_mm=tuple(round(each, 2) for each in end.hex_mm),
        seals=tuple(seal_item(each) for each in follow.seals),
        mates=tuple(naming.end_name(each) for each in distinct_parts(follow.mating.mates)[:MATES_LISTED]),
        only_if=tuple(f"{naming.end_name(each.end)}: {each.condition}" for each in follow.mating.conditional),
        never=tuple(
            NeverItem(name=naming.end_name(each.end), reason=each.reason) for each in _distinct_refusals(follow)
        ),
        torque=tuple(_figure_item(each, sources) for each in follow.torque),
        turns=tuple(_figure_item(each, sources) for each in follow.turns),
        pressure=None if pressure is None else _figure_item(pressure, sources),
        basis=end.basis,
        readings=tuple(readings),
        stock=tuple(stock),
    )


def unidentified_item(readings: Iterable[str]) -> EndItem:
    """The item of an end that is not identified: its readings, and nothing that could be mistaken for an order."""
    return EndItem(name="not identified", readings=tuple(readings))


def seal_item(need: SealNeed) -> SealItem:
    ring = need.ring
    return SealItem(
        kind=need.kind,
        count=need.count,
        o_ring=None if ring is None else ring.id,
        inside_diameter_mm=None if ring is None else round(ring.inside_diameter_mm, 2),
        section_mm=None if ring is None else round(ring.section_mm, 2),
        on="this end" if need.on_this_end else "the mate",
    )


def chain_item(start: str, goal: str, chain: Chain, sources: Mapping[str, Source]) -> ChainItem:
    """The item of a chain between two ends, given by their names."""
    return ChainItem(
        start=start,
        goal=goal,
        adapters=tuple(
            AdapterItem(
                ends=(adapter.ends[0].id, adapter.ends[1].id),
                names=(naming.end_name(adapter.ends[0]), naming.end_name(adapter.ends[1])),
                standard=naming.source_name(adapter.source, "", sources),
            )
            for adapter in chain.adapters
        ),
        rating=_rating_item(chain.rating),
    )


def hose_item(assembly: Assembly, *, fluid: str = "", count: int = 1) -> HoseItem:
    """The item of an assembly."""
    hose, facts = assembly.hose, assembly.facts
    return HoseItem(
        id=hose.id,
        name=naming.hose_name(hose),
        count=count,
        edition=hose.edition,
        reinforcement=tuple(each.value for each in hose.type.reinforcement),
        ends=tuple(naming.end_name(end) for end in assembly.ends),
        length_mm=facts.length_mm,
        tolerances=tuple(
            LengthItem(practice=each.practice, plus_mm=round(each.plus_mm, 1), minus_mm=round(each.minus_mm, 1))
            for each in assembly.tolerances
        ),
        elbow_angle_deg=facts.elbow_angle_deg,
        bend_radius_mm=hose.bend_radius_mm,
        temperature_c=facts.temperature_c,
        application=facts.application or "",
        fluid=fluid,
        required_bar=facts.pressure_bar,
        rating=_rating_item(assembly.rating),
        design_factor=assembly.design_factor,
        burst_bar=round(assembly.burst_bar, 1),
        delivery=facts.delivery or "",
        faults=assembly.faults,
        missing=tuple(topic.value for topic in facts.missing),
    )


def _rating_item(rating: Rating) -> RatingItem:
    bar = None if rating.bar is None else round(rating.bar, 1)
    return RatingItem(bar=bar, weakest=rating.weakest, without_figure=rating.without_figure)


def _figure_item(figure: Figure, sources: Mapping[str, Source]) -> FigureItem:
    return FigureItem(
        low=_rounded(figure.low),
        high=_rounded(figure.high),
        unit=figure.unit,  # type: ignore[arg-type]  # validated by the model
        source=naming.source_name(figure.source, figure.edition, sources),
        basis=figure.basis,
        condition=figure.condition,
    )


def _rounded(value: float) -> float:
    return round(value, 1) if value >= 10 else round(value, 3)


def _distinct_refusals(follow: FollowUp) -> list[Refusal]:
    """The likeliest mistakes, each series and reason once."""
    found: dict[tuple[str, Reason], Refusal] = {}
    for refusal in follow.mating.refusals:
        found.setdefault((refusal.end.series, refusal.reason), refusal)
    return list(found.values())[:NEVER_LISTED]
