"""What follows from an end's name: mates, seals, how tight, what it holds, cautions.

Duty: gather what the catalogue says of one end and its joints. It must not word anything and must not fill a gap: an
empty tuple means that the catalogue has no figure, and has to be said so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.conditions import SealedBy
from voicefit.catalogue.ends import Basis, Figure, Shape, least_sure
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.washers import Washer, of_thread
from voicefit.ordering.cautions import Caution, belonging
from voicefit.ordering.mating import Mating, MatingRules
from voicefit.ordering.spans import drawn_together
from voicefit.records import Seal


@dataclass(frozen=True, slots=True)
class SealNeed:
    """What seals the joint with one kind of mate.

    ``ring`` : its O-ring, ``None`` for other seals and where the catalogue has no size. ``washers`` : those that do,
    where a washer seals. ``count`` : of rings or washers; 0 where the ends seal on each other. ``on_this_end`` :
    whether it sits on this end or on the mate. ``mate`` : id of the mate. ``basis`` : how its size is known; memory
    where the size or the choice of it is.
    """

    kind: Seal
    ring: ORing | None
    count: int
    on_this_end: bool
    mate: str
    basis: Basis | None = None
    washers: tuple[Washer, ...] = ()

    @property
    def recalled(self) -> bool:
        return self.basis is Basis.MEMORY


@dataclass(frozen=True, slots=True)
class FollowUp:
    """``torque`` (N·m), ``turns`` (turn or flat) : every published figure of the joints that this end can make,
    drawn together into spans. ``pressure`` (bar) : every published figure. Each with its sources."""

    end: CandidateEnd
    mating: Mating
    seals: tuple[SealNeed, ...]
    torque: tuple[Figure, ...]
    turns: tuple[Figure, ...]
    pressure: tuple[Figure, ...]
    cautions: tuple[Caution, ...]

    def sealed(self, by: SealedBy | None) -> FollowUp:
        """Of this kind of washer or ring alone, where one of those seals; ``None`` : of all.

        What a captured ring takes is not what a sealing washer takes, and the other's size does not fit either.
        """
        if by is None or by not in _KINDS_OF_WASHER:
            return self
        captured = by is SealedBy.CAPTURED_RING
        return replace(
            self,
            torque=tuple(each for each in self.torque if _is_sealed(each, by)),
            turns=tuple(each for each in self.turns if _is_sealed(each, by)),
            seals=tuple(
                replace(
                    need,
                    washers=tuple(
                        each for each in need.washers if (each.make == SealedBy.CAPTURED_RING.value) == captured
                    ),
                )
                for need in self.seals
            ),
        )

    @property
    def hex_mm(self) -> tuple[float, ...]:
        """Sizes across the flats, mm; empty where no standard gives one."""
        return self.end.hex_mm


_KINDS_OF_WASHER = frozenset({SealedBy.SEALING_WASHER, SealedBy.CAPTURED_RING})


def _is_sealed(figure: Figure, by: SealedBy) -> bool:
    """Whether a figure may be of a joint with this kind of washer or ring."""
    sealed_by = None if figure.holds_for is None else figure.holds_for.sealed_by
    return sealed_by is None or sealed_by is by or sealed_by not in _KINDS_OF_WASHER


def follow_up(
    rules: MatingRules, cautions: Iterable[Caution], end: CandidateEnd, rings: Mapping[str, ORing]
) -> FollowUp:
    """All that follows from an end, from the catalogue of ``rules``."""
    mating = rules.of(end)
    seals = tuple(_with_washers(end, need, rules.catalogue) for need in seals_of(end, mating, rings))
    kinds = {seal.kind for seal in seals} or {end.seal}
    names = {each.id: each.name for each in rules.catalogue.series.values()}
    return FollowUp(
        end=end,
        mating=mating,
        seals=seals,
        torque=drawn_together((figure for figure in end.torque if _is_of(figure, end, kinds)), names),
        turns=drawn_together((figure for figure in end.turns if _is_of(figure, end, kinds)), names),
        pressure=end.pressure,
        cautions=belonging(cautions, {kind.value for kind in kinds}),
    )


def _is_of(figure: Figure, end: CandidateEnd, kinds: Set[Seal]) -> bool:
    """Whether a figure of tightening is of a joint of this end with one of these seals."""
    return figure.holds_for is None or figure.holds_for.suits_joint(end.gender, kinds)


def seals_of(end: CandidateEnd, mating: Mating, rings: Mapping[str, ORing]) -> tuple[SealNeed, ...]:
    """The seals of the joints with each of the mates, each different one once, in the order of the mates."""
    found: dict[tuple[Seal, str | None, bool], SealNeed] = {}
    joints = [(mate, None) for mate in mating.mates] + [(each.end, each.seal) for each in mating.conditional]
    for mate, kind in joints:
        need = joint_seal(end, mate, rings, kind)
        found.setdefault((need.kind, need.ring.id if need.ring else None, need.on_this_end), need)
    return tuple(found.values())


def joint_seal(end: CandidateEnd, mate: CandidateEnd, rings: Mapping[str, ORing], kind: Seal | None = None) -> SealNeed:
    """What seals one joint: what the end that carries the seal brings; an O-ring before metal where both carry one.

    ``kind`` : what is declared to seal it; a stud that is bored with a cone seals on it, and needs no washer there.
    """
    carrier = _carrier(end, mate)
    if kind is Seal.METAL:
        return SealNeed(kind, None, 0, carrier is end, mate.id)
    ring = None if carrier.o_ring is None else rings[carrier.o_ring]
    count = 0 if carrier.seal in (Seal.METAL, Seal.THREAD) else max(end.seals_a_joint, mate.seals_a_joint)
    basis = None if ring is None else least_sure((ring.basis, carrier.origin("o_ring").basis))
    return SealNeed(carrier.seal, ring, count, carrier is end, mate.id, basis)


def _with_washers(end: CandidateEnd, need: SealNeed, catalogue: Catalogue) -> SealNeed:
    if need.kind is not Seal.WASHER:
        return need
    mate = catalogue.by_id[need.mate]
    found = of_thread(catalogue.washers, (end.thread, end.bolt, mate.thread, mate.bolt))
    if Shape.BANJO in (end.shape, mate.shape):  # a banjo's eye is flat: there is no groove for a ring
        found = tuple(washer for washer in found if washer.make != "captured ring")
    return replace(need, washers=found, basis=least_sure(washer.basis for washer in found))


def _carrier(end: CandidateEnd, mate: CandidateEnd) -> CandidateEnd:
    if end.carries_seal != mate.carries_seal:
        return end if end.carries_seal else mate
    # A taper male with an inner cone seals on the cone when its mate has one; a ring or washer seals before the metal.
    return min((end, mate), key=lambda each: (each.seal is Seal.THREAD, each.seal is Seal.METAL, each is mate))
