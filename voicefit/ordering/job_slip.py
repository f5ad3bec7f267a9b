"""The order slip of a whole job: from ends, hoses and notes to the document.

Duty: gather a job's items with their cautions and conventions. It must not know how the job came about (the dialogue's)
and must not print.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.conditions import SealedBy
from voicefit.catalogue.hoses import Hose
from voicefit.ordering.cautions import HOSE, belonging
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import CONVENTIONS, ChainItem, DecidedBy, EndItem, HoseItem, OrderSlip, StockItem
from voicefit.ordering.slip_items import (
    chain_item,
    end_item,
    hose_item,
    open_hose_item,
    refused_item,
    unidentified_item,
)
from voicefit.ordering.stock_hoses import hose_key


@dataclass(frozen=True, slots=True)
class EndFacts:
    """``end`` : id of the catalogue, ``None`` where nothing says which. ``readings`` : in writing. ``look_alikes`` :
    ids of what was not ruled out where the checks did not decide. ``sealed_by`` : the kind of washer that was named."""

    end: str | None
    readings: tuple[str, ...] = ()
    count: int = 1
    decided_by: DecidedBy = DecidedBy.CHECKS
    look_alikes: tuple[str, ...] = ()
    sealed_by: SealedBy | None = None


@dataclass(frozen=True, slots=True)
class HoseOrder:
    """``hose`` : the one chosen, or ``None`` while several fit."""

    facts: HoseFacts
    hose: Hose | None = None
    count: int = 1


@dataclass(frozen=True, slots=True)
class JobFacts:
    """A job as the slip needs it. ``goals`` : pairs of end ids that are to be joined by adapters. Times as text."""

    job: str
    machine: str = ""
    opened_at: str = ""
    written_at: str = ""
    ends: tuple[EndFacts, ...] = ()
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
    ends = tuple(_end(ordering, each, stock, places) for each in job.ends)
    hoses = tuple(_hose(ordering, each, job.goals, stock) for each in job.hoses)
    if hoses:
        places.add(HOSE)
    return OrderSlip(
        job=job.job,
        machine=job.machine,
        opened_at=job.opened_at,
        written_at=job.written_at,
        ends=ends,
        hoses=hoses,
        chains=tuple(chain for goal in job.goals if (chain := _chain(ordering, *goal)) is not None),
        notes=job.notes,
        cautions=tuple(caution.text for caution in belonging(ordering.cautions, places)),
        conventions=CONVENTIONS if hoses else (),
        catalogue=ordering.catalogue.digest[:12],
    )


def _end(ordering: Ordering, facts: EndFacts, stock: StockLookUp, places: set[str]) -> EndItem:
    known = None if facts.end is None else ordering.catalogue.by_id.get(facts.end)
    readings = tuple(dict.fromkeys(facts.readings))  # what was said twice is written once
    if known is None:
        return unidentified_item(readings)
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
        decided_by=facts.decided_by,
        look_alikes=[each for id_ in facts.look_alikes if (each := ordering.catalogue.by_id.get(id_)) is not None],
    )


def _hose(ordering: Ordering, order: HoseOrder, goals: Iterable[tuple[str, str]], stock: StockLookUp) -> HoseItem:
    facts = order.facts
    fluid = ordering.fluids.get(facts.fluid or "")
    if order.hose is not None:
        assembly = ordering.assess(order.hose, facts, adapter_ends(ordering, facts.ends, goals))
        return hose_item(assembly, fluid=fluid, count=order.count, stock=stock(hose_key(order.hose)))
    types = (each.type for each in ordering.catalogue.hoses)
    name = next((f"{each.standard} {each.name}" for each in types if each.id == facts.hose_type), "")
    ends = tuple(ordering.end(end) for end in facts.ends)
    return open_hose_item(facts, ends, hose_type=name, fluid=fluid, count=order.count)


def adapter_ends(ordering: Ordering, ends: Iterable[str], goals: Iterable[tuple[str, str]]) -> tuple[CandidateEnd, ...]:
    """The ends of the adapters that were asked for at either end of a hose: they stay in its line."""
    chains = [ordering.chain(*goal) for goal in goals if set(goal) & set(ends)]
    return tuple(end for chain in chains if chain is not None for each in chain.adapters for end in each.ends)


def _chain(ordering: Ordering, start: str, goal: str) -> ChainItem | None:
    chain = ordering.chain(start, goal)
    if chain is None:
        return None
    return chain_item(ordering.end(start), ordering.end(goal), chain, ordering.catalogue.sources)
