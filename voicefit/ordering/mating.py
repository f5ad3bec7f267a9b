"""What an end mates with, and what screws onto it although it must not: computed from the catalogue.

Duty: judge two ends by thread, seat, seal and size. It must not word anything and must not know a pair by name but for
the few that ``mating.csv`` declares, with their sources, because no table of sizes shows them.

Two ends mate when their threads are of one form and size, one external and one internal, and they seal on each other:
cone in cone (one stands out, one goes in, half angles equal, same tube), face on face, stud in the port of its own
standard, or taper in taper. Flange heads, couplers and staple connectors mate within series and size.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.ends import Figure, Shape
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Row, Text, read_rows
from voicefit.ordering.engagement import same_thread, screw_together
from voicefit.ordering.rating import lowest
from voicefit.records import Gender, Seal, SeatForm

BANJO_CLEARANCE_MM = 1.0  # an eye's bore over the bolt's thread
FLANGE_LIKENESS_MM = 3.0  # heads and bolt patterns that near get clamped by mistake


class Obstacle(StrEnum):
    """Why an end that screws on must not be mated. The words are the dialogue's, and the slip's text's."""

    # The likeliest mistakes first: what differs in the seat alone is hardest to see.
    SEAT_ANGLE = "seat_angle"
    SEAT_FORM = "seat_form"  # both stand out, or both go in
    TUBE = "tube"  # same thread, another tube
    STANDARD = "standard"  # a stud in the port of another standard, another flange code
    SEALING = "sealing"  # they seal at different places
    TRADE = "trade"  # one of the two is not hydraulic
    THREAD = "thread"  # another thread that engages all the same


_BY_EYE = tuple(Obstacle)


@dataclass(frozen=True, slots=True)
class Refusal:
    """An end that goes on and must not. ``pitch_mismatch`` : relative; 0 for the same thread."""

    end: CandidateEnd
    reason: Obstacle
    pitch_mismatch: float = 0.0


@dataclass(frozen=True, slots=True)
class Condition:
    """An end that mates only under a condition, in written words. ``of_pressure`` : it fits, but holds less.

    ``seal`` : what seals the joint then, where it is not what the ends seal by elsewhere.
    """

    end: CandidateEnd
    condition: str
    source: str
    seal: Seal | None = None
    of_pressure: bool = False


@dataclass(frozen=True, slots=True)
class Mating:
    """``mates`` : nearest first. ``refusals`` : likeliest mistake first. ``weaker`` : of the mates of its own series
    those that hold less than the end does, by id, with what they hold: so does the joint."""

    mates: tuple[CandidateEnd, ...]
    conditional: tuple[Condition, ...]
    refusals: tuple[Refusal, ...]
    weaker: Mapping[str, Figure] = field(default_factory=dict)


class DeclaredRow(Row):
    """One row of ``mating.csv``: kinds (``series/variant``) that mate only under a condition."""

    id: Text
    kind_a: Text
    kind_b: Text
    verdict: Literal["only if"]
    condition: Text
    seal: Literal[Seal.METAL, Seal.WASHER] | None = None  # of that joint, where it is not what its ends seal by


