"""What is seen, felt or known of a piece: gender, shape, seat form, nose, seal, taper and what its line carries.

Duty: the aspects of the categories. It must not hold any numbers of its own: they are the model's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import HYDRAULIC, CandidateEnd, Shape, Trade
from voicefit.errors import BadInput
from voicefit.matching.aspect import TINY, Aspect, Floats, classify
from voicefit.matching.model import MeasurementModel
from voicefit.records import O_RING, O_RING_SEALS, Gender, Measurand, Option, Seal, SeatForm

Taken = tuple[str | None, Mapping[str, float]]  # an end's category, and what it is taken for with probabilities


MOSTLY = 0.5  # what is called so less often than not, is not called so without a contradiction


class CategoryAspect(Aspect):
    """A category that is perceived (state, lasting) and said (report, anew).

    ``true`` : the category of each class, ``None`` where nothing can be said.
    """

    def __init__(
        self,
        name: str,
        measurand: Measurand,
        categories: Sequence[str],
        keys: Sequence[Taken],
        seen: float,
        said_as: Mapping[str, Mapping[str, float]] | None = None,
        absent: float = 1.0,
        habit: float = 1.0,
        looked_for: float = 1.0,
    ) -> None:
        """``keys`` : for each end.

        ``seen`` : rate of slips in one report; ``said_as`` : by category, what else it is called, with probabilities.
        ``absent`` : how often a category is named on an end that has none. ``habit`` : a name that an end is taken for
        at least so often contradicts nothing. ``looked_for`` : of what is in ``said_as``, the share that is left where
        it was asked about by itself.
        """
        self.name = name  # type: ignore[misc]  # one class serves several aspects
        self.measurands = frozenset({measurand})  # type: ignore[misc]  # likewise
        self.categories = tuple(categories)
        self._seen, self._habit = seen, habit
        n = len(categories)
        self._said = np.full((n, n), seen / (n - 1))  # row: state; column: what is said
        np.fill_diagonal(self._said, 1 - seen)
        self._said_asked = self._said.copy()
        for meant, names in (said_as or {}).items():
            row = categories.index(meant)
            for name_, share in names.items():
                for said, left in ((self._said, share), (self._said_asked, share * looked_for)):
                    said[row, categories.index(name_)] += left
                    said[row, row] -= left
        self.class_of, distinct = classify([(key, tuple(sorted(taken.items()))) for key, taken in keys])
        even = np.full(len(categories), 1 / len(categories))
        rows = [absent * even if key is None else self._perceived(key, dict(taken)) for key, taken in distinct]
        self.true: list[str | None] = [key for key, _ in distinct] + [None]
        self._called = np.array([*rows, even])
        self.log_states = np.log(self._called + TINY)
        self.outcomes = [Option(measurand, category) for category in categories]

    def _perceived(self, key: str, taken: Mapping[str, float]) -> Floats:
        row = np.zeros(len(self.categories))
        for category, share in taken.items():
            row[self.categories.index(category)] += share
        row[self.categories.index(key)] += 1 - row.sum()
        return row

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        return self._report(self._said, option)

    def report_asked(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        return self._report(self._said_asked, option)

    def _report(self, said: Floats, option: Option) -> Floats:
        if option.value == O_RING:  # any of them
            them = [self.categories.index(seal) for seal in O_RING_SEALS]
            return np.asarray(said[:, them].sum(axis=1)[None, :], dtype=np.float64)
        return np.asarray(said[None, :, self._index(option)], dtype=np.float64)

    def _index(self, option: Option) -> int:
        try:
            return self.categories.index(str(option.value))
        except ValueError:
            raise BadInput(f"{option.measurand}: {option.value!r} is none of {', '.join(self.categories)}") from None

    def literal(self, option: Option) -> NDArray[np.bool_]:
        ring = option.value == O_RING
        them = [self.categories.index(seal) for seal in O_RING_SEALS] if ring else [self._index(option)]
        own = np.array([key is None or (self.categories.index(key) in them) != option.negated for key in self.true])
        called = self._called[:, them].sum(axis=1)
        fits = called < MOSTLY if option.negated else called >= self._habit
        return np.asarray(own | fits, dtype=np.bool_)

    def answerable(self) -> Floats:
        return np.array([0.1 if key is None else 1.0 for key in self.true[:-1]] + [0.5])


class GenderAspect(CategoryAspect):
    """Gender, and with it the side of the thread: "was that inside the nut?".

    States: what this person calls it, first with inside and outside understood, then with the two turned round.
    """

    _INTERNAL = (Gender.FEMALE, Gender.PORT)

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        taken = _named(model.gender.seen_kept)
        keys = [(end.gender.value, taken[end.gender.value]) for end in ends]
        names, habit = [g.value for g in Gender], model.gender.habit
        super().__init__("gender", Measurand.GENDER, names, keys, model.gender.seen, habit=habit)
        kept = model.caliper.side_kept
        self.log_states = np.concatenate([self.log_states + np.log(1 - kept), self.log_states + np.log(kept)], axis=1)
        self.measurands = frozenset({Measurand.GENDER, Measurand.THREAD_SIDE})  # type: ignore[misc]  # one more

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        if option.measurand is Measurand.GENDER:
            return np.tile(super().report(option, threads_engaged, times), 2)
        internal = self._internal(option)
        so = np.array([(Gender(name) in self._INTERNAL) == internal for name in self.categories])
        return np.where(np.concatenate([so, ~so]), 1 - self._seen, self._seen)[None, :]

    report_asked = report

    def literal(self, option: Option) -> NDArray[np.bool_]:
        if option.measurand is Measurand.GENDER:
            return super().literal(option)
        internal = self._internal(option) != option.negated
        return np.array([key is None or (Gender(key) in self._INTERNAL) == internal for key in self.true])

    @staticmethod
    def _internal(option: Option) -> bool:
        if option.value not in ("internal", "external"):
            raise BadInput(f"thread_side: {option.value!r} is neither internal nor external")
        return option.value == "internal"


class SeatFormAspect(CategoryAspect):
    """The seat; of a spigot and the bore that takes it, which have none, that it stands out or goes in; of a port's
    mouth, that it is flat.

    States: what this person calls it, first where a face is found around the mouth by whoever is asked about that
    alone, then where none is found. A spot face is often called no seat, and hardly overlooked.
    """

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        seen, forms = model.seat_form, [form.value for form in SeatForm]
        super().__init__("seat_form", Measurand.SEAT_FORM, forms, _seats(ends, model), seen.seen, habit=seen.habit)
        faced = np.array([0.5 if key is None else seen.faced[SeatForm(key)] for key in self.true])
        with_it, without = (np.log(share)[:, None] for share in (faced, 1 - faced))
        self.log_states = np.concatenate([self.log_states + with_it, self.log_states + without], axis=1)

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        return np.tile(super().report(option, threads_engaged, times), 2)

    def report_asked(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        if option.value != SeatForm.SHOULDER:
            return np.tile(super().report_asked(option, threads_engaged, times), 2)
        faced = np.repeat([True, False], len(self.categories))
        return np.where(faced, 1 - self._seen, self._seen)[None, :]


def _seats(ends: Sequence[CandidateEnd], model: MeasurementModel) -> list[Taken]:
    seen = model.seat_form
    named = _named(seen.seen_kept)

    def taken(end: CandidateEnd) -> Mapping[str, float]:
        if end.felt_as is not None:
            return {**named[end.seat_form.value], end.felt_as.value: seen.spigot}
        if end.gender is Gender.PORT and end.seat_form is SeatForm.SHOULDER:
            return {**named[end.seat_form.value], SeatForm.FLAT.value: seen.spot_face}
        return named[end.seat_form.value]

    return [(end.seat_form.value, taken(end)) for end in ends]


def seal_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """What seals, as seen on this end: the ring may sit on its mate, or be lost."""
    here = _named(model.seal.seen_kept)
    metal, own = model.seal.elsewhere_metal, model.seal.elsewhere_own
    others = [seal.value for seal in Seal]

    def taken(end: CandidateEnd) -> dict[str, float]:
        if end.carries_seal and end.shape is not Shape.BANJO:  # whose washers are loose: on neither of its parts
            return dict(here[end.seal.value])
        own_here, metal_here = own, metal
        if end.gender is Gender.PORT and end.seal in (Seal.BASE_O_RING, Seal.WASHER):
            own_here, metal_here = model.seal.port_own, model.seal.port_metal  # the mouth is cut for it
        rest = (1 - metal_here - own_here) / len(others)
        shares = {name: rest for name in others if name != end.seal.value}
        shares[Seal.METAL.value] = shares.get(Seal.METAL.value, 0.0) + metal_here
        return shares

    keys = [(end.seal.value, taken(end)) for end in ends]
    seen, said_as, looked_for = model.seal.seen, _named(model.seal.said_as), model.seal.looked_for
    habit = model.seal.habit
    return CategoryAspect("seal", Measurand.SEAL, others, keys, seen, said_as, habit=habit, looked_for=looked_for)


def crest_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """The form of the thread's crests: rounded at 55 degrees, cut flat at 60."""
    true = [None if end.thread is None else "rounded" if end.thread.rounded else "flat" for end in ends]
    keys = _evenly(true, ["rounded", "flat"], model.crest.seen_kept)
    absent = model.absent.thread
    return CategoryAspect("crest", Measurand.CREST, ["rounded", "flat"], keys, model.crest.seen, absent=absent)


