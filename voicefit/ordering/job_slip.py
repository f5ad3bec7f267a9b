"""The order slip of a whole job: from ends, hoses and notes to the document.

Duty: gather a job's items with their cautions and conventions. It must not know how the job came about (the dialogue's)
and must not print.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.conditions import SealedBy
from voicefit.catalogue.hoses import Hose
from voicefit.ordering.cautions import HOSE, belonging
from voicefit.ordering.follow import SealNeed
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.naming import end_name
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import (
    CONVENTIONS,
    ChainItem,
    DecidedBy,
    EndItem,
    HoseItem,
    OrderSlip,
    SealLineItem,
    StockItem,
)
from voicefit.ordering.slip_items import (
    MARKS,
    NOT_IDENTIFIED,
    chain_item,
    end_item,
    hose_item,
    open_hose_item,
    refused_item,
    seal_line,
    unidentified_item,
)
from voicefit.ordering.stock_hoses import hose_key


@dataclass(frozen=True, slots=True)
class EndFacts:
    """``end`` : id of the catalogue, ``None`` where nothing says which. ``readings`` : in writing. ``look_alikes`` :
    ids of what was not ruled out where the checks did not decide. ``sealed_by`` : the kind of washer that was named.
    ``on_hose`` : it goes on a hose of the job, once or twice on each. ``mate_of`` : id of the end whose mate it is."""

    end: str | None
    readings: tuple[str, ...] = ()
    count: int = 1
    decided_by: DecidedBy = DecidedBy.CHECKS
    look_alikes: tuple[str, ...] = ()
    sealed_by: SealedBy | None = None
    on_hose: bool = False
    mate_of: str | None = None


@dataclass(frozen=True, slots=True)
class SealOrder:
    """So many seals of an end, as a line of their own. ``kind`` : what was ordered, "o-ring" or "washer"; "seal": what
    seals it. ``sealed_by`` : the kind of washer that was named."""

    end: str
    count: int
    kind: str = "seal"
    sealed_by: SealedBy | None = None


@dataclass(frozen=True, slots=True)
class HoseOrder:
    """``hose`` : the one chosen, or ``None`` while several fit. ``ends`` : those it gets, two at most, settled or not;
    none: as in the facts."""

    facts: HoseFacts
    hose: Hose | None = None
    count: int = 1
    ends: tuple[EndFacts, ...] = ()


@dataclass(frozen=True, slots=True)
class JobFacts:
    """A job as the slip needs it. ``goals`` : pairs of end ids that are to be joined by adapters. Times as text."""

    job: str
    machine: str = ""
    opened_at: str = ""
    written_at: str = ""
    ends: tuple[EndFacts, ...] = ()
    seals: tuple[SealOrder, ...] = ()
    hoses: tuple[HoseOrder, ...] = ()
    goals: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


StockLookUp = Callable[[str], Sequence[StockItem]]
"""What the shop has of a part, by the part's id."""


def nothing_in_stock(part: str) -> Sequence[StockItem]:
    return ()


def job_slip(ordering: Ordering, job: JobFacts, stock: StockLookUp = nothing_in_stock) -> OrderSlip:
    """The slip of a job. An end that today's catalogue does not have any more counts as not identified."""
    places: set[str] = set()
    ends = tuple(_end(ordering, each, stock, places) for each, _ in alike(job.ends))
    hoses = tuple(_hose(ordering, each, job.goals, stock) for each in job.hoses)
    if hoses:
        places.add(HOSE)
    return OrderSlip(
        job=job.job,
        machine=job.machine,
        opened_at=job.opened_at,
        written_at=job.written_at,
        ends=ends,
        seals=tuple(line for each in job.seals for line in _seals(ordering, each)),
        hoses=hoses,
        chains=tuple(chain for goal in job.goals if (chain := _chain(ordering, *goal)) is not None),
        notes=job.notes,
        cautions=tuple(caution.text for caution in belonging(ordering.cautions, places)),
        conventions=CONVENTIONS if hoses else (),
        catalogue=ordering.catalogue.digest[:12],
    )


