"""Series, kinds of end and sizes: the tables that together make the threaded ends.

Duty: ``series.csv`` (what a family is called), ``kinds.csv`` (its male, female, port and stud forms: seat, angle,
seal), ``ends-*.csv`` (its sizes) and ``dashes.csv`` become one :class:`CandidateEnd` for each size and kind. It must
not know threads' formulas, torques or pressures.

The id of an end is ``series/size/variant``: of the kind's ``series/variant`` and the size's ``series/size``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from voicefit.catalogue.ends import CandidateEnd, Origin, Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.provenance import UNKNOWN, Provenance
from voicefit.catalogue.rows import DashRow, KindRow, Series, SizeRow, by_series
from voicefit.quantities import MM_PER_INCH
from voicefit.records import Gender, Seal, SeatForm

O_RING_SEALS = frozenset({Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING})


def inch_text(value: Fraction) -> str:
    """An inch size as the trade writes it.

    >>> inch_text(Fraction(20, 16))
    '1-1/4'
    """
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)


def millimetre_text(value: Fraction) -> str:
    """``13.25``, ``12``."""
    return f"{float(value):g}"


def check_kinds(kinds: Mapping[str, KindRow], series: Mapping[str, Series], faults: Faults = AT_ONCE) -> None:
    """Note a :class:`BadTable` where a kind contradicts itself or names what is not there."""
    for kind in kinds.values():
        if faults.lacks(kind.series, series):
            faults.note(kind.bad("series", f"{kind.series!r} is not in series.csv"), kind.id)
        if kind.id.partition("/")[0] != kind.series:
            faults.note(kind.bad("id", f"must begin with its series, {kind.series}/"), kind.id)
        if kind.variant.partition("-")[0] != kind.gender:
            faults.note(kind.bad("id", f"what follows {kind.series}/ must begin with its gender, {kind.gender}"))
        if kind.ordered_as and faults.lacks(kind.ordered_as, kinds):
            faults.note(kind.bad("ordered_as", f"{kind.ordered_as!r} is not in kinds.csv"))
        conical = kind.seat_form in (SeatForm.CONVEX, SeatForm.RECESSED)
        if conical != (kind.seat_half_angle_deg is not None):
            reason = "a convex or recessed seat needs it" if conical else f"a seat that is {kind.seat_form} has none"
            faults.note(kind.bad("seat_half_angle_deg", reason))


def of_kind(
    size_id: str,
    kind: KindRow,
    series: Series,
    provenance: Provenance,
    origins: Mapping[str, Origin],
    *,
    note: str = "",
    extra: str = "",
) -> dict[str, Any]:
    """What an end has from its kind and series.

    ``size_id`` : ``series/size``. ``origins`` : of what its size says, to which the seat's is added. ``extra`` : added
    to its name.
    """
    spoken = (series.spoken_name, kind.spoken_name, extra and f"with {extra}")
    return {
        "id": f"{size_id}/{kind.variant}",
        "series": series.id,
        "size": size_id.partition("/")[2],
        "variant": kind.variant,
        "name": ", ".join(part for part in (series.name, kind.name, extra) if part),
        "spoken_name": " ".join(part for part in spoken if part),
        "standard": series.standard,
        "gender": kind.gender,
        "seat_half_angle_deg": kind.seat_half_angle_deg,
        "seat_form": kind.seat_form,
        "seal": kind.seal,
        "also_seats_deg": tuple(float(angle) for angle in kind.also_seats_deg),
        "carries_seal": kind.carries_seal == "yes",
        "shape": series.shape,
        "shoulder_edge": kind.shoulder_edge == "yes",
        "ring_retained": kind.ring_retained == "yes",
        "seals_a_joint": kind.seals_a_joint,
        "felt_as": kind.felt_as,
        "named_by_half_angle": series.named_by_half_angle,
        "trade": series.trade,
        "notes": "; ".join(each for each in (note, kind.note) if each),
        "origins": {**origins, "seat": provenance.of("kinds", kind, "seat_half_angle_deg")},
    }


def ends_from(
    sizes: Iterable[SizeRow],
    kinds: Mapping[str, KindRow],
    series: Mapping[str, Series],
    threads: Mapping[str, Thread],
    dashes: Mapping[int, DashRow],
    faults: Faults = AT_ONCE,
    provenance: Provenance = UNKNOWN,
) -> list[CandidateEnd]:
    """All threaded ends, in the order of the tables; of rows whose series is there and has kinds.

    Notes a :class:`BadTable` where a row names another thing that is not there.
    """
    kinds_of = by_series(kinds)
    ends = []
    for size in sizes:
        if size.id.partition("/")[0] != size.series or not size.key:
            faults.note(size.bad("id", f"must be {size.series}/ and the size"), size.id)
        if size.series not in series:  # it was told already
            faults.spoil(size.id)
            continue
        with faults.noting(size.id):
            chosen = _chosen(size, kinds_of.get(size.series, []))
            common = _Common(size, threads, dashes, faults, provenance)
            if faults.broken(size.id):
                continue
            for kind in chosen:
                with faults.noting(size.id):
                    ends.append(common.end(kind, series[size.series], kinds))
    return ends


def _chosen(size: SizeRow, kinds: list[KindRow]) -> list[KindRow]:
    if not size.variants:
        return kinds
    by_variant = {kind.variant: kind for kind in kinds}
    for variant in size.variants:
        if variant not in by_variant:
            raise size.bad("variants", f"{variant!r} is no kind of {size.series}; there are {', '.join(by_variant)}")
    return [by_variant[variant] for variant in size.variants]


class _Common:
    """What all kinds of one size share."""

    def __init__(
        self,
        size: SizeRow,
        threads: Mapping[str, Thread],
        dashes: Mapping[int, DashRow],
        faults: Faults,
        provenance: Provenance,
    ) -> None:
        """Notes what is wrong, each thing for itself; then the size's id is spoiled."""
        self.size, self.faults, self.provenance = size, faults, provenance
        self.thread = self._thread("thread", size.thread, threads)
        self.female_thread = (
            self._thread("female_thread", size.female_thread, threads) if size.female_thread else self.thread
        )
        if size.dash is not None and size.dash not in dashes and not faults.broken(f"dashes of {size.dash}"):
            faults.note(size.bad("dash", f"{size.dash} is not in dashes.csv"), size.id)
        self.dn = size.dn
        if self.dn is None and size.dash is not None and size.dash in dashes:
            self.dn = dashes[size.dash].dn
        if size.tube_od_in is not None and size.tube_od_mm is not None:
            faults.note(size.bad("tube_od_mm", "give the tube in inches or in millimetres, not both"), size.id)
        tube = size.tube_od_mm if size.tube_od_in is None else size.tube_od_in * MM_PER_INCH
        self.tube_od_mm = None if tube is None else float(tube)
        self.nominal, self.wall = "", None
        with faults.noting(size.id):
            self.nominal = self._nominal()
        with faults.noting(size.id):
            self.wall = self._wall()
        self.male_hex = self._hexes("male_hex")
        self.female_hex = self._hexes("female_hex")

    def _thread(self, column: str, designation: str, threads: Mapping[str, Thread]) -> Thread | None:
        if self.faults.lacks(designation, threads):
            self.faults.note(self.size.bad(column, f"{designation!r} is in no table of threads"))
        if designation not in threads:
            self.faults.spoil(self.size.id)
        return threads.get(designation)

    def _nominal(self) -> str:
        size = self.size
        if size.nominal:
            return size.nominal
        if size.dash is not None:
            return inch_text(Fraction(size.dash, 16))
        if size.tube_od_mm is not None:
            return millimetre_text(size.tube_od_mm)
        raise size.bad("nominal", "must not be empty where neither dash nor tube_od_mm is given")

    def _wall(self) -> tuple[float | None, float] | None:
        size = self.size
        least, greatest = size.tube_wall_min_mm, size.tube_wall_max_mm
        column = "tube_wall_max_mm"
        if size.tube_wall_max_in is not None:
            if greatest is not None:
                raise size.bad(column, "give the wall in inches or in millimetres, not both")
            greatest, column = size.tube_wall_max_in * MM_PER_INCH, "tube_wall_max_in"
        if greatest is None:
            if least is not None:
                raise size.bad(column, "must not be empty where the least wall is given")
            return None
        if least is not None and least > greatest:
            raise size.bad(column, "must not be less than the least wall")
        if self.tube_od_mm is None or 2 * float(greatest) >= self.tube_od_mm:
            raise size.bad(column, "twice the wall must be less than the tube's outside diameter")
        return None if least is None else float(least), float(greatest)

    def _hexes(self, stem: str) -> tuple[float, ...]:
        inches: tuple[Fraction, ...] = getattr(self.size, f"{stem}_in")
        metric: tuple[Fraction, ...] = getattr(self.size, f"{stem}_mm")
        return tuple(float(value) for value in (*(value * MM_PER_INCH for value in inches), *metric))

    def end(self, kind: KindRow, series: Series, kinds: Mapping[str, KindRow]) -> CandidateEnd:
        size = self.size
        external = kind.gender in (Gender.MALE, Gender.STUD)
        threaded = kind.threaded == "yes"
        if not threaded and size.eye_bore_mm is None:
            raise size.bad("eye_bore_mm", f"{kind.id} has no thread and needs it")
        return CandidateEnd(
            **of_kind(size.id, kind, series, self.provenance, self._origins(external=external), note=size.note),
            dash=size.dash,
            nominal=self.nominal,
            dn=self.dn,
            tube_od_mm=self.tube_od_mm,
            thread=(self.thread if external else self.female_thread) if threaded else None,
            o_ring=(size.o_ring or None) if kind.seal in O_RING_SEALS else None,
            hex_mm=self.male_hex if external else self.female_hex,
            part=self._part(kind, kinds),
            source=size.source,
            basis=size.basis,
            profile_mm=() if threaded or size.eye_bore_mm is None else (("eye bore", float(size.eye_bore_mm)),),
            also_tube_od_mm=tuple(float(tube) for tube in size.also_tube_od_mm),
            tube_wall_mm=self.wall,
            bolt=None if threaded else self.thread,
            ball_nose_share=self._ball_nose_share(kind),
        )

    def _ball_nose_share(self, kind: KindRow) -> float:
        own = self.size.ball_nose_share
        return own if own is not None and kind.seat_form is SeatForm.CONVEX else kind.ball_nose_share

    def _origins(self, *, external: bool) -> dict[str, Origin]:
        stem = "male_hex" if external else "female_hex"
        columns = {
            "thread": ("thread",) if external or not self.size.female_thread else ("female_thread",),
            "tube": ("tube_od_in", "tube_od_mm"),
            "o_ring": ("o_ring",),
            "hex": (f"{stem}_in", f"{stem}_mm"),
            "diameter": ("eye_bore_mm",),
        }
        return {what: self.provenance.of("ends", self.size, *names) for what, names in columns.items()}

    def _part(self, kind: KindRow, kinds: Mapping[str, KindRow]) -> str:
        base = kinds.get(kind.ordered_as, kind)
        for end_id in self.size.ordered_as:
            variant = end_id.rpartition("/")[2]
            if variant == base.variant or variant.startswith(f"{base.variant}-"):
                return end_id
        return f"{base.series}/{self.size.key}/{base.variant}"
