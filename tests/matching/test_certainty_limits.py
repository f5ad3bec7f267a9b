"""From which probability on a part is said to lead, and to be likely (``decision`` in ``measurement.toml``)."""

from __future__ import annotations

from typing import cast

import pytest

from voicefit.matching import MeasurementModel, Posterior
from voicefit.matching.decision import certainty_of
from voicefit.records import Certainty


class Parts:
    """Only what is asked of a posterior: its best parts with their probabilities."""

    def __init__(self, *probabilities: float) -> None:
        self.probabilities = probabilities

    def best_parts(self, most: int) -> list[tuple[int, float]]:
        return list(enumerate(self.probabilities))[:most]


@pytest.mark.parametrize(
    ("probabilities", "certainty"),
    [
        # Right nine times in ten is likely.
        ((0.9, 0.1), Certainty.LIKELY),
        ((0.8999, 0.1001), Certainty.LEADING),
        # Four times in ten leads, if it is a quarter likelier than the next.
        ((0.4, 0.2), Certainty.LEADING),
        ((0.3999, 0.2), Certainty.OPEN),
        ((0.5, 0.4), Certainty.LEADING),
        ((0.5, 0.4001), Certainty.OPEN),
        ((0.4,), Certainty.LEADING),
        ((0.9,), Certainty.LIKELY),
    ],
)
def test_how_sure(probabilities: tuple[float, ...], certainty: Certainty, model: MeasurementModel) -> None:
    assert certainty_of(cast(Posterior, Parts(*probabilities)), model.decision) is certainty
