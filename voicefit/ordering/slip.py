"""The order slip: one document for a parts counter, and its published JSON schema.

Duty: the document. It must not draw, print or write files, must not know a maker's name, and says "no figure" by
leaving a figure out. ``OrderSlip.model_json_schema()`` is the schema; :mod:`voicefit.ordering.slip_items` fills it.
"""

from __future__ import annotations

import json
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from voicefit.catalogue.ends import Basis
from voicefit.ordering.assembly import Fault
from voicefit.ordering.hose import Need
from voicefit.ordering.mating import Obstacle
from voicefit.records import Seal

Tenths = Annotated[float, AfterValidator(lambda value: round(value, 1))]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, from_attributes=True)


class FigureItem(_Part):
    """A published figure: ``low`` equals ``high`` where one number is printed. ``source`` : empty where it was recalled
    of no book that is named."""

    low: float
    high: float
    unit: Literal["N·m", "turn", "flat", "bar"]
    source: str
    basis: Basis
    condition: str = ""


class WasherItem(_Part):
    """One size of washer that seals the joint; sizes in mm."""

    make: Literal["bonded washer", "copper washer", "captured ring"]
    inside_diameter_mm: float
    outside_diameter_mm: float
    thickness_mm: float


class SealItem(_Part):
    """``basis`` : how the ring's size is known: memory where its own sizes or the choice of it for this end are."""

    kind: Seal
    count: int = Field(ge=0, description="0: the ends seal on each other, nothing to order")
    standard: str = Field(default="", description="that gives the ring its size")
    o_ring: str | None = Field(default=None, description="size number, or inside diameter x section in mm")
    inside_diameter_mm: float | None = None
    section_mm: float | None = None
    basis: Basis | None = None
    washers: tuple[WasherItem, ...] = Field(default=(), description="either of them")
    on: Literal["this end", "the mate"] = "this end"


class BoltsItem(_Part):
    """The bolts of a flange where its block is tapped for them. ``size`` : metric or inch thread, several by edition.
    Their length is in no table."""

    count: int = Field(default=4, ge=1)
    size: str
    basis: Basis


class FlangeItem(_Part):
    """A four-bolt flange, mm; of a square body the head's diameter is its side. ``None`` : no figure.

    On the item of a port the head is the one that it takes.
    """

    square: bool = False
    head_diameter_mm: float | None = None
    head_thickness_mm: float | None = None
    head_basis: Basis | None = None
    bolt_long_mm: float
    bolt_short_mm: float
    bolt_circle_mm: float
    centres_basis: Basis
    bolts: tuple[BoltsItem, ...] = Field(default=(), description="either of them")


class DiameterItem(_Part):
    """What an end without a thread measures."""

    of: str = Field(description="probe, bore, spigot, eye bore")
    mm: float
    basis: Basis


class NeverItem(_Part):
    """An end that screws on and must not be mated."""

    name: str
    reason: Obstacle


class WeakerItem(_Part):
    """A mate that holds less than the end does, so that the joint holds no more than it."""

    name: str
    pressure: FigureItem


class StockItem(_Part):
    """The shop's own: nothing here comes from the catalogue."""

    part_number: str
    bin: str = ""
    quantity: int | None = None


class DecidedBy(StrEnum):
    """What says that an end is the one that is ordered. Values appear in the public JSON."""

    CHECKS = "checks"
    PERSON = "person"  # who knew better than to go on checking
    LIKELY = "likely"  # nobody yet: it is very likely


class EndItem(_Part):
    """One end. Without ``id`` there are only the readings: it was not identified, or is of another trade.

    ``look_alikes`` : names of what was not ruled out where the checks did not decide. ``mate_of`` : name of the end
    that it goes on, where it did not come off itself.
    """

    id: str | None = None
    name: str
    mate_of: str = ""
    count: int = Field(default=1, ge=0, description="0: of another trade, not ordered")
    on_hose: bool = Field(default=False, description="it goes on a hose of this slip: so many in all")
    standard: str = ""
    series: str = ""
    gender: Literal["male", "female", "port", "stud"] | None = None
    thread: str | None = None
    dash: int | None = None
    tube_od_mm: float | None = None
    seat: str = ""
    seat_basis: Basis | None = None
    flange: FlangeItem | None = None
    diameter: DiameterItem | None = None
    hex_mm: tuple[float, ...] = ()
    seals: tuple[SealItem, ...] = ()
    mates: tuple[str, ...] = ()
    mates_basis: tuple[Basis | None, ...] = Field(default=(), description="of thread and tube of each mate")
    weaker: tuple[WeakerItem, ...] = Field(default=(), description="of the mates, those that hold less than the end")
    only_if: tuple[str, ...] = ()
    never: tuple[NeverItem, ...] = ()
    torque: tuple[FigureItem, ...] = ()
    turns: tuple[FigureItem, ...] = ()
    pressure: FigureItem | None = Field(default=None, description="lowest published working pressure; none: no figure")
    basis: Basis | None = None
    thread_basis: Basis | None = None
    tube_basis: Basis | None = None
    hex_basis: Basis | None = None
    decided_by: DecidedBy = DecidedBy.CHECKS
    look_alikes: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    stock: tuple[StockItem, ...] = ()


