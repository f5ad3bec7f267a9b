"""The items of an order slip, from what follows of ends, chains and hoses.

Duty: fill the document of :mod:`voicefit.ordering.slip`. It must not decide what is ordered and must not fill a gap.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Basis, Figure, FlangeHead, least_sure
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.rows import Source
from voicefit.ordering import naming
from voicefit.ordering.adapters import Chain
from voicefit.ordering.assembly import Assembly
from voicefit.ordering.follow import FollowUp, SealNeed
from voicefit.ordering.hose import Fluid, HoseFacts
from voicefit.ordering.mating import Obstacle, Refusal, distinct_parts
from voicefit.ordering.rating import Rating, lowest
from voicefit.ordering.slip import (
    AdapterItem,
    BoltsItem,
    ChainItem,
    DecidedBy,
    DiameterItem,
    EndItem,
    FigureItem,
    FlangeItem,
    HoseItem,
    LengthItem,
    NeverItem,
    RatingItem,
    SealItem,
    SealLineItem,
    StockItem,
    WasherItem,
    WeakerItem,
)
from voicefit.ordering.spans import of_machines

_AS_SAID = (  # of a hose
    "length_mm", "elbow_angle_deg", "one_elbow", "routed_bend_deg", "routed_radius_mm", "temperature_c",
)  # fmt: skip
NEVER_LISTED = 3  # of the ends that screw on and must not: the likeliest mistakes
MATES_LISTED = 4
# Beside the name of an end, so that no print of the slip leaves it out.
MARKS = {
    DecidedBy.CHECKS: "",
    DecidedBy.PERSON: " (decided by the person, not by checks)",
    DecidedBy.LIKELY: " (very likely, not settled by checks)",
}


NOT_IDENTIFIED = "not identified"


def end_item(
    follow: FollowUp,
    sources: Mapping[str, Source],
    *,
    readings: Iterable[str] = (),
    stock: Iterable[StockItem] = (),
    count: int = 1,
    on_hose: bool = False,
    mate_of: str = "",
    decided_by: DecidedBy = DecidedBy.CHECKS,
    look_alikes: Iterable[CandidateEnd] = (),
) -> EndItem:
    """The item of an end; its name says where the checks did not decide. ``mate_of`` : name of the end it goes on."""
    end = follow.end
    pressure = lowest(end)
    mates = distinct_parts(follow.mating.mates)[:MATES_LISTED]
    return EndItem(
        id=end.id,
        name=naming.end_name(end) + MARKS[decided_by],
        mate_of=mate_of,
        count=count,
        on_hose=on_hose,
        standard=end.standard,
        series=end.series,
        gender=end.gender.value,
        thread=None if end.thread is None else end.thread.designation,
        dash=end.dash,
        tube_od_mm=end.tube_od_mm,
        seat=naming.seat_name(end),
        seat_basis=None if end.seat_half_angle_deg is None else end.origin("seat").basis,
        flange=None if end.flange is None else _flange_item(end, end.flange),
        diameter=next(
            (DiameterItem(of=name, mm=round(mm, 2), basis=end.origin("diameter").basis) for name, mm in end.profile_mm),
            None,
        ),
        hex_mm=tuple(round(each, 2) for each in end.hex_mm),
        seals=tuple(seal_item(each) for each in follow.seals),
        mates=tuple(naming.end_name(each) for each in mates),
        mates_basis=tuple(least_sure((each.thread_basis, _tube(each))) for each in mates),
        weaker=tuple(
            WeakerItem(name=naming.end_name(each), pressure=_figure_item(held, sources))
            for each in mates
            if (held := follow.mating.weaker.get(each.id)) is not None
        ),
        only_if=tuple(f"{naming.end_name(each.end)}: {each.condition}" for each in follow.mating.conditional),
        never=tuple(
            NeverItem(name=naming.end_name(each.end), reason=each.reason) for each in _distinct_refusals(follow)
        ),
        torque=tuple(_figure_item(each, sources) for each in of_machines(follow.torque)),
        turns=tuple(_figure_item(each, sources) for each in of_machines(follow.turns)),
        pressure=None if pressure is None else _figure_item(pressure, sources),
        basis=end.basis,
        thread_basis=end.thread_basis,
        tube_basis=_tube(end),
        hex_basis=end.origin("hex").basis if end.hex_mm else None,
        decided_by=decided_by,
        look_alikes=tuple(naming.end_name(each) for each in look_alikes),
        readings=tuple(readings),
        stock=tuple(stock),
    )


def _tube(end: CandidateEnd) -> Basis | None:
    return None if end.tube_od_mm is None else end.origin("tube").basis


def _flange_item(end: CandidateEnd, head: FlangeHead) -> FlangeItem:
    known = head.head_diameter_mm is not None or head.head_thickness_mm is not None
    bolts = {"bolt_metric": head.bolt_metric, "bolt_inch": head.bolt_inch}
    return FlangeItem(
        square=head.square,
        head_diameter_mm=_hundredths(head.head_diameter_mm),
        head_thickness_mm=_hundredths(head.head_thickness_mm),
        head_basis=end.origin("head").basis if known else None,
        bolt_long_mm=round(head.bolt_long_mm, 2),
        bolt_short_mm=round(head.bolt_short_mm, 2),
        bolt_circle_mm=round(head.bolt_circle_mm, 2),
        centres_basis=end.origin("centres").basis,
        bolts=tuple(BoltsItem(size=size, basis=end.origin(each).basis) for each, size in bolts.items() if size),
    )


def _hundredths(mm: float | None) -> float | None:
    return None if mm is None else round(mm, 2)


def unidentified_item(readings: Iterable[str], *, count: int = 1) -> EndItem:
    """The item of an end that is not identified: its readings, and nothing that could be mistaken for an order."""
    return EndItem(name=NOT_IDENTIFIED, count=count, readings=tuple(readings))


def refused_item(end: CandidateEnd, readings: Iterable[str]) -> EndItem:
    """The item of an end of another trade: none of it, and named so that the counter sees why."""
    return EndItem(name=f"{naming.end_name(end)}: not ordered, no hydraulic end", count=0, readings=tuple(readings))


def seal_item(need: SealNeed) -> SealItem:
    ring = need.ring
    return SealItem(
        kind=need.kind,
        count=need.count,
        standard="" if ring is None else ring.standard,
        o_ring=None if ring is None else ring.id,
        inside_diameter_mm=None if ring is None else round(ring.inside_diameter_mm, 2),
        section_mm=None if ring is None else round(ring.section_mm, 2),
        basis=need.basis,
        washers=tuple(map(WasherItem.model_validate, need.washers)),
        on="this end" if need.on_this_end else "the mate",
    )


def seal_line(need: SealNeed, of: str, count: int) -> SealLineItem:
    """So many of a seal, as a line of its own. ``of`` : name of the end."""
    return SealLineItem(name=naming.SEALS[need.kind], count=count, seal=seal_item(need), of=of)


def chain_item(start: CandidateEnd, goal: CandidateEnd, chain: Chain, sources: Mapping[str, Source]) -> ChainItem:
    """The item of a chain between two ends."""
    parts = (start, *(end for adapter in chain.adapters for end in adapter.ends), goal)
    return ChainItem(
        start=naming.end_name(start),
        goal=naming.end_name(goal),
        adapters=tuple(
            AdapterItem(
                ends=(adapter.ends[0].id, adapter.ends[1].id),
                names=(naming.end_name(adapter.ends[0]), naming.end_name(adapter.ends[1])),
                standard=naming.source_name(adapter.source, "", sources),
                basis=adapter.basis,
            )
            for adapter in chain.adapters
        ),
        rating=_rating_item(chain.rating, parts),
    )


def hose_item(
    assembly: Assembly,
    ends: Iterable[str],
    *,
    fluid: Fluid | None = None,
    count: int = 1,
    stock: Iterable[StockItem] = (),
) -> HoseItem:
    """The item of an assembly. ``ends`` : by name."""
    hose, turn = assembly.hose, assembly.most_turn_deg
    return open_hose_item(assembly.facts, ends, fluid=fluid, count=count).model_copy(
        update={
            "id": hose.id,
            "name": naming.hose_name(hose),
            "said": (),
            "edition": hose.edition,
            "edition_basis": hose.edition_basis,
            "reinforcement": tuple(each.value for each in hose.type.reinforcement),
            "tolerances": tuple(map(LengthItem.model_validate, assembly.tolerances)),
            "bend_radius_mm": hose.bend_radius_mm,
            "basis": hose.basis,
            "most_turn_deg": None if turn is None else 5.0 * int(turn / 5),
            "rating": _rating_item(assembly.rating, (*assembly.ends, *assembly.adapter_ends), hose),
            "design_factor": assembly.design_factor,
            "burst_bar": round(assembly.burst_bar, 1),
            "faults": assembly.faults,
            "stock": tuple(stock),
        }
    )


def open_hose_item(
    facts: HoseFacts, ends: Iterable[str], *, hose_type: str = "", fluid: Fluid | None = None, count: int = 1
) -> HoseItem:
    """The item of a hose of which no one kind is chosen: it goes by what was said of it. ``hose_type`` : its name."""
    sizes = {"bore": facts.bore_mm, "outside": facts.outside_mm}
    named = (hose_type, "" if facts.dash is None else f"dash {facts.dash}")
    measured = (f"{name} {naming.length_name(mm)}" for name, mm in sizes.items() if mm is not None)
    said = (*filter(None, named), *measured, *(each.replace("_", " ") for each in sorted(facts.reinforcement)))
    return HoseItem(
        name=", ".join(said) or "no size or kind said",
        count=count,
        said=said,
        ends=tuple(ends),
        **{name: getattr(facts, name) for name in _AS_SAID},
        application=facts.application or "",
        fluid="" if fluid is None else fluid.name,
        compounds=() if fluid is None else fluid.suits,
        compounds_avoid=() if fluid is None else fluid.avoid,
        required_bar=facts.pressure_bar,
        delivery=facts.delivery or "",
        missing=tuple(topic.value for topic in facts.missing),
        needed=facts.needed,
    )


def _rating_item(rating: Rating, ends: Iterable[CandidateEnd], hose: Hose | None = None) -> RatingItem:
    """``ends``, ``hose`` : the parts that were rated. On paper they go by name."""
    names = {end.id: naming.end_name(end) for end in ends}
    if hose is not None:
        names[hose.id] = naming.hose_name(hose)
    return RatingItem(
        bar=None if rating.bar is None else round(rating.bar, 1),
        basis=rating.figure.basis if rating.figure else hose.basis if hose and rating.weakest == hose.id else None,
        condition=rating.figure.condition if rating.figure else "",
        weakest=None if rating.weakest is None else names[rating.weakest],
        without_figure=tuple(dict.fromkeys(names[part] for part in rating.without_figure)),
    )


def _figure_item(figure: Figure, sources: Mapping[str, Source]) -> FigureItem:
    return FigureItem(
        low=_rounded(figure.low),
        high=_rounded(figure.high),
        unit=figure.unit,  # type: ignore[arg-type]  # validated by the model
        source=naming.sources_name(figure, sources),
        basis=figure.basis,
        condition=figure.condition,
    )


def _rounded(value: float) -> float:
    return round(value, 1) if value >= 10 else round(value, 3)


def _distinct_refusals(follow: FollowUp) -> list[Refusal]:
    """The likeliest mistakes, each series and reason once."""
    found: dict[tuple[str, Obstacle], Refusal] = {}
    for refusal in follow.mating.refusals:
        found.setdefault((refusal.end.series, refusal.reason), refusal)
    return list(found.values())[:NEVER_LISTED]