@dataclass(frozen=True)
class MatingRules:
    """The catalogue's ends with the declared pairs. Use :meth:`build`."""

    catalogue: Catalogue
    declared: Mapping[frozenset[str], tuple[str, str, Seal | None]]
    _rated: frozenset[str]  # parts of which some end has a pressure
    _known: dict[str, Mating] = field(default_factory=dict, repr=False, compare=False)

    @classmethod
    def build(cls, catalogue: Catalogue, data: Mapping[str, str], faults: Faults = AT_ONCE) -> MatingRules:
        """Notes a ``BadTable`` for a wrong row of ``mating.csv``."""
        rows = read_rows(data, "mating", DeclaredRow, catalogue.sources, faults)
        kinds = {end.kind for end in catalogue.ends}
        for row in rows.values():
            for column in ("kind_a", "kind_b"):
                if faults.lacks(getattr(row, column), kinds):
                    faults.note(row.bad(column, f"{getattr(row, column)!r} is no kind of end"))
        declared = {frozenset((row.kind_a, row.kind_b)): (row.condition, row.source, row.seal) for row in rows.values()}
        return cls(catalogue, declared, frozenset(end.part for end in catalogue.ends if end.pressure))

    def of(self, end: CandidateEnd) -> Mating:
        """Everything in the catalogue that goes onto ``end``, sorted into what may and what must not."""
        if end.id not in self._known:
            self._known[end.id] = self._sorted(end)
        return self._known[end.id]

    def mate(self, a: CandidateEnd, b: CandidateEnd) -> bool:
        """Whether two ends mate without a condition."""
        return not (a.trade or b.trade) and _opposite(a, b) and _mate(a, b)

    def _sorted(self, end: CandidateEnd) -> Mating:
        mates, conditional, refusals = [], [], []
        for other in self.catalogue.ends:
            if not _opposite(end, other) or (end.trade and other.trade):
                continue
            if end.trade or other.trade:
                if (mismatch := _goes_on(end, other)) is not None:
                    refusals.append(Refusal(other, Obstacle.TRADE, mismatch))
                continue
            if _mate(end, other):
                if _unusual_head(end, other):
                    conditional.append(Condition(other, "with the machine maker's own clamps and seal", other.source))
                else:
                    mates.append(other)
            elif (mismatch := _goes_on(end, other)) is not None:
                pair = frozenset((end.kind, other.kind))
                if mismatch == 0 and pair in self.declared:
                    conditional.append(Condition(other, *self.declared[pair]))
                else:
                    refusals.append(Refusal(other, _reason(end, other), mismatch))
        mates.sort(key=lambda other: _distance(end, other))
        weaker = list(_holds_less(end, mates) if lowest(end) or end.part in self._rated else _holds_unknown(end, mates))
        mates = [mate for mate in mates if mate not in [held.end for held in weaker]]
        conditional += weaker
        refusals.sort(key=lambda each: (*_hidden(end, each), _distance(end, each.end)))
        own = lowest(end)
        limits = {mate.id: held for mate in mates if own and (held := lowest(mate)) and held.low < own.low}
        return Mating(tuple(mates), tuple(conditional), tuple(refusals), limits)


def _opposite(a: CandidateEnd, b: CandidateEnd) -> bool:
    """One goes into the other: external and internal thread, or head and port, probe and bore, bolt and eye."""
    if a.thread is not None and b.thread is not None:
        return a.external != b.external
    outer = {Gender.MALE, Gender.STUD}
    return (a.gender in outer) != (b.gender in outer)


def _mate(a: CandidateEnd, b: CandidateEnd) -> bool:
    """Whether two opposite ends seal on each other."""
    if a.thread is None and b.thread is None:
        return a.series == b.series and (a.dash, a.nominal) == (b.dash, b.nominal) and a.shape is not Shape.BANJO
    if a.thread is None or b.thread is None:
        return _bolt_in_eye(a, b)
    if not same_thread(a.thread, b.thread):
        return False
    if _cones_meet(a, b):
        return a.tube_od_mm == b.tube_od_mm or None in (a.tube_od_mm, b.tube_od_mm)
    forms = {a.seat_form, b.seat_form}
    if forms == {SeatForm.FLAT}:
        return _seats_meet(a, b)
    if forms == {SeatForm.SHOULDER}:
        return a.series == b.series or (Shape.BANJO in (a.shape, b.shape) and a.seal == b.seal == Seal.WASHER)
    if a.seal is b.seal is Seal.BORE_O_RING:
        return a.series == b.series
    return a.seal is b.seal is Seal.THREAD


def _cones_meet(a: CandidateEnd, b: CandidateEnd) -> bool:
    return {a.seat_form, b.seat_form} == {SeatForm.CONVEX, SeatForm.RECESSED} and bool(_angles(a) & _angles(b))


def _angles(end: CandidateEnd) -> frozenset[float]:
    own = () if end.seat_half_angle_deg is None else (end.seat_half_angle_deg,)
    return frozenset((*own, *end.also_seats_deg))


def _bolt_in_eye(a: CandidateEnd, b: CandidateEnd) -> bool:
    bolt, eye = (a, b) if a.thread is not None else (b, a)
    if bolt.series != eye.series or eye.bolt is None or bolt.thread is None or not eye.profile_mm:
        return False
    return 0 <= eye.profile_mm[0][1] - bolt.thread.major_diameter_mm <= BANJO_CLEARANCE_MM


def _unusual_head(a: CandidateEnd, b: CandidateEnd) -> bool:
    """A flange head of a thickness of its own: the clamps and seal of the standard do not fit it."""
    return any(end.flange is not None and not end.flange.usual for end in (a, b))