class SealLineItem(_Part):
    """Seals that are a line of their own: so many in all, beside those that belong to the ends of the slip."""

    name: str
    count: int = Field(ge=1)
    seal: SealItem
    of: str = Field(description="name of the end that they seal")


class RatingItem(_Part):
    """``bar`` : lowest of the parts that have a figure. ``without_figure`` : names of the parts that have none."""

    bar: float | None = None
    basis: Basis | None = None
    condition: str = ""
    weakest: str | None = None
    without_figure: tuple[str, ...] = ()


class AdapterItem(_Part):
    """One adapter by its two ends. ``standard`` : the source of the family; ``basis`` : how it is known."""

    ends: tuple[str, str]
    names: tuple[str, str]
    count: int = Field(default=1, ge=1)
    standard: str
    basis: Basis | None = None
    stock: tuple[StockItem, ...] = ()


class ChainItem(_Part):
    """From one end to another; no adapters: they mate as they are."""

    start: str
    goal: str
    adapters: tuple[AdapterItem, ...]
    rating: RatingItem


class LengthItem(_Part):
    practice: str
    plus_mm: Tenths
    minus_mm: Tenths
    basis: Basis | None = None


class HoseItem(_Part):
    """One hose assembly. Conventions of length, angle and rating are in ``OrderSlip.conventions``."""

    id: str | None = Field(default=None, description="of the catalogue; none: the counter chooses by what was said")
    name: str
    count: int = Field(default=1, ge=1)
    said: tuple[str, ...] = Field(
        default=(), description="of its type, size and construction where no one hose is chosen"
    )
    edition: str = ""
    edition_basis: Basis | None = None
    reinforcement: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    length_mm: float | None = None
    tolerances: tuple[LengthItem, ...] = ()
    elbow_angle_deg: float | None = None
    one_elbow: bool = Field(default=False, description="an elbow on one end alone: no angle between the ends")
    routed_bend_deg: float | None = None
    routed_radius_mm: float | None = None
    bend_radius_mm: float | None = None
    basis: Basis | None = Field(default=None, description="of bore, bend radius and burst pressure")
    most_turn_deg: float | None = Field(default=None, description="of this length at its least bend radius")
    temperature_c: tuple[float, ...] = ()
    application: str = ""
    fluid: str = ""
    compounds: tuple[str, ...] = Field(default=(), description="seal compounds that suit the fluid, common practice")
    compounds_avoid: tuple[str, ...] = ()
    required_bar: float | None = None
    rating: RatingItem | None = None
    design_factor: float | None = None
    burst_bar: float | None = None
    delivery: str = ""
    faults: tuple[Fault, ...] = ()
    missing: tuple[str, ...] = Field(default=(), description="what was not answered")
    needed: tuple[Need, ...] = Field(default=(), description="of that, what it cannot be made without")
    stock: tuple[StockItem, ...] = ()


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
    seals: tuple[SealLineItem, ...] = ()
    hoses: tuple[HoseItem, ...] = ()
    chains: tuple[ChainItem, ...] = ()
    notes: tuple[str, ...] = Field(
        default=(), description="names of sound notes, not their content; of notes kept in words, the words"
    )
    cautions: tuple[str, ...] = ()
    conventions: tuple[str, ...] = ()
    catalogue: str = Field(default="", description="first digits of the catalogue's SHA-256")
    sheet: Sheet | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """What is on the slip, by name: ends, seals, hoses, adapters."""
        adapters = [" x ".join(adapter.names) for chain in self.chains for adapter in chain.adapters]
        seals = (each.name for each in self.seals)
        return (*(end.name for end in self.ends), *seals, *(hose.name for hose in self.hoses), *adapters)

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
