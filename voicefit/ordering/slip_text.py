"""The order slip as text to be read down the telephone.

Duty: lay out an :class:`OrderSlip`. It must not compute anything: what is not in the document is not in the text.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import zip_longest

from voicefit.catalogue.ends import Basis
from voicefit.ordering.hose import Need
from voicefit.ordering.mating import Obstacle
from voicefit.ordering.naming import SEALS
from voicefit.ordering.slip import (
    ChainItem,
    EndItem,
    FigureItem,
    FlangeItem,
    HoseItem,
    OrderSlip,
    RatingItem,
    SealItem,
    SealLineItem,
    StockItem,
)
from voicefit.records import Seal

REASONS = {
    Obstacle.THREAD: "another thread",
    Obstacle.SEAT_FORM: "the seats do not meet",
    Obstacle.SEAT_ANGLE: "another seat angle",
    Obstacle.TUBE: "another tube size",
    Obstacle.SEALING: "seals at another place",
    Obstacle.STANDARD: "another standard",
    Obstacle.TRADE: "not a hydraulic end",
}
SIZED = frozenset(Seal) - {Seal.METAL, Seal.THREAD, Seal.CUTTING_RING}
FAULTS = {
    "pressure": "needs more pressure than it holds",
    "temperature": "outside its temperatures",
    "bend": "bent tighter than it allows",
    "short": "too short for the bend",
    "size": "an end is of another bore than the hose",
    "no_figure": "parts without a pressure figure are in the line",
}
NEEDED: Mapping[str, str] = {
    Need.SIZE: "bore or dash",
    Need.KIND: "print or wires",
    Need.LENGTH: "length",
    Need.ENDS: "both ends",
}
RECALLED = ", from memory"


def to_text(slip: OrderSlip) -> str:
    """Plain text, one fact a line, numbered items, the count of items last so that the listener can check."""
    lines = [f"ORDER SLIP, job {slip.job}"]
    lines += [f"Machine: {slip.machine}"] if slip.machine else []
    lines += [f"Opened: {slip.opened_at}"] if slip.opened_at else []
    lines += [f"Written: {slip.written_at}"] if slip.written_at else []
    if slip.sheet is not None:
        lines.append(f"Sheet {slip.sheet.number} of {slip.sheet.of}")
    items: list[Iterable[str]] = [
        *(_end_lines(end) for end in slip.ends),
        *(_seal_lines(each) for each in slip.seals),
        *(_hose_lines(hose) for hose in slip.hoses),
        *(_chain_lines(chain) for chain in slip.chains),
    ]
    for number, item in enumerate(items, 1):
        first, *rest = item
        lines += ["", f"{number}. {first}", *(f"   {line}" for line in rest)]
    for title, texts in (("Conventions", slip.conventions), ("Notes", slip.notes), ("Cautions", slip.cautions)):
        if texts:
            lines += ["", f"{title}:", *(f"- {text}" for text in texts)]
    if any(RECALLED in line for line in lines):
        lines += ["", "From memory: recalled from the source named, not read in it. Check before relying on it."]
    lines += ["", f"{len(items)} {'item' if len(items) == 1 else 'items'}. Please read them back."]
    return "\n".join(lines) + "\n"


# ---- text ---------------------------------------------------------------------------------------------


def _end_lines(end: EndItem) -> Iterator[str]:
    yield f"MATE OF: {end.mate_of}" if end.mate_of else f"CAME OFF: {end.name}"
    if end.mate_of:
        yield f"TO ORDER: {end.count} of {end.name}"
    elif not end.count:
        yield "TO ORDER: none here. It needs its own part, from the maker of what it belongs to."
    elif end.id is None:
        yield f"TO ORDER: {end.count}, take it to the counter as a sample"
    else:
        yield f"TO ORDER: {end.count} like it{', in all, on the hose' if end.on_hose else ''}"
    for look_alike in end.look_alikes:
        yield f"Not ruled out by a check: {look_alike}"
    if end.standard:
        yield f"Standard: {end.standard}"
    if end.seat:
        yield f"Seat: {end.seat}{_mark(end.seat_basis)}"
    if end.flange is not None:
        yield from flange_lines(end.flange, port=end.gender == "port")
    if end.diameter is not None:
        yield f"Diameter, {end.diameter.of}: {end.diameter.mm:g} mm{_mark(end.diameter.basis)}"
    for seal in end.seals:
        yield f"Seal: {_seal(seal)}"
    weaker = {each.name: f"; the joint holds {_figure(each.pressure)}" for each in end.weaker}
    for mate, basis in zip_longest(end.mates, end.mates_basis):
        yield f"Mates with: {mate}{_mark(basis)}{weaker.get(mate, '')}"
    for condition in end.only_if:
        yield f"Only if: {condition}"
    for never in end.never:
        yield f"NOT with, although it screws on: {never.name} ({REASONS[never.reason]})"
    if end.hex_mm:
        yield f"Across flats: {' or '.join(f'{each:g}' for each in end.hex_mm)} mm{_mark(end.hex_basis)}"
    if end.tube_od_mm is not None:
        yield f"Tube: {end.tube_od_mm:g} mm outside{_mark(end.tube_basis)}"
    if end.thread is not None:
        yield f"Thread: {end.thread}{_mark(end.thread_basis)}"
    if end.id is not None:
        locked = any(seal.kind is Seal.BORE_O_RING for seal in end.seals)
        none = "nothing: a clip or its own lock holds it" if locked else "no figure in the catalogue"
        first, *others = [*map(_figure, (*end.torque, *end.turns))] or [none]
        yield f"Tighten: {first}"
        yield from (f"Or, by another source or way: {figure}" for figure in others)
        yield "Holds: " + (_figure(end.pressure) if end.pressure else "no figure in the catalogue")
    for reading in end.readings:
        yield f"Measured: {reading}"
    yield from map(_stock, end.stock)


def flange_lines(flange: FlangeItem, *, port: bool) -> Iterator[str]:
    """Head or square body, bolt centres and bolts."""
    body = "Square body" if flange.square else "Head"
    diameter, thickness = flange.head_diameter_mm, flange.head_thickness_mm
    sizes = [] if diameter is None else [f"{diameter:g} mm {'a side' if flange.square else 'across'}"]
    sizes += [] if thickness is None else [f"{thickness:g} mm thick"]
    known = f"{', '.join(sizes)}{_mark(flange.head_basis)}" if sizes else "no figure in the catalogue"
    yield f"{body}{' that it takes' if port else ''}: {known}"
    centres = f"{flange.bolt_long_mm:g} × {flange.bolt_short_mm:g} mm, on a circle of {flange.bolt_circle_mm:g} mm"
    yield f"Bolt centres: {centres}{_mark(flange.centres_basis)}"
    bolts = "; or, as it is tapped, ".join(f"{each.count} of {each.size}{_mark(each.basis)}" for each in flange.bolts)
    yield f"Bolts: {bolts or '4, no size in the catalogue'}; length and strength class by the machine maker"


def _hose_lines(hose: HoseItem) -> Iterator[str]:
    yield f"HOSE to order, {hose.count}: {hose.name}{_mark(hose.basis)}"
    if hose.edition:
        yield f"Edition: {hose.edition}{_mark(hose.edition_basis)}"
    for number, end in enumerate(hose.ends, 1):
        yield f"End {number}: {end}"
    if hose.length_mm is not None:
        yield f"Length between sealing faces: {hose.length_mm:.0f} mm"
    for tolerance in hose.tolerances:
        span = f"+{tolerance.plus_mm:g} / -{tolerance.minus_mm:g} mm"
        yield f"Length tolerance, {tolerance.practice}: {span}{_mark(tolerance.basis)}"
    if hose.bend_radius_mm is not None:
        yield f"Least bend radius: {hose.bend_radius_mm:g} mm{_mark(hose.basis)}"
    if hose.most_turn_deg is not None:
        yield f"Turns at most: {hose.most_turn_deg:g}° at that radius, between straight ends{_mark(hose.basis)}"
    yield from hose_terms(hose)
    if hose.compounds:
        avoid = f", not {', '.join(hose.compounds_avoid)}" if hose.compounds_avoid else ""
        yield f"Seal compounds: {', '.join(hose.compounds)}{avoid} (common practice; the makers decide)"
    if hose.rating is not None:
        yield f"Holds: {_rating(hose.rating)}"
    if hose.burst_bar is not None:
        burst = f"{hose.burst_bar:.0f} bar{_mark(hose.basis)}"
        yield f"Bursts at no less than {burst}, design factor {hose.design_factor:g} to 1"
    for fault in hose.faults:
        yield f"ATTENTION: {FAULTS[fault.value]}"
    yield from map(_stock, hose.stock)


def hose_terms(hose: HoseItem) -> Iterator[str]:
    """What was said of a hose beside its kind, length and ends; what it still needs, and what may stay open."""
    if hose.elbow_angle_deg is not None:
        yield f"Elbow angle: {hose.elbow_angle_deg:g}°"
    if hose.one_elbow:
        yield "Elbows: one, so no angle between the ends"
    if hose.routed_bend_deg is not None:
        yield f"On its way it turns: {hose.routed_bend_deg:g}°"
    if hose.routed_radius_mm is not None:
        yield f"Bend radius on its way: {hose.routed_radius_mm:g} mm"
    if hose.temperature_c:
        yield f"Temperature: {' and '.join(f'{each:.0f}' for each in hose.temperature_c)} °C"
    if hose.required_bar is not None:
        yield f"Working pressure needed: {hose.required_bar:.0f} bar"
    for title, text in (("Application", hose.application), ("Fluid", hose.fluid), ("Wanted", hose.delivery)):
        if text:
            yield f"{title}: {text}"
    if hose.needed:
        yield f"NEEDED before it is made: {', '.join(NEEDED[each] for each in hose.needed)}"
    if not_said := [each for each in hose.missing if each not in NEEDED]:
        yield f"Not said: {', '.join(not_said)}"


def _chain_lines(chain: ChainItem) -> Iterator[str]:
    yield f"ADAPTERS from {chain.start} to {chain.goal}"
    if not chain.adapters:
        yield "None needed: the two mate."
    for adapter in chain.adapters:
        source = f"{adapter.standard}{_mark(adapter.basis)}"
        yield f"Adapter to order, {adapter.count}: {adapter.names[0]} x {adapter.names[1]} ({source})"
        yield from map(_stock, adapter.stock)
    yield f"Holds: {_rating(chain.rating)}"


def _seal_lines(line: SealLineItem) -> Iterator[str]:
    yield f"SEAL to order, {line.count} in all: {line.name}{_size(line.seal)}"
    yield f"For: {line.of}"


def _seal(seal: SealItem) -> str:
    if seal.count == 0:
        return f"{SEALS[seal.kind]}, nothing to order"
    return f"to order, {seal.count}: {SEALS[seal.kind]}, on {seal.on}{_size(seal)}"


def _size(seal: SealItem) -> str:
    if seal.o_ring is not None:
        return f": {ring_name(seal)}{_mark(seal.basis)}"
    if seal.washers:
        return f": {washer_names(seal)}{_mark(seal.basis)}"
    return ": no size in the catalogue" if seal.kind in SIZED else ""


def seal_name(seal: SealItem) -> str:
    """What it is and its size, as a counter looks it up."""
    return f"{SEALS[seal.kind]} {ring_name(seal)}" if seal.o_ring is not None else washer_names(seal)


def washer_names(seal: SealItem) -> str:
    """``bonded washer 13.74 × 20.57 × 2.03 mm, or copper washer 14 × 18 × 1.5 mm``."""
    return ", or ".join(
        f"{each.make} {each.inside_diameter_mm:g} × {each.outside_diameter_mm:g} × {each.thickness_mm:g} mm"
        for each in seal.washers
    )


def ring_name(seal: SealItem) -> str:
    """As its standard calls it: ``AS568-906, 11.89 × 1.98 mm``; where the size is the name, the size alone."""
    number, size = seal.o_ring or "", f"{seal.inside_diameter_mm:g} × {seal.section_mm:g} mm"
    if "×" in number or not seal.standard:
        return f"{size}, {seal.standard}".removesuffix(", ")
    return f"{seal.standard}{'-' if number.isdecimal() else ' '}{number}, {size}"


def _figure(figure: FigureItem) -> str:
    span = f"{figure.low:g}" if figure.low == figure.high else f"{figure.low:g} to {figure.high:g}"
    unit = figure.unit if figure.unit in ("N·m", "bar") or figure.low == figure.high == 1 else f"{figure.unit}s"
    beside = "; ".join(part for part in (figure.source, figure.condition) if part)
    return f"{span} {unit}{_mark(figure.basis)}" + (f" ({beside})" if beside else "")


def _mark(basis: Basis | None) -> str:
    return RECALLED if basis is Basis.MEMORY else ""


def _rating(rating: RatingItem) -> str:
    if rating.bar is None:
        return "no figure in the catalogue"
    text = f"{rating.bar:.0f} bar{_mark(rating.basis)}, by {rating.weakest}"
    text += f" ({rating.condition})" if rating.condition else ""
    return text + (f"; no figure for {', '.join(rating.without_figure)}" if rating.without_figure else "")


def _stock(stock: StockItem) -> str:
    parts = [f"Own part {stock.part_number}"]
    parts += [f"bin {stock.bin}"] if stock.bin else []
    parts += [f"{stock.quantity} left"] if stock.quantity is not None else []
    return ", ".join(parts)