def taper_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    true = [None if end.thread is None else "tapered" if end.thread.taper else "parallel" for end in ends]
    keys = _evenly(true, ["tapered", "parallel"], model.taper.seen_kept)
    seen, absent = model.taper.seen, model.absent.thread
    return CategoryAspect("taper", Measurand.TAPER, ["tapered", "parallel"], keys, seen, absent=absent)


def shape_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """What kind of thing it is: a threaded end, or one of the shapes known when seen."""
    shapes = [shape.value for shape in Shape]
    keys = _evenly([end.shape.value for end in ends], shapes, model.shape.seen_kept)
    return CategoryAspect("shape", Measurand.SHAPE, shapes, keys, model.shape.seen)


def nose_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """Whether a convex seat is a straight cone or a ball; nothing else has a nose."""
    kept = model.nose.seen_kept
    keys: list[Taken] = []
    for end in ends:
        if end.seat_form is not SeatForm.CONVEX:
            keys.append((None, {}))
            continue
        ball = end.ball_nose_share
        seen_ball = ball * (1 - kept) + (1 - ball) * kept
        keys.append(("straight", {"ball": seen_ball}) if ball < 0.5 else ("ball", {"straight": 1 - seen_ball}))
    return CategoryAspect("nose", Measurand.NOSE, ["straight", "ball"], keys, model.nose.seen, absent=model.absent.seat)