def _holds_less(end: CandidateEnd, mates: Iterable[CandidateEnd]) -> Iterator[Condition]:
    """The mates of another series that hold less, each with the condition that the line stays within what it holds.

    Within a series it is told what the joint holds. What is ordered as a mate that holds enough is that mate.
    """
    own = lowest(end)
    if own is None:
        return
    found = [(mate, lowest(mate)) for mate in mates]
    strong = {mate.part for mate, held in found if mate.series == end.series or (held and held.low >= own.low)}
    for mate, held in found:
        if mate.part in strong:
            continue
        if held is None:
            yield Condition(mate, "its own pressure is known and not exceeded", mate.source, of_pressure=True)
        else:
            limit = f"the line stays at or below {int(held.low)} bar{', from memory' if held.recalled else ''}"
            yield Condition(mate, limit, held.source, of_pressure=True)


def _holds_unknown(end: CandidateEnd, mates: Iterable[CandidateEnd]) -> Iterator[Condition]:
    """Of an end of no known pressure, nor another that serves for it, the mates of other series that have one."""
    for mate in mates:
        if mate.series != end.series and mate.pressure:
            yield Condition(mate, "what this end holds is known and not exceeded", end.source, of_pressure=True)


def _goes_on(a: CandidateEnd, b: CandidateEnd) -> float | None:
    """Relative pitch mismatch of two opposite ends that can be joined by hand; ``None`` when they cannot."""
    if a.thread is not None and b.thread is not None:
        male, female = (a.thread, b.thread) if a.external else (b.thread, a.thread)
        return 0.0 if same_thread(male, female) else screw_together(male, female)
    if a.flange is not None and b.flange is not None and a.id != b.id:
        pairs = [
            (a.flange.head_diameter_mm, b.flange.head_diameter_mm),
            (a.flange.bolt_long_mm, b.flange.bolt_long_mm),
            (a.flange.bolt_short_mm, b.flange.bolt_short_mm),
        ]  # a head that is not known goes on
        apart = [abs(ours - theirs) for ours, theirs in pairs if ours is not None and theirs is not None]
        return 0.0 if max(apart) <= FLANGE_LIKENESS_MM else None
    return None


def _reason(a: CandidateEnd, b: CandidateEnd) -> Obstacle:
    """The first thing that is wrong with a pair that goes on."""
    if a.thread is None or b.thread is None:
        return Obstacle.STANDARD
    if not same_thread(a.thread, b.thread):
        return Obstacle.THREAD
    cones = {SeatForm.CONVEX, SeatForm.RECESSED}
    if a.seat_form in cones and b.seat_form in cones:
        if a.seat_form == b.seat_form:
            return Obstacle.SEAT_FORM
        return Obstacle.TUBE if _cones_meet(a, b) else Obstacle.SEAT_ANGLE
    return Obstacle.STANDARD if a.seat_form == b.seat_form == SeatForm.SHOULDER else Obstacle.SEALING


def _hidden(end: CandidateEnd, refusal: Refusal) -> tuple[bool, int, float]:
    """Sorts mistakes by how hard they are to see: of other threads than its own, those first whose seat fits. They look
    right and hold by a few turns, and come before what plainly seals at another place."""
    if refusal.pitch_mismatch == 0:
        return False, 2 * _BY_EYE.index(refusal.reason), 0.0
    fits = refusal.reason is Obstacle.THREAD and _seats_meet(end, refusal.end)
    return not fits, 2 * _BY_EYE.index(Obstacle.STANDARD) + 1, refusal.pitch_mismatch


def _seats_meet(a: CandidateEnd, b: CandidateEnd) -> bool:
    """Whether two seats seal on each other: cone in cone, or face on face."""
    return _cones_meet(a, b) or (a.seat_form == b.seat_form == SeatForm.FLAT and a.seal == b.seal)


def _distance(end: CandidateEnd, other: CandidateEnd) -> tuple[bool, bool, bool, str]:
    """Own series first, then the same standard seal, then the same nominal size, then by id."""
    return (other.series != end.series, other.seal != end.seal, other.nominal != end.nominal, other.id)


def distinct_parts(ends: Iterable[CandidateEnd]) -> tuple[CandidateEnd, ...]:
    """One end of each part to order, in order."""
    found: dict[str, CandidateEnd] = {}
    for end in ends:
        found.setdefault(end.part, end)
    return tuple(found.values())
