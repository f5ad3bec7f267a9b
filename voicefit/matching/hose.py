"""What the hose tells of the end on it: its bore and its outside diameter. Weak evidence, never a check.

A hose mostly carries ends of its own size, but ends one size up or down are sold too. The outside diameter says less:
it depends on the reinforcement.

Duty: that aspect. It must not know any hose: those are the order's.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import CandidateEnd
from voicefit.matching.aspect import Floats, normal_mass, said_length_mm
from voicefit.matching.claims import ClaimAspect
from voicefit.matching.model import MeasurementModel
from voicefit.quantities import MM_PER_INCH
from voicefit.records import Measurand, Option


class HoseAspect(ClaimAspect):
    """Ends by nominal bore. ``_share`` : probability of each hose bore on each class of ends, (n_classes, n_bores)."""

    name = "hose"
    measurands = frozenset({Measurand.HOSE_BORE, Measurand.HOSE_OUTSIDE_DIAMETER})

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        super().__init__(_bores_mm(ends))
        self._hose = model.hose
        self._bores_mm = np.array(sorted({key for key in self._keys if key is not None}) or [10.0])
        self._share = np.array([self._shares(key) for key in self._keys])

    def _shares(self, bore_mm: float | None) -> Floats:
        count = len(self._bores_mm)
        if bore_mm is None:
            return np.full(count, 1 / count)
        own = int(np.searchsorted(self._bores_mm, bore_mm))
        shares = np.full(count, (1 - self._hose.own - 2 * self._hose.next) / count)
        shares[own] += self._hose.own
        shares[[max(own - 1, 0), min(own + 1, count - 1)]] += self._hose.next
        return np.asarray(shares / shares.sum(), dtype=np.float64)

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        value_mm, resolution_mm = said_length_mm(option)
        hose, bores_mm = self._hose, self._bores_mm
        if option.measurand is Measurand.HOSE_BORE:
            mean, sd = bores_mm, np.full(len(bores_mm), hose.bore_sd_mm)
        else:
            mean = hose.outside_over_mm + hose.outside_by_bore * bores_mm
            sd = hose.outside_sd_mm + hose.outside_sd_by_bore * bores_mm
        near = normal_mass(value_mm, mean, np.hypot(sd, resolution_mm / np.sqrt(12)), resolution_mm)
        return np.asarray((self._share @ near)[:, None], dtype=np.float64)

    def literal(self, option: Option) -> NDArray[np.bool_]:
        return np.ones(self.n_classes, dtype=bool)


def _bores_mm(ends: Sequence[CandidateEnd]) -> list[float | None]:
    """The hose bore that each end is made for: sixteenths of an inch by its dash, or by the dash of its DN."""
    dashes: dict[int, int] = {}
    for end in ends:
        if end.dn is not None and end.dash is not None:
            dashes[end.dn] = min(end.dash, dashes.get(end.dn, end.dash))
    found: list[float | None] = []
    for end in ends:
        dash = end.dash if end.dash is not None or end.dn is None else dashes.get(end.dn)
        bore = None if end.dn is None else float(end.dn)
        found.append(bore if dash is None else float(dash * MM_PER_INCH / 16))
    return found