def edge_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """Whether a stud's shoulder seals by an edge of its own, or a flat ring lies there around the O-ring."""
    kept, ring, seen = model.edge.seen_kept, model.edge.ring_kept, model.edge.seen / 2
    taken = {"edge": {"plain": kept}, "ring": {"plain": ring}, "plain": {"edge": kept, "ring": ring}}
    keys: list[Taken] = [(end.around_shoulder, taken.get(end.around_shoulder or "", {})) for end in ends]
    said_as = {"edge": {"plain": seen}, "ring": {"plain": seen}, "plain": {"edge": seen}}
    aspect, absent = Measurand.SHOULDER_EDGE, model.absent.seat
    return CategoryAspect("shoulder_edge", aspect, list(taken), keys, model.edge.ring_seen, said_as, absent=absent)


def body_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """Whether it is part of a housing: a fact about the piece, where "port" and "female" are names that people mix."""
    bodies = ["housing" if end.gender is Gender.PORT else "loose" for end in ends]
    keys = _evenly(bodies, ["housing", "loose"], model.body.seen_kept)
    return CategoryAspect("body", Measurand.BODY, ["housing", "loose"], keys, model.body.seen)


def line_aspect(ends: Sequence[CandidateEnd], model: MeasurementModel) -> CategoryAspect:
    """What the line carries: it tells a hydraulic end from one of another trade that is cut alike."""
    lines = [HYDRAULIC, *(trade.name.lower() for trade in Trade)]
    keys = _evenly([end.line for end in ends], lines, model.line.seen_kept)
    return CategoryAspect("line", Measurand.LINE, lines, keys, model.line.seen)


def _evenly(true: Sequence[str | None], categories: Sequence[str], kept: float) -> list[Taken]:
    """Each end's category, taken for any of the others alike, ``kept`` of the time."""
    other = kept / (len(categories) - 1)
    return [(key, {name: other for name in categories if key not in (None, name)}) for key in true]


def _named(
    confusion: Mapping[Gender, Mapping[Gender, float]]
    | Mapping[Seal, Mapping[Seal, float]]
    | Mapping[SeatForm, Mapping[SeatForm, float]],
) -> dict[str, dict[str, float]]:
    return {str(true): {str(taken): share for taken, share in row.items()} for true, row in confusion.items()}
