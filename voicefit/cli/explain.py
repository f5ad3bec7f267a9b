"""The command ``explain``: why this end, why not that one, what else; as text and as JSON.

Duty: readings as text in, reasons out, with numbers that a person can check; the public JSON, written down once. The
reasons are the matcher's: it must not decide anything.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer
from pydantic import Field

from voicefit.catalogue.public import Document
from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say
from voicefit.quantities import Quantity, Unit

if TYPE_CHECKING:
    from voicefit.catalogue import CandidateEnd, Catalogue
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


def register(app: typer.Typer) -> None:
    app.command(epilog='Example: voicefit explain "outside nineteen thirty-seconds, nineteen pitch" --why-not flare37')(
        explain
    )


def explain(
    context: typer.Context,
    text: str = typer.Argument(help="What was said, as words; several sentences are one session."),
    why_not: list[str] = typer.Option(
        [], "--why-not", metavar="NAME", help="A series by id or name, or an end by id; may be given again."
    ),
    json: bool = JSON_OPTION,
) -> None:
    """Say what speaks for the leading end, what against others, and which check separates the next best."""
    from voicefit.cli.explain import ExplainDocument, explanation_document
    from voicefit.driver import Conversation, open_knowledge
    from voicefit.matching import Posterior, conflict, what_else, why
    from voicefit.matching import why_not as against

    with errors_as_exit_codes():
        knowledge = open_knowledge(context.obj.catalogue if context.obj else None)
        conversation = Conversation(knowledge)
        snapshot = conversation.take_text(text)
        readings = tuple(taken.reading for taken in snapshot.readings)
        if not readings:
            say(f"voicefit: nothing was understood in {text!r}")
            raise typer.Exit(NOTHING)
        posterior = Posterior(knowledge.matcher, readings)
        others = []
        for name in why_not:
            found = against(knowledge.matcher, posterior, _candidate(knowledge.catalogue, name))
            if found is not None:
                others.append(found)
        advice = snapshot.advice
        ends = knowledge.catalogue.ends
        document = ExplainDocument(
            heard=snapshot.heard,
            identified=advice.identified,
            why=explanation_document(knowledge, why(knowledge.matcher, posterior)),
            why_not=[d for each in others if (d := explanation_document(knowledge, each, by_part=False)) is not None],
            what_else=explanation_document(knowledge, what_else(knowledge.advisor, posterior)),
            look_alikes=[ends[row].id for row in advice.look_alikes],
            contradiction=list(conflict(knowledge.matcher, readings)),
        )
        if json:
            print_json(document)
        else:
            _print(document)
        raise typer.Exit(DONE if posterior.none < 0.5 else NOTHING)


def _candidate(catalogue: Catalogue, name: str) -> str:
    """The id of the series or of the end that ``name`` means; anything else raises :class:`BadInput`."""
    from voicefit.errors import BadInput

    if name in catalogue.series or name in catalogue.by_id:
        return name
    plain = " ".join(name.lower().replace("-", " ").split())
    for series in catalogue.series.values():
        names = (series.id, series.name, series.spoken_name, *series.words)
        if plain in {" ".join(each.lower().replace("-", " ").split()) for each in names}:
            return series.id
    raise BadInput(f"{name!r} is no series and no end; there are {', '.join(sorted(catalogue.series))}")


def _print(document: ExplainDocument) -> None:
    if document.why is not None:
        state = "identified" if document.identified else f"{document.why.probability:.0%}"
        print(f"{document.why.name}: {state}")
        for reason in document.why.reasons:
            print(f"  {_line(reason)}")
    if document.contradiction and document.why is not None:
        said = {
            reason.reading: f"{reason.measurand.replace('_', ' ')} {reason.said}" for reason in document.why.reasons
        }
        alone = len(document.contradiction) == 1
        words = "As read, no end has this: " if alone else "As read, no end has all of these: "
        print(words + "; ".join(said[i] for i in document.contradiction))
    for other in document.why_not:
        print(f"Why not {other.name} ({other.probability:.1%}):")
        for reason in other.reasons:
            print(f"  {_line(reason)}")
    if document.what_else is not None:
        print(f"What else: {document.what_else.name} ({document.what_else.probability:.0%})")
        print(f"  {document.what_else.check or 'No check here tells the two apart: a trial fit, a sample, the maker.'}")


def _line(reason: ReasonDocument) -> str:
    parts = [f"{reason.measurand.replace('_', ' ')} {reason.said}"]
    given = f"{reason.nominal}{', from memory' if reason.recalled else ''}"
    if reason.taken_as != reason.measurand:
        nominal = "" if reason.nominal is None else f", nominal {given}"
        parts.append(f"taken as {reason.taken_as.replace('_', ' ')}{nominal}")
    elif reason.nominal is not None:
        parts.append(f"{'fits' if reason.fits else 'against'} {given}")
    if reason.rules_out:
        parts.append("rules out " + ", ".join(reason.rules_out[:4]))
    return f"{reason.weight_bit:+6.1f} bit  " + "; ".join(parts)
