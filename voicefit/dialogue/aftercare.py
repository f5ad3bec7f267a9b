"""What follows an identification, in words: mates, what must not be mixed, seal, tightening, pressure, adapters.

Duty: word what :mod:`voicefit.ordering` computes. It must not compute, and must not fill a gap: an empty tuple means
that the catalogue has nothing, and the caller says so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Set
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.catalogue.conditions import Material, SealedBy
from voicefit.catalogue.ends import Figure
from voicefit.catalogue.washers import Washer
from voicefit.dialogue import spoken
from voicefit.dialogue.names import Names
from voicefit.dialogue.wording import Wording
from voicefit.interpretation.spelling import say_number
from voicefit.ordering.adapters import Chain
from voicefit.ordering.follow import FollowUp, SealNeed
from voicefit.ordering.mating import distinct_parts
from voicefit.ordering.room import Ordering
from voicefit.ordering.screws import Screw
from voicefit.quantities import MPA_PER_PSI, NEWTON_METRES_PER_FOOT_POUND, Quantity, exact, inches, millimetres
from voicefit.records import Measurand, Option, Seal

BAR_PER_PSI = float(10 * MPA_PER_PSI)
PARTS_OF_A_TURN = 12  # thirds, quarters and sixths of a turn or flat are said
_UNITS = {"N·m": "newton meters", "bar": "bar", "flat": "flats", "turn": "turns"}


class Aftercare:
    """Built with the knowledge; its tables are read when the first end is identified."""

    def __init__(self, catalogue: Catalogue, data: Mapping[str, str], wording: Wording, names: Names) -> None:
        self._catalogue, self._data, self._wording, self._names = catalogue, data, wording, names

    @cached_property
    def ordering(self) -> Ordering:
        return Ordering.build(self._catalogue, self._data)

    def follow(self, row: int, by: SealedBy | None = None) -> FollowUp:
        """All that the ordering room says of an end; ``by`` : of that kind of washer or ring, where one seals."""
        return self.ordering.follow_up(self._catalogue.ends[row]).sealed(by)

    # ---- words -----------------------------------------------------------------------------------------

    def mates(self, row: int, *, psi: bool) -> tuple[str, ...]:
        """What it mates with, and what that holds where it is less; then what it mates with under a condition."""
        mating = self.follow(row).mating
        plain = []
        for end in distinct_parts(mating.mates):
            held, name = mating.weaker.get(end.id), self._names.end(end)
            holds = "" if held is None else self.pressure(held.low, psi=psi, recalled=held.recalled)
            plain.append(self._wording.phrase("mate-holds", end=name, pressure=holds) if holds else name)
        under = [
            self._wording.phrase("mate-only-if", end=self._names.end(each.end), condition=spoken.aloud(each.condition))
            for each in mating.conditional
        ]
        return tuple(dict.fromkeys([*plain, *under]))

    def refusals(self, row: int) -> tuple[str, ...]:
        """What goes on and must not, with the reason, the likeliest mistake first."""
        found: dict[str, str] = {}
        for each in self.follow(row).mating.refusals:
            reason = self._wording.plain(f"refusal.{each.reason.value}")
            words = self._wording.phrase("refusal", end=self._names.end(each.end), reason=reason)
            found.setdefault(each.end.part, words)
        return tuple(found.values())

    def seals(self, row: int, by: SealedBy | None = None) -> tuple[str, ...]:
        """What seals it, each seal with the size of its ring; of several washers each by itself."""
        needs = self.follow(row, by).seals
        each = (replace(need, washers=need.washers[n : n + 1]) for need in needs for n in range(len(need.washers) or 1))
        return tuple(dict.fromkeys(self.seal(need) for need in each))

    def seal(self, need: SealNeed) -> str:
        """One seal with the size of its ring or washer."""
        kind = self._wording.plain(f"seal.{need.kind.value}")
        place = self._wording.plain("here" if need.on_this_end else "on-the-mate")
        if need.count == 0:
            return kind
        if need.count > 1:
            kind = self._wording.phrase("several", count=say_number(need.count), kind=kind)
        if need.washers:
            sizes = ", or ".join(_washer_words(washer) for washer in need.washers)
            size = self._wording.phrase("from-memory", value=sizes) if need.recalled else sizes
            return self._wording.phrase("seal-of-size", seal=kind, place=place, size=size)
        if need.ring is None:
            return self._wording.phrase("seal-without-size", seal=kind, place=place)
        recalled = need.recalled
        standard, number = spoken.aloud(need.ring.standard), need.ring.id
        if number.isdecimal():  # figure by figure, as it is read down a telephone
            size = f"{standard}, {' '.join(say_number(int(figure)) for figure in number)}"
        elif "×" in number:  # its size is its name; the standard after it
            size = f"{spoken.aloud(number)}, {standard}"
        else:
            size = f"{standard}, {spoken.aloud(number)}"
        size = self._wording.phrase("from-memory", value=size) if recalled else size
        return self._wording.phrase("seal-of-size", seal=kind, place=place, size=size)

    def wrench(self, row: int) -> str:
        """What is across the flats, in words; empty where the catalogue has no size."""
        end = self._catalogue.ends[row]
        words = ", or ".join(self._wording.value(Option(Measurand.HEX, across_flats(each))) for each in end.hex_mm)
        recalled = words and end.origin("hex").recalled
        return self._wording.phrase("from-memory-within", value=words) if recalled else words

    def tube(self, row: int) -> str:
        """The outside diameter of the tube that the end is for; empty where it is for none."""
        end = self._catalogue.ends[row]
        if end.tube_od_mm is None:
            return ""
        words = self._wording.value(Option(Measurand.TUBE_OUTSIDE_DIAMETER, across_flats(end.tube_od_mm)))
        return self._wording.phrase("from-memory-within", value=words) if end.origin("tube").recalled else words

    def plain_sizes(self, row: int) -> tuple[str, ...]:
        """Of an end without a thread: a flange's head or body and its bolts, else its diameter."""
        end = self._catalogue.ends[row]
        found = [(f"{name} {_tenths(mm)} millimeters", end.origin("diameter")) for name, mm in end.profile_mm]
        if (head := end.flange) is not None:
            body = "body" if head.square else "head"
            sizes = [(head.head_diameter_mm, "millimeters across"), (head.head_thickness_mm, "thick")]
            if known := ", ".join(f"{_tenths(mm)} {way}" for mm, way in sizes if mm is not None):
                found.append((f"{body} {known}", end.origin("head")))
            apart = f"{_tenths(head.bolt_long_mm)} by {_tenths(head.bolt_short_mm)} millimeters apart"
            bolts = {"bolt_metric": head.bolt_metric, "bolt_inch": head.bolt_inch}
            size = ", or ".join(spoken.aloud(each) for each in bolts.values() if each)
            origins = [end.origin(what) for what in ("centres", *(what for what, each in bolts.items() if each))]
            origin = next((each for each in origins if each.recalled), origins[0])
            found.append((f"four bolts {f'{size}, ' if size else ''}{apart}", origin))
        return tuple(
            self._wording.phrase("from-memory-within", value=words) if origin.recalled else words
            for words, origin in found
        )

    def is_screwed(self, row: int) -> bool:
        """Whether anything of the joint is screwed tight: a thread, or the screws of a flange or banjo."""
        end = self._catalogue.ends[row]
        return end.thread is not None or end.seal in (Seal.FLANGE_O_RING, Seal.WASHER)

    def tightening(
        self,
        row: int,
        by: SealedBy | None = None,
        *,
        foot_pounds: bool = False,
        turns_first: bool = False,
        seals: Set[Seal] = frozenset(),
        material: Material | None = None,
        screw: Screw | None = None,
    ) -> tuple[str, ...]:
        """Torques, then turns or flats, each with its condition and source; what is not machine practice comes last.
        ``foot_pounds`` : torques in these as well. ``turns_first`` : turns or flats before torques. ``seals`` : what
        is known to seal the joint; of another seal nothing is said, where there is anything of these. ``material``,
        ``screw`` : of this alone."""
        found = self.follow(row, by)
        of = (found.turns, found.torque) if turns_first else (found.torque, found.turns)
        figures = sorted((*of[0], *of[1]), key=lambda each: bool(each.holds_for and each.holds_for.use))
        own = [each for each in figures if not (each.holds_for and each.holds_for.seal) or each.holds_for.seal & seals]
        figures = own if seals and own else figures
        kept = [each for each in figures if material is None or _is_in(each, material)]
        kept = [each for each in kept if screw is None or screw.takes(each)]
        return tuple(self._figure(figure, foot_pounds=foot_pounds) for figure in kept)

    def pressures(self, row: int, *, psi: bool) -> tuple[str, ...]:
        """Working pressures in bar or psi, the lowest first, each with its source."""
        figures = sorted(self.follow(row).pressure, key=lambda figure: figure.low)
        return tuple(self._figure(figure, psi=psi) for figure in figures)

    def chain(
        self, row: int, goals: Iterable[CandidateEnd], last: Collection[str] = ()
    ) -> tuple[CandidateEnd, Chain] | None:
        """The best chain of adapters from an end to one of several, and the end it arrives at; ``last`` : parts that
        the chain's last end may be of."""
        return self.ordering.chain_to_any(self._catalogue.ends[row], goals, last)

    def between(self, row: int, goal: int) -> Chain | None:
        """The best chain of adapters between two ends; ``None`` where two adapters do not reach."""
        return self.ordering.chain(self._catalogue.ends[row], self._catalogue.ends[goal])

    def chain_words(self, chain: Chain) -> tuple[str, ...]:
        return tuple(
            self._wording.phrase("adapter", first=self._names.end(each.ends[0]), second=self._names.end(each.ends[1]))
            for each in chain.adapters
        )

    def weakest(self, chain: Chain, *, psi: bool) -> str:
        """The chain's weakest pressure in words; empty where nothing in it has a figure."""
        figure = chain.rating.figure
        if figure is None:
            return ""
        value = self._range(figure, psi=psi)
        return self._wording.phrase("from-memory-within", value=value) if figure.recalled else value

    def pressure(self, bar: float, *, psi: bool, recalled: bool = False) -> str:
        """A pressure in bar or psi, never rounded up, and whether it was recalled."""
        value, unit = (bar / BAR_PER_PSI, "P S I") if psi else (bar, _UNITS["bar"])
        words = f"{say_number(int(value * (1 + 1e-6)))} {unit}"
        return self._wording.phrase("from-memory-within", value=words) if recalled else words

    def _figure(self, figure: Figure, *, psi: bool = False, foot_pounds: bool = False) -> str:
        source = self._catalogue.sources[figure.source]
        # A number without letters for the ear ("215104", "M015655/05E") is for paper; aloud it goes by its title.
        by_number = " " in source.publication
        named = source.publication if by_number else _kind_of_book(source.title)
        if named in figure.condition or (figure.recalled and not source.publication):
            named = ""  # the condition names the part of the standard; of what no book is named, memory is all there is
        value = self._range(figure, psi=psi)
        if foot_pounds and figure.unit == "N·m":
            value = self._wording.phrase("that-is", value=value, other=_in_foot_pounds(figure))
        if figure.recalled:
            value = self._wording.phrase("from-memory", value=value)
        words = [value, figure.condition, f"by {named}" if named else "", figure.edition if by_number else ""]
        return ", ".join(spoken.aloud(part.replace(";", ",")) for part in words if part)

    def _range(self, figure: Figure, *, psi: bool = False) -> str:
        """Lowest to highest with the unit. A pressure is never rounded up."""
        low, high, unit = figure.low, figure.high, _UNITS[figure.unit]
        if figure.unit in ("flat", "turn") and high <= 1:
            unit = figure.unit
        if figure.unit == "bar" and psi:
            low, high, unit = low / BAR_PER_PSI, high / BAR_PER_PSI, "P S I"
        if figure.unit in ("flat", "turn"):
            words = [say_number(spoken.nearest(value, PARTS_OF_A_TURN)) for value in (low, high)]
        else:
            slack = 1e-6 * high  # converted figures miss their round number by a hair
            words = [say_number(int(value + slack) if figure.unit == "bar" else round(value)) for value in (low, high)]
        return f"{words[0]} {unit}" if words[0] == words[1] else f"{words[0]} to {words[1]} {unit}"


