"""The public documents of hoses, O-rings and flanges: what ``voicefit hoses``, ``orings`` and ``flanges`` print.

Duty: the schemas, written down once, and the filling of them. It must not filter or print.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, AliasChoices, AliasPath, BeforeValidator, Field

from voicefit.catalogue.ends import Basis
from voicefit.catalogue.hoses import Reinforcement
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.public import Document

# To a micrometre, or a thousandth of a bar: below anything tabulated.
Rounded = Annotated[float, AfterValidator(lambda value: round(value, 3))]


def _of(*path: str) -> Any:
    """A field that the row has from what it belongs to."""
    return Field(validation_alias=AliasChoices(path[-1], AliasPath(*path)))


class _RowDocument(Document):
    id: str
    source: str
    basis: Basis


def _in_words(kinds: str | tuple[Reinforcement, ...] | None) -> str | None:
    """``four wire spirals or six wire spirals``; ``None`` where it is left free."""
    if isinstance(kinds, tuple):
        return " or ".join(kind.value.replace("_", " ") for kind in kinds) or None
    return kinds


class HoseDocument(_RowDocument):
    """One size of a hose type in one edition. ``reinforcement`` : ``null`` where the standard leaves it free."""

    standard: str = _of("type", "standard")
    type: str = Field(validation_alias=AliasChoices(AliasPath("type", "name"), "type"))
    edition: str
    dash: int
    dn: int | None
    bore_mm: Rounded = Field(description="nominal")
    bore_limits_mm: tuple[float | None, float | None]
    outside_diameter_mm: Rounded | None = Field(description="nominal, or the greatest that the standard allows")
    outside_limits_mm: tuple[float | None, float | None]
    pressure_bar: Rounded
    burst_ratio: float = _of("type", "burst_ratio")
    bend_radius_mm: float
    reinforcement: Annotated[str | None, BeforeValidator(_in_words)] = _of("type", "reinforcement")
    temperature_c: tuple[int, int] = _of("type", "temperature_c")
    note: str


class ORingDocument(_RowDocument):
    """One ring. ``as568`` : its number there, ``null`` for a metric ring. ``used_on`` : ``series/size``."""

    standard: str
    as568: str | None
    inside_diameter_mm: Rounded
    section_mm: Rounded
    used_on: list[str] = Field(default_factory=list)


class FlangeSizeDocument(_RowDocument):
    """One flange. Of a square one the head's diameter is the side of the square, its thickness the body's."""

    series: str
    code: str
    form: str
    dash: int | None
    nominal: str
    head_diameter_mm: Rounded | None = _of("head", "head_diameter_mm")
    head_thickness_mm: Rounded | None = _of("head", "head_thickness_mm")
    bolt_long_mm: Rounded = _of("head", "bolt_long_mm")
    bolt_short_mm: Rounded = _of("head", "bolt_short_mm")
    bolt_metric: str | None = _of("head", "bolt_metric")
    bolt_inch: str | None = _of("head", "bolt_inch")
    o_ring: str | None
    note: str


def oring_document(ring: ORing, used_on: tuple[str, ...]) -> ORingDocument:
    return ORingDocument.model_validate(ring).model_copy(update={"used_on": list(used_on)})
