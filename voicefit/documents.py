"""The public JSON of ``ask``, ``hear``, ``talk`` and ``replay``: the schema, written down once.

Duty: turn a session's :class:`~voicefit.dialogue.Snapshot` into a document. It must not decide anything.
The JSON schema is ``AnswerDocument.model_json_schema()``; tests hold every document against it.
"""

from __future__ import annotations

from typing import Any, Literal, cast

from pydantic import Field, SerializerFunctionWrapHandler, model_serializer

from voicefit.catalogue import Catalogue
from voicefit.catalogue.public import Document
from voicefit.dialogue import ReadingTaken, Snapshot
from voicefit.dialogue.snapshot import Pending
from voicefit.quantities import Quantity, Unit
from voicefit.records import Hedge, Measurand

Kind = Literal["confirm", "choose"]
HowSure = Literal["open", "leading", "likely", "identified", "decided"]
Decider = Literal["checks", "person"]
ONLY_WHERE_IT_APPLIES = ("value_mm", "value_deg", "pitch_mm", "hedge")


class ReadingDocument(Document):
    """One reading, as taken: of the ways to take what was said, the most probable given everything."""

    measurand: Measurand
    value: float | str = Field(description="a number, or the name of a form, a seal, a series")
    value_exact: str | None = Field(description="the number as a fraction, exact; null for a name")
    unit: Unit | None
    value_mm: float | None = Field(default=None, description="a length in mm; absent elsewhere")
    value_deg: float | None = Field(default=None, description="an angle in degrees; absent elsewhere")
    pitch_mm: float | None = Field(default=None, description="a pitch in mm; absent elsewhere")
    negated: bool = Field(description="true where the value is what it is not")
    hedge: Hedge | None = Field(default=None, description="how loosely it was said; absent where it was not")
    heard: str
    probability: float = Field(
        ge=0, le=1, description="of this way to take the words, given all readings and how sure the person was"
    )

    @model_serializer(mode="wrap")
    def _leave_out_what_does_not_apply(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        plain: dict[str, Any] = handler(self)
        return {key: value for key, value in plain.items() if value is not None or key not in ONLY_WHERE_IT_APPLIES}


class RejectedDocument(Document):
    text: str
    reason: str
    detail: str


class CandidateDocument(Document):
    id: str
    series: str
    name: str
    standard: str
    thread: str | None
    dash: int | None = Field(description="nominal size in sixteenths of an inch; null where the series has none")
    nominal: str
    tube_od_mm: float | None = Field(description="where the tube names the size")
    gender: Literal["male", "female", "port", "stud"]
    probability: float = Field(ge=0, le=1)


class NextCheckDocument(Document):
    id: str
    measurand: Measurand
    prompt: str


class OptionDocument(Document):
    """One of what an open question offers."""

    words: str
    readings: list[ReadingDocument] = Field(description="what it would be taken as; empty for a command")


class PendingDocument(Document):
    """A question of ours that is open."""

    kind: Kind
    options: list[OptionDocument] = Field(description="in the order in which they are offered")


class HoseInHandDocument(Document):
    """What is known of the hose in hand; null or empty: not said."""

    hose_type: str | None
    dash: int | None
    bore_mm: float | None
    outside_mm: float | None
    reinforcement: frozenset[str]
    temperature_c: tuple[float, ...]
    application: str | None
    fluid: str | None
    pressure_bar: float | None
    ends: tuple[str, ...]
    delivery: str | None
    length_mm: float | None
    elbow_angle_deg: float | None


class AnswerDocument(Document):
    """What one utterance led to. ``reply`` is exactly what is spoken."""

    heard: str
    readings: list[ReadingDocument]
    rejected: list[RejectedDocument]
    candidates: list[CandidateDocument] = Field(description="best first")
    none_probability: float = Field(ge=0, le=1, description="that it is no end of the catalogue")
    identified: bool
    state: HowSure = Field(description="how sure it is")
    concluded: str | None = Field(description="id of the end that the checks, or the person, said it is")
    decided_by: Decider | None
    nothing_fits: bool = Field(description="true where the readings fit no end of the catalogue")
    next_check: NextCheckDocument | None = Field(description="null when no check is open")
    next_checks: list[NextCheckDocument] = Field(description="what is asked for in one breath")
    pending: PendingDocument | None = Field(description="the question of ours that is open")
    did: list[str] = Field(description="ids of the functions that the sentence called")
    hose: HoseInHandDocument | None = Field(description="where a hose is in hand")
    cautions: list[str]
    reply: str


def reading_document(taken: ReadingTaken) -> ReadingDocument:
    """One reading with the option that was taken and its probability."""
    option = taken.option
    plain: dict[str, Any] = {
        "measurand": option.measurand,
        "value": option.value,
        "value_exact": None,
        "unit": None,
        "negated": option.negated,
        "hedge": option.hedge,
        "heard": taken.reading.heard,
        "probability": within_one(taken.probability * option.certainty),
    }
    quantity = option.value
    if isinstance(quantity, Quantity):
        plain |= {"value": float(quantity.value), "value_exact": str(quantity.value), "unit": quantity.unit}
        if option.measurand is Measurand.PITCH:
            plain["pitch_mm"] = float(quantity.pitch_mm)
        elif quantity.is_length:
            plain["value_mm"] = float(quantity.mm)
        elif quantity.unit is Unit.DEGREE:
            plain["value_deg"] = float(quantity.value)
    return ReadingDocument.model_validate(plain)


def within_one(probability: float) -> float:
    """A probability that rounding has carried past its limits, put back."""
    return min(max(float(probability), 0.0), 1.0)


def candidate_document(catalogue: Catalogue, row: int, probability: float) -> CandidateDocument:
    """The end in ``row`` of the catalogue with its posterior probability."""
    end = catalogue.ends[row]
    of_end = {name: getattr(end, name) for name in CandidateDocument.model_fields if hasattr(end, name)}
    thread = None if end.thread is None else end.thread.designation
    return CandidateDocument.model_validate({**of_end, "thread": thread, "probability": within_one(probability)})


def pending_document(pending: Pending) -> PendingDocument:
    """An open question with what it offers, as words and as readings."""
    offered = zip(pending.words, pending.readings, strict=True)
    options = [OptionDocument(words=words, readings=[*map(reading_document, taken)]) for words, taken in offered]
    return PendingDocument(kind=cast("Kind", pending.kind), options=options)


def answer_document(catalogue: Catalogue, snapshot: Snapshot) -> AnswerDocument:
    """The document of the session's present state."""
    checks = [NextCheckDocument(id=c.id, measurand=c.measurand, prompt=words) for c, words in snapshot.next_checks]
    return AnswerDocument(
        heard=snapshot.heard,
        readings=[reading_document(taken) for taken in snapshot.readings],
        rejected=[RejectedDocument.model_validate(rejection) for rejection in snapshot.rejected],
        candidates=[candidate_document(catalogue, row, probability) for row, probability in snapshot.candidates],
        none_probability=within_one(snapshot.none_probability),
        identified=snapshot.advice.identified,
        state=cast("HowSure", snapshot.state),
        concluded=snapshot.concluded,
        decided_by=cast("Decider | None", snapshot.decided_by),
        nothing_fits=snapshot.advice.nothing_fits,
        next_check=checks[0] if checks else None,
        next_checks=checks,
        pending=None if snapshot.pending is None else pending_document(snapshot.pending),
        did=list(snapshot.did),
        hose=None if snapshot.hose is None else HoseInHandDocument.model_validate(snapshot.hose.facts),
        cautions=list(snapshot.cautions),
        reply=snapshot.reply,
    )