def _is_in(figure: Figure, material: Material) -> bool:
    """Whether it is of a fitting or a port of this; of what names none, steel is meant."""
    holds = figure.holds_for
    named = {holds.material, holds.port_material} - {None} if holds is not None else set()
    return material in named if named else material is Material.STEEL


def _in_foot_pounds(figure: Figure) -> str:
    """A torque in foot-pounds, lowest to highest."""
    low, high = (say_number(round(value / NEWTON_METRES_PER_FOOT_POUND)) for value in (figure.low, figure.high))
    return f"{low} foot pounds" if low == high else f"{low} to {high} foot pounds"


def _tenths(mm: float) -> str:
    return say_number(exact(f"{round(mm, 1):g}"))


def _washer_words(washer: Washer) -> str:
    """Make and size: inside by outside by thickness, in millimeters."""
    sizes = (washer.inside_diameter_mm, washer.outside_diameter_mm, washer.thickness_mm)
    return f"{washer.make} {' by '.join(say_number(exact(f'{each:g}')) for each in sizes)}"


def across_flats(size_mm: float) -> Quantity:
    """A size across flats as it is marked: whole millimetres, or else the sixteenth of an inch that it is."""
    sixteenths = round(size_mm / 25.4 * 16)
    if size_mm != round(size_mm) and abs(sixteenths * 25.4 / 16 - size_mm) < 0.05:
        return inches(Fraction(sixteenths, 16))
    return millimetres(exact(f"{size_mm:g}"))


def _kind_of_book(title: str) -> str:
    """A book by its kind, for the ear: "Engine workshop manual: torque figures" is "an engine workshop manual"."""
    name = title.partition(":")[0]
    name = name[:1].lower() + name[1:]
    return f"{'an' if name[:1] in 'aeiou' else 'a'} {name}"
