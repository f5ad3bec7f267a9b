"""From a job on record to the facts of its order slip.

Duty: gather. It must not word the slip and must not write it (:mod:`voicefit.ordering.job_slip` and the edge do).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from voicefit.catalogue.sizes import inch_text
from voicefit.dialogue import standing
from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.record import END, Job, OnRecord, Piece
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, SealOrder
from voicefit.ordering.slip import DecidedBy
from voicefit.quantities import Quantity, Unit
from voicefit.records import Certainty, Gender, Measurand, Option

MATE = "mate"
MOST_LOOK_ALIKES = 3  # of what is not excluded, named on a slip


def job_facts(knowledge: Knowledge, record: OnRecord, number: int) -> JobFacts:
    """The facts of one job. Pieces of which nothing was said are left out. Raises ``KeyError`` for an unknown job.

    The first two ends that a hose can have are the ends of the job's hoses; one that is on both ends is both.
    """
    job = {each.number: each for each in record.work.jobs}[number]
    lines = orders(knowledge, record, job)
    return JobFacts(
        job=str(number),
        machine=job.machine or job.machine_note,
        ends=tuple(each.facts for each in lines if isinstance(each.facts, EndFacts)),
        seals=tuple(each.facts for each in lines if isinstance(each.facts, SealOrder)),
        hoses=tuple(each.facts for each in lines if isinstance(each.facts, HoseOrder)),
        goals=job.goals,
        notes=tuple(note.name for note in record.notes if note.job == number),
    )


@dataclass(frozen=True, slots=True)
class Ordered:
    """What is ordered by one piece: it itself, or ``what`` belongs to it (as in :class:`entries.Beside`)."""

    piece: Piece
    what: str | None
    facts: EndFacts | SealOrder | HoseOrder


def orders(knowledge: Knowledge, record: OnRecord, job: Job) -> tuple[Ordered, ...]:
    """All that is ordered in a job, as the slip has it: ends and their mates, seals, hoses."""
    hoses = [
        Ordered(piece, None, hose_order(knowledge, record, job, piece))
        for piece in job.pieces
        if piece.kind != END and piece.count != 0
    ]
    wanted = tuple(each.facts for each in hoses if isinstance(each.facts, HoseOrder))
    ends = _ends(job)
    return (
        *(Ordered(p, None, _end_to_order(knowledge, record, job, p, wanted)) for p in ends if p.count != 0),
        *(each for piece in ends for each in _beside(knowledge, record, piece)),
        *hoses,
    )


def _beside(knowledge: Knowledge, record: OnRecord, piece: Piece) -> Iterator[Ordered]:
    """What is ordered beside an end, as far as it is known which end that is: mates before seals."""
    facts = end_facts(knowledge, record, piece)
    for what, count in sorted(piece.beside, key=lambda each: each[0] != MATE):
        mate = mate_of(knowledge, facts.end) if what == MATE else None
        if mate is not None:
            yield Ordered(piece, what, EndFacts(mate, count=count, decided_by=facts.decided_by, mate_of=facts.end))
        elif what != MATE and facts.end is not None:
            yield Ordered(piece, what, seal_order(facts, what, count))


def seal_order(facts: EndFacts, what: str, count: int = 1) -> SealOrder:
    """So many seals of an end that is known."""
    return SealOrder(facts.end or "", count, what, facts.sealed_by)


def mate_of(knowledge: Knowledge, end: str | None) -> str | None:
    """Id of what an end is ordered with: its nearest mate, where that is a part of its own and no port."""
    row = knowledge.row_of(end or "")
    if row is None or knowledge.catalogue.ends[row].trade is not None:
        return None
    mates = knowledge.aftercare.follow(row).mating.mates
    return next((each.id for each in mates if each.gender is not Gender.PORT), None)


def _ends(job: Job) -> list[Piece]:
    return [piece for piece in job.pieces if piece.kind == END and not piece.is_empty]


def ends_of_hose(knowledge: Knowledge, record: OnRecord, job: Job) -> tuple[Piece, ...]:
    """The ends that a hose of the job gets, in their order, two at most: what cannot sit on a hose is none."""

    def sits_on_one(piece: Piece) -> bool:
        row = knowledge.row_of(record.end_of(piece) or "")
        return row is None or knowledge.catalogue.ends[row].gender not in (Gender.PORT, Gender.STUD)

    ends = [piece for each in _ends(job) if sits_on_one(each) for piece in ((each, each) if each.both else (each,))]
    order = sorted(range(len(ends)), key=lambda at: record.end_of(ends[at]) is None)  # what is settled comes before
    return tuple(ends[at] for at in sorted(order[:2]))


def _end_to_order(
    knowledge: Knowledge, record: OnRecord, job: Job, piece: Piece, hoses: tuple[HoseOrder, ...]
) -> EndFacts:
    """An end of a job with how many are ordered: as said, else one, or what its hoses need of it."""
    on_each = [each.number for each in ends_of_hose(knowledge, record, job)].count(piece.number)
    needed = on_each * sum(order.count for order in hoses)
    count = piece.count or needed or (2 if piece.both else 1)
    return replace(end_facts(knowledge, record, piece), count=count, on_hose=count == needed)


def end_facts(knowledge: Knowledge, record: OnRecord, piece: Piece) -> EndFacts:
    """An end of a job, with what says that it is the one: the checks, the person, or that it is very likely."""
    end, decided_by = record.end_of(piece), DecidedBy.CHECKS
    look_alikes: tuple[str, ...] = ()
    belief = knowledge.believe(piece, record.without)
    catalogue = knowledge.catalogue.ends
    if piece.decided is not None:
        decided_by, look_alikes = DecidedBy.PERSON, piece.look_alikes
    elif end is None and belief.leader is not None and belief.advice.certainty is Certainty.LIKELY:
        end, decided_by = catalogue[standing.the_end(knowledge, belief)].id, DecidedBy.LIKELY
        look_alikes = tuple(catalogue[row].id for row in belief.advice.look_alikes[:MOST_LOOK_ALIKES])
    return EndFacts(
        end, written(knowledge, piece), decided_by=decided_by, look_alikes=look_alikes, sealed_by=belief.sealed_by
    )


def hose_order(knowledge: Knowledge, record: OnRecord, job: Job, piece: Piece) -> HoseOrder:
    """A hose of a job: its facts, and the hose where only one kind and size fits."""
    hose = knowledge.believe(piece).hose
    facts = HoseFacts() if hose is None else hose.facts
    ends = ends_of_hose(knowledge, record, job)
    facts = replace(facts, ends=tuple(end for each in ends if (end := record.end_of(each)) is not None))
    fitting = () if hose is None else hose.hoses
    one_kind = len({(hose.type.id, hose.dash) for hose in fitting}) == 1
    return HoseOrder(
        facts,
        min(fitting, key=lambda hose: hose.pressure_bar) if one_kind else None,
        count=piece.count or 1,
        ends=tuple(end_facts(knowledge, record, each) for each in ends),
    )


def written(knowledge: Knowledge, piece: Piece) -> tuple[str, ...]:
    """The readings of a piece in writing, as they are taken; of two genders that were said the likelier."""
    belief = knowledge.believe(piece)
    options = [taken.option for taken in belief.taken]
    said = [option.value for option in options if _names_a_gender(option)]
    likelier = said[-1:]
    if belief.leader is not None and knowledge.catalogue.ends[belief.leader.row].gender in said:
        likelier = [knowledge.catalogue.ends[belief.leader.row].gender]
    return tuple(in_writing(each) for each in options if not _names_a_gender(each) or each.value in likelier)


def _names_a_gender(option: Option) -> bool:
    return option.measurand is Measurand.GENDER and not option.negated


def in_writing(option: Option) -> str:
    """``pitch 19 tpi``, ``seat form not convex``."""
    value = option.value
    text = _number(value) if isinstance(value, Quantity) else str(value)
    return f"{option.measurand.value.replace('_', ' ')} {'not ' if option.negated else ''}{text.replace('_', ' ')}"


def _number(quantity: Quantity) -> str:
    """As it is read off: ``19/32 in``, ``15.8 mm``, ``11.5 tpi``."""
    value, unit = quantity.value, quantity.unit
    if unit is Unit.INCH and value.denominator & (value.denominator - 1) == 0:
        return f"{inch_text(value)} in"
    return f"{float(value):.6g} {unit.value}".removesuffix(f" {Unit.COUNT.value}")
