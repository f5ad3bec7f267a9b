"""The public JSON of ``explain``: the schema, written down once.

Duty: turn the matcher's explanations into documents. It must not decide anything, and must not print.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import Field

from voicefit.catalogue.public import Document
from voicefit.quantities import Quantity, Unit

if TYPE_CHECKING:
    from voicefit.catalogue import CandidateEnd
    from voicefit.dialogue import Knowledge
    from voicefit.matching import Explanation, WeightedReason


class ReasonDocument(Document):
    """What one reading says of an end."""

    reading: int = Field(description="its place among the readings, from 0")
    measurand: str
    said: str
    taken_as: str = Field(description="the measurand it would be of on this end")
    nominal: str | None = Field(description="what the tables give for this end; null where they give nothing")
    recalled: bool = Field(description="whether that is a figure from memory")
    fits: bool = Field(description="whether it fits at its word")
    weight_bit: float = Field(description="weight of evidence, for (above zero) or against")
    rules_out: list[str] = Field(description="series that were within reach without this reading")


class ExplanationDocument(Document):
    """Reasons, the heaviest first, for ``id``, or for ``against`` over ``id`` where that is given."""

    id: str
    name: str
    probability: float = Field(ge=0, le=1)
    against: str | None
    reasons: list[ReasonDocument]
    check: str | None = Field(default=None, description="the check that separates the two best, in words")


class ExplainDocument(Document):
    heard: str
    identified: bool
    why: ExplanationDocument | None
    why_not: list[ExplanationDocument]
    what_else: ExplanationDocument | None
    look_alikes: list[str] = Field(description="ids of ends that no check has excluded yet")
    contradiction: list[int] = Field(description="readings that at their word fit no end together")


def explanation_document(
    knowledge: Knowledge, found: Explanation | None, *, by_part: bool = True
) -> ExplanationDocument | None:
    """``by_part`` : the end is named as its part is ordered; else by its own name, as it was asked for."""
    if found is None:
        return None
    ends = knowledge.catalogue.ends
    end = ends[knowledge.names.rows[ends[found.row].part]] if by_part else ends[found.row]
    return ExplanationDocument(
        id=end.id,
        name=_name(end),
        probability=min(max(found.probability, 0.0), 1.0),
        against=None if found.against is None else ends[found.against].id,
        reasons=[_reason(reason) for reason in found.reasons],
        check=None if found.check is None else knowledge.prompt(found.check),
    )


def _reason(reason: WeightedReason) -> ReasonDocument:
    not_ = "not " if reason.option.negated else ""
    return ReasonDocument(
        reading=reason.reading,
        measurand=reason.option.measurand.value,
        said=not_ + _shown(reason.option.value),
        taken_as=reason.taken_as.value,
        nominal=None if reason.nominal is None else _shown(reason.nominal),
        recalled=reason.recalled,
        fits=reason.fits,
        weight_bit=round(reason.weight_bit, 3),
        rules_out=list(reason.rules_out),
    )


def _name(end: CandidateEnd) -> str:
    thread = "" if end.thread is None else f", {end.thread.designation}"
    return f"{end.name}, {end.nominal}{thread}"


def _shown(value: Quantity | str) -> str:
    """``19/32 in (15.08 mm)``, ``19 tpi``, ``30 deg``, ``recessed``."""
    if not isinstance(value, Quantity):
        return value.replace("_", " ")
    number = str(value.value) if value.unit is Unit.INCH else f"{float(value.value):g}"
    unit = "" if value.unit is Unit.COUNT else f" {value.unit}"
    millimetres = f" ({float(value.mm):.2f} mm)" if value.unit is Unit.INCH else ""
    return number + unit + millimetres
