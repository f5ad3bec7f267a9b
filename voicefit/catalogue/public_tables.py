"""The public documents of hoses, O-rings and flanges: what ``voicefit hoses``, ``orings`` and ``flanges`` print.

Duty: the schemas, written down once, and the filling of them. It must not filter or print.
"""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from voicefit.catalogue.ends import Basis
from voicefit.catalogue.flanges import Flange
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.orings import ORing

_DECIMALS = 3  # a micrometre, a thousandth of a bar: below anything tabulated


class _Document(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    source: str
    basis: Basis


class HoseDocument(_Document):
    """One size of a hose type in one edition. ``reinforcement`` : ``null`` where the standard leaves it free."""

    standard: str
    type: str
    edition: str
    dash: int
    dn: int | None
    bore_mm: float = Field(description="nominal")
    bore_limits_mm: tuple[float | None, float | None]
    outside_diameter_mm: float | None = Field(description="nominal, or the greatest that the standard allows")
    outside_limits_mm: tuple[float | None, float | None]
    pressure_bar: float
    burst_ratio: float
    bend_radius_mm: float
    reinforcement: str | None
    temperature_c: tuple[int, int]
    note: str


class ORingDocument(_Document):
    """One ring. ``as568`` : its number there, ``null`` for a metric ring. ``used_on`` : ``series/size``."""

    standard: str
    as568: str | None
    inside_diameter_mm: float
    section_mm: float
    used_on: list[str]


class FlangeSizeDocument(_Document):
    """One flange. Of a square one the head's diameter is the side of the square, its thickness the body's."""

    series: str
    code: str
    form: str
    dash: int
    nominal: str
    head_diameter_mm: float
    head_thickness_mm: float | None
    bolt_long_mm: float
    bolt_short_mm: float
    bolt_metric: str | None
    bolt_inch: str | None
    o_ring: str | None
    note: str


def hose_document(hose: Hose) -> HoseDocument:
    outside = hose.outside_diameter_mm
    return HoseDocument(
        id=hose.id,
        standard=hose.type.standard,
        type=hose.type.name,
        edition=hose.edition,
        dash=hose.dash,
        dn=hose.dn,
        bore_mm=round(hose.bore_mm, _DECIMALS),
        bore_limits_mm=hose.bore_limits_mm,
        outside_diameter_mm=None if outside is None else round(outside, _DECIMALS),
        outside_limits_mm=hose.outside_limits_mm,
        pressure_bar=round(hose.pressure_bar, _DECIMALS),
        burst_ratio=hose.type.burst_ratio,
        bend_radius_mm=hose.bend_radius_mm,
        reinforcement=reinforcement_text(hose),
        temperature_c=hose.type.temperature_c,
        source=hose.source,
        basis=hose.basis,
        note=hose.note,
    )


def reinforcement_text(hose: Hose) -> str | None:
    """``four wire spirals or six wire spirals``; ``None`` where it is left free."""
    return " or ".join(kind.value.replace("_", " ") for kind in hose.type.reinforcement) or None


def oring_document(ring: ORing, used_on: tuple[str, ...]) -> ORingDocument:
    return ORingDocument(
        id=ring.id,
        standard=ring.standard,
        as568=ring.as568,
        inside_diameter_mm=round(ring.inside_diameter_mm, _DECIMALS),
        section_mm=round(ring.section_mm, _DECIMALS),
        used_on=list(used_on),
        source=ring.source,
        basis=ring.basis,
    )


def flange_document(flange: Flange) -> FlangeSizeDocument:
    head = flange.head
    thickness = head.head_thickness_mm
    return FlangeSizeDocument(
        id=flange.id,
        series=flange.series,
        code=flange.code,
        form=flange.form,
        dash=flange.dash,
        nominal=flange.nominal,
        head_diameter_mm=round(head.head_diameter_mm, _DECIMALS),
        head_thickness_mm=None if thickness is None else round(thickness, _DECIMALS),
        bolt_long_mm=round(head.bolt_long_mm, _DECIMALS),
        bolt_short_mm=round(head.bolt_short_mm, _DECIMALS),
        bolt_metric=head.bolt_metric,
        bolt_inch=head.bolt_inch,
        o_ring=flange.o_ring,
        source=flange.source,
        basis=flange.basis,
        note=flange.note,
    )