def alike(ends: Iterable[EndFacts]) -> tuple[tuple[EndFacts, tuple[int, ...]], ...]:
    """The ends with those that are the same, and as sure, as one: so many of it; each with the places of those."""
    found: dict[object, tuple[EndFacts, tuple[int, ...]]] = {}
    for number, each in enumerate(ends):
        key = number if each.end is None else replace(each, count=1, readings=())
        before, places = found.get(key, (None, ()))
        if before is not None:
            each = replace(each, count=before.count + each.count, readings=(*before.readings, *each.readings))
        found[key] = (each, (*places, number))
    return tuple(found.values())


def _end(ordering: Ordering, facts: EndFacts, stock: StockLookUp, places: set[str]) -> EndItem:
    known = None if facts.end is None else ordering.catalogue.by_id.get(facts.end)
    readings = tuple(dict.fromkeys(facts.readings))  # what was said twice is written once
    if known is None:
        return unidentified_item(readings, count=facts.count)
    if known.trade is not None:
        return refused_item(known, readings)
    follow = ordering.follow_up(known).sealed(facts.sealed_by)
    places.update(seal.kind.value for seal in follow.seals)
    return end_item(
        follow,
        ordering.catalogue.sources,
        readings=readings,
        stock=stock(known.part),
        count=facts.count,
        on_hose=facts.on_hose,
        mate_of="" if facts.mate_of is None else end_name(ordering.end(facts.mate_of)),
        decided_by=facts.decided_by,
        look_alikes=[each for id_ in facts.look_alikes if (each := ordering.catalogue.by_id.get(id_)) is not None],
    )


def seals_to_order(ordering: Ordering, order: SealOrder) -> tuple[SealNeed, ...]:
    """Of the seals of an end those that a size is known of: what can be ordered by itself. Of those of its mates'
    variants the nearest."""
    known = ordering.catalogue.by_id.get(order.end)
    if known is None or known.trade is not None:
        return ()
    seals = ordering.follow_up(known).sealed(order.sealed_by).seals
    sized = {"o-ring": [each for each in seals if each.ring], "washer": [each for each in seals if each.washers]}
    named = sized.get(order.kind, [each for each in seals if each in sized["o-ring"] + sized["washer"]])
    return tuple(each for each in named if each.count)[:1]


def _seals(ordering: Ordering, order: SealOrder) -> tuple[SealLineItem, ...]:
    return tuple(
        seal_line(need, end_name(ordering.catalogue.by_id[order.end]), order.count)
        for need in seals_to_order(ordering, order)
    )


def _hose(ordering: Ordering, order: HoseOrder, goals: Iterable[tuple[str, str]], stock: StockLookUp) -> HoseItem:
    facts = order.facts
    fluid = ordering.fluids.get(facts.fluid or "")
    if order.hose is not None:
        assembly = ordering.assess(order.hose, facts, adapter_ends(ordering, facts.ends, goals))
        ends = _end_names(ordering, order) or tuple(map(end_name, assembly.ends))
        return hose_item(assembly, ends, fluid=fluid, count=order.count, stock=stock(hose_key(order.hose)))
    types = (each.type for each in ordering.catalogue.hoses)
    name = next((f"{each.standard} {each.name}" for each in types if each.id == facts.hose_type), "")
    ends = _end_names(ordering, order) or tuple(end_name(ordering.end(end)) for end in facts.ends)
    return open_hose_item(facts, ends, hose_type=name, fluid=fluid, count=order.count)


def _end_names(ordering: Ordering, order: HoseOrder) -> tuple[str, ...]:
    """The ends that a hose gets, by name, with what says that they are it."""
    known = [(ordering.catalogue.by_id.get(each.end or ""), each.decided_by) for each in order.ends]
    return tuple(NOT_IDENTIFIED if end is None else end_name(end) + MARKS[by] for end, by in known)


def adapter_ends(ordering: Ordering, ends: Iterable[str], goals: Iterable[tuple[str, str]]) -> tuple[CandidateEnd, ...]:
    """The ends of the adapters that were asked for at either end of a hose: they stay in its line."""
    chains = [ordering.chain(*goal) for goal in goals if set(goal) & set(ends)]
    return tuple(end for chain in chains if chain is not None for each in chain.adapters for end in each.ends)


def _chain(ordering: Ordering, start: str, goal: str) -> ChainItem | None:
    chain = ordering.chain(start, goal)
    if chain is None:
        return None
    return chain_item(ordering.end(start), ordering.end(goal), chain, ordering.catalogue.sources)
