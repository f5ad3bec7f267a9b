"""Ports that are not cut for what seals them: nothing is seen at the mouth, and the mouth has any width.

The aspects are independent given the end but for this one fact of the piece, which two of them tell of. Let ``w`` be
the share of the state that no seal is ever seen, given what was said of it, times how often it is the port's fault, and
``o`` the state that the mouth has another width than the listed ones. The likelihood of both, over the product, is

    1 - w + w p(mouth | o) / p(mouth)

so that metal said again and again, and a mouth that fits the wrong port, count as the one rarity that they are.

Duty: that factor. It must not know any reading but those of the two aspects.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from voicefit.catalogue.ends import CandidateEnd
from voicefit.matching.aspect import Aspect, Evidence, Floats, log_sum
from voicefit.matching.model import MeasurementModel
from voicefit.records import Gender, Seal

PAIR = ("seal", "mouth")
CUT_FOR = frozenset({Seal.BASE_O_RING, Seal.WASHER})


class Uncut:
    """Over the ends of a matcher and its aspects of :data:`PAIR`; ``mouth`` has "another width" as its last state."""

    def __init__(
        self, ends: Sequence[CandidateEnd], model: MeasurementModel, seal: Aspect, mouth: Aspect, metal: int
    ) -> None:
        self._seal, self._mouth, self._metal, self._share = seal, mouth, metal, model.seal.port_uncut
        cut_for = [e.gender is Gender.PORT and e.seal in CUT_FOR and e.mouth_mm is not None for e in ends]
        self._rows = np.flatnonzero(cut_for)
        self._n = len(ends) + 1

    def log_factor(self, seal: Sequence[Evidence], mouth: Sequence[Evidence]) -> Floats:
        """Log of the factor for each end and "none of these": (n_ends + 1,), zero where it is no such port."""
        states = self._seal.log_posterior_states(seal)
        unseen = self._share * np.exp(states[:, self._metal] - log_sum(states))
        widths = self._mouth.log_posterior_states(mouth)
        other = np.exp(widths[:, -1] - self._mouth.log_states[:, -1] - log_sum(widths))
        rows = self._rows
        factor = np.zeros(self._n)
        by_seal, by_mouth = self._seal.class_of[rows], self._mouth.class_of[rows]
        factor[rows] = np.log1p(unseen[by_seal] * (other[by_mouth] - 1))
        return factor
