"""The public documents of ends, hoses, O-rings and flanges: what ``voicefit catalogue --json`` and its like print.

Duty: the schemas, written down once, and the filling of them. It must not filter or print.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, AliasChoices, AliasPath, BaseModel, BeforeValidator, ConfigDict, Field

from voicefit.catalogue.ends import Basis, CandidateEnd, Figure, Trade
from voicefit.catalogue.hoses import Reinforcement
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.rows import Source
from voicefit.records import Seal, SeatForm


class Document(BaseModel):
    """A public document; it can be made of any object that has its fields."""

    model_config = ConfigDict(extra="forbid", frozen=True, from_attributes=True)


class FigureDocument(Document):
    """One published figure. ``source`` : key of the bibliography; ``edition`` : empty where none is known."""

    low: float
    high: float
    unit: str
    condition: str
    source: str
    edition: str
    basis: Basis


class RangeDocument(Document):
    """The span of all published figures, and each with its source."""

    low: float
    high: float
    figures: list[FigureDocument]


class FlangeDocument(Document):
    head_diameter_mm: float | None
    head_thickness_mm: float | None
    bolt_long_mm: float
    bolt_short_mm: float
    bolt_metric: str | None
    bolt_inch: str | None


class EndDocument(Document):
    """One end. Lengths in mm, angles in degrees; ``null`` where the end has no such thing or no figure is known."""

    id: str
    part: str = Field(description="ends that share it are interchangeable in use")
    series: str
    name: str
    standard: str
    gender: Literal["male", "female", "port", "stud"]
    dash: int | None
    nominal: str
    dn: int | None
    tube_od_mm: float | None
    also_tube_od_mm: list[float]
    tube_wall_mm: tuple[float | None, float] | None
    thread: str | None
    thread_system: str | None
    tolerance_class: str | None
    pitch_mm: float | None
    tpi: float | None
    major_diameter_mm: float | None
    pitch_diameter_mm: float | None
    minor_diameter_mm: float | None
    external_major_mm: tuple[float, float] | None = Field(description="limits of a new male thread across its crests")
    internal_minor_mm: tuple[float, float] | None = Field(description="limits of a new female thread across its crests")
    taper: str | None = Field(description="change of diameter per length: 0 or 1/16")
    flank_angle_deg: float | None
    seat_half_angle_deg: float | None
    seat_included_angle_deg: float | None
    also_seats_half_angle_deg: list[float]
    seat_form: SeatForm
    seal: Seal
    carries_seal: bool
    o_ring: str | None
    hex_mm: list[float]
    mouth_mm: tuple[float, float] | None = Field(description="least and greatest width of an internal thread's mouth")
    flange: FlangeDocument | None
    profile_mm: dict[str, float]
    torque_nm: RangeDocument | None
    turns: list[FigureDocument] = Field(description="turns or flats; the condition says from where they count")
    pressure_bar: RangeDocument | None
    notes: str
    source: str
    basis: Basis
    basis_of: dict[str, Basis] = Field(
        description="of thread, tube, O-ring, hexagon, seat, mouth, head, bolts and diameter where the end has them"
    )
    trade: Trade | None = Field(description="another trade whose end this is: recognised in order to be refused")


def _listed(figures: Iterable[Figure], sources: Mapping[str, Source]) -> list[FigureDocument]:
    dated = (replace(figure, edition=figure.edition or sources[figure.source].edition) for figure in figures)
    return [FigureDocument.model_validate(figure) for figure in dated]


def _range(figures: Iterable[Figure], sources: Mapping[str, Source]) -> RangeDocument | None:
    listed = _listed(figures, sources)
    if not listed:
        return None
    low, high = min(figure.low for figure in listed), max(figure.high for figure in listed)
    return RangeDocument(low=low, high=high, figures=listed)


_OF_THREAD = (
    *("tolerance_class", "pitch_mm", "tpi", "major_diameter_mm", "pitch_diameter_mm", "minor_diameter_mm"),
    *("external_major_mm", "internal_minor_mm", "flank_angle_deg"),
)


def end_document(end: CandidateEnd, sources: Mapping[str, Source]) -> EndDocument:
    """The document of one end. ``sources`` : the catalogue's; a figure without an edition has its source's."""
    thread = end.thread
    of_end = {name: getattr(end, name) for name in EndDocument.model_fields if hasattr(end, name)}
    of_thread = {name: getattr(thread, name, None) for name in _OF_THREAD}
    others = {
        "thread": thread and thread.designation,
        "thread_system": thread and thread.system,
        "taper": thread and str(thread.taper),
        "also_seats_half_angle_deg": end.also_seats_deg,
        "profile_mm": dict(end.profile_mm),
        "torque_nm": _range(end.torque, sources),
        "turns": _listed(end.turns, sources),
        "pressure_bar": _range(end.pressure, sources),
        "basis_of": end.basis_of,
    }
    return EndDocument.model_validate({**of_end, **of_thread, **others})


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
