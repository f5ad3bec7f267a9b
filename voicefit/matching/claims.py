"""What is read as a marking, believed by the person, or known of the machine: weak evidence, never a check.

Duty: the aspects of dash, thread size, thread system, series and country. It must not let one of them outvote a
measurement: their weights are bounded by the model's rates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import CandidateEnd
from voicefit.errors import BadInput
from voicefit.matching.aspect import Aspect, Evidence, Floats, classify, said_quantity
from voicefit.matching.diameter import nominal_mm
from voicefit.matching.model import MeasurementModel
from voicefit.quantities import MM_PER_INCH
from voicefit.records import Measurand, Option

DASHES_PER_INCH = 16


class ClaimAspect(Aspect):
    """Base: one state only, so a claim repeated counts once (the same belief, said again).

    ``_keys`` : what each class is claimed to be, the last, "none of these", ``None``.
    """

    outcomes: Sequence[Option] = ()

    def __init__(self, keys: Sequence[Any]) -> None:
        self.class_of, distinct = classify(keys)
        self._keys: list[Any] = [*distinct, None]
        self.log_states = np.zeros((len(self._keys), 1))

    def log_likelihood(self, evidence: Sequence[Evidence]) -> Floats:
        return super().log_likelihood(list(dict.fromkeys(evidence)))

    def answerable(self) -> Floats:
        return np.zeros(self.n_classes)


class DashAspect(ClaimAspect):
    name = "dash"
    measurands = frozenset({Measurand.DASH})

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        super().__init__([end.dash for end in ends])
        self._claim = model.claim
        self._dash = np.array(self._keys, dtype=np.float64)
        self._listed = [key for key in self._keys if key is not None]

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        said = float(said_quantity(option).value)
        count = max(len(self._listed), 1)
        larger = min((dash for dash in self._listed if dash > said), default=None)
        smaller = max((dash for dash in self._listed if dash < said), default=None)
        rest = (1 - self._claim.dash - 2 * self._claim.dash_next) / count
        mass = np.where(np.isnan(self._dash), 1 / count, rest)
        for beside in (larger, smaller):
            if beside is not None:
                mass = np.where(self._dash == beside, rest + self._claim.dash_next, mass)
        return np.where(self._dash == said, self._claim.dash, mass)[:, None]

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.asarray(
            np.isnan(self._dash) | ((self._dash == float(said_quantity(option).value)) != option.negated),
            dtype=np.bool_,
        )


class SizeAspect(ClaimAspect):
    """The nominal size in a designation: of the thread, or of the end where the trade names that.

    A size says nothing of whether an end has a thread: over all sizes of ends without one it is as likely as "none of
    these". Among them it tells the size.
    """

    name = "thread_size"
    measurands = frozenset({Measurand.THREAD_SIZE})

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        super().__init__([_nominal_mm(end) and (_nominal_mm(end), end.thread is None) for end in ends])
        self._claim = model.claim
        self._size_mm = np.array([np.nan if key is None else key[0] for key in self._keys], dtype=np.float64)
        self._bare = np.array([key is not None and key[1] for key in self._keys], dtype=np.bool_)

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        same, bare = self._same(option), int(self._bare.sum())
        count = max(len(self._size_mm) - bare - 1, 1)
        mass = np.where(same, self._claim.size, (1 - self._claim.size) / count)
        if (self._bare & same).any():
            among = np.where(same, self._claim.size, (1 - self._claim.size) / max(bare - 1, 1)) * bare / count
        else:
            among = np.full(len(same), 1 / count)
        mass = np.where(self._bare, among, mass)
        return np.where(np.isnan(self._size_mm), 1 / count, mass)[:, None]

    def _same(self, option: Option) -> NDArray[np.bool_]:
        quantity = said_quantity(option)
        if not quantity.is_length:
            raise BadInput(f"thread_size: {quantity.value} {quantity.unit} is not a length")
        same: NDArray[np.bool_] = np.abs(self._size_mm - float(quantity.mm)) < 0.02
        return same

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.asarray(np.isnan(self._size_mm) | (self._same(option) != option.negated), dtype=np.bool_)


def _nominal_mm(end: CandidateEnd) -> float | None:
    """The size in the end's designation, in mm; of a flange, a coupler or a staple end the bore that its dash counts in
    sixteenths of an inch (ISO 6162, ISO 4397, from memory); ``None`` where neither is."""
    if end.thread is not None:
        return nominal_mm(end.thread)
    return None if end.dash is None else end.dash / DASHES_PER_INCH * float(MM_PER_INCH)


class NameAspect(ClaimAspect):
    """A thread system or a series by its id."""

    def __init__(self, name: str, measurand: Measurand, keys: Sequence[str | None], right: float) -> None:
        self.name = name  # type: ignore[misc]  # one class serves two aspects
        self.measurands = frozenset({measurand})  # type: ignore[misc]  # likewise
        super().__init__(keys)
        self._right = right

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        count = len(self._keys)
        rest = (1 - self._right) / count
        return np.array([[self._right if n == option.value else 1 / count if n is None else rest] for n in self._keys])

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.array([name is None or (name == option.value) != option.negated for name in self._keys])


class CountryAspect(ClaimAspect):
    """Where the machine was built: ``log_odds`` by country and series, 0 where not listed."""

    name = "country"
    measurands = frozenset({Measurand.COUNTRY})

    def __init__(self, ends: Sequence[CandidateEnd], log_odds: Mapping[str, Mapping[str, float]]) -> None:
        super().__init__([end.series for end in ends])
        self._log_odds = log_odds

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        row = self._log_odds.get(str(option.value), {})
        odds = np.exp(np.array([row.get(series, 0.0) for series in self._keys]))
        return np.asarray(0.5 * (odds / odds.max())[:, None], dtype=np.float64)

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.ones(self.n_classes, dtype=bool)


class SilentAspect(ClaimAspect):
    """What says nothing about an end (a hose's length, a pressure): the same broad mass for all.

    It takes part only beside options that do say something, as the other way to take the words.
    """

    name = "silent"

    def __init__(self, n_ends: int, measurands: frozenset[Measurand]) -> None:
        self.class_of, self.log_states = np.zeros(n_ends + 1, dtype=np.intp), np.zeros((1, 1))
        self.measurands = measurands  # type: ignore[misc]  # all that no other aspect takes

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        return np.array([[0.01]])

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.ones(1, dtype=bool)


def claim_aspects(
    ends: Sequence[CandidateEnd], model: MeasurementModel, log_odds: Mapping[str, Mapping[str, float]]
) -> list[Aspect]:
    """Dash, thread size and system, series, country."""
    # Nobody names the taper in the system of a metric thread: "metric" and "tapered" are two things that are said.
    systems = [None if end.thread is None else end.thread.system.removesuffix("-taper") for end in ends]
    return [
        DashAspect(ends, model),
        SizeAspect(ends, model),
        NameAspect("thread_system", Measurand.THREAD_SYSTEM, systems, model.claim.system),
        NameAspect("series", Measurand.SERIES, [end.series for end in ends], model.claim.series),
        CountryAspect(ends, log_odds),
    ]


CLAIMS = frozenset(
    {
        Measurand.DASH,
        Measurand.THREAD_SIZE,
        Measurand.THREAD_SYSTEM,
        Measurand.SERIES,
        Measurand.COUNTRY,
        Measurand.HOSE_BORE,
        Measurand.HOSE_OUTSIDE_DIAMETER,
    }
)
