"""What is believed of an end after some readings: by end, and by part to order.

Duty: the type. It must not score readings: see ``matcher.py``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from voicefit.matching.aspect import Floats, Ints
from voicefit.records import Measurand, Option, Reading


@dataclass(frozen=True, eq=False)
class Posterior:
    """What is believed of the end after ``readings``.

    ``log_p`` : shape (n_ends + 1,), natural logs, the last is "none of these"; ``p`` their exponentials.
    ``log_likelihood`` : likewise, of all readings together, without the prior. ``untold`` : of what was asked in vain.
    """

    log_p: Floats
    log_likelihood: Floats
    readings: tuple[Reading, ...]
    untold: tuple[Measurand, ...]
    _part_of: Ints = field(repr=False)
    _weigh_options: Callable[[int], Floats] = field(repr=False)

    @cached_property
    def p(self) -> Floats:
        return np.exp(self.log_p)

    @property
    def none(self) -> float:
        """Probability that it is no end of the catalogue."""
        return float(self.p[-1])

    @cached_property
    def part_p(self) -> Floats:
        """Probability of each part, shape (n_parts + 1,), the last "none"; numbered as :attr:`Matcher.part_of`."""
        return np.bincount(self._part_of, self.p).astype(np.float64)

    @property
    def entropy_bit(self) -> float:
        """Entropy over the decision: which part to order."""
        return entropy_bit(self.part_p)

    def best_parts(self, count: int = 1) -> list[tuple[int, float]]:
        """The likeliest parts as (row of the part's likeliest end, probability of the part), best first; "none of
        these" is not among them."""
        parts = np.argsort(-self.part_p[:-1], kind="stable")[:count]
        return [(self.leader(int(part)), float(self.part_p[part])) for part in parts]

    @cached_property
    def leaders(self) -> Ints:
        """Row of the likeliest end of each part, shape (n_parts,); of equals the first."""
        order = np.argsort(-self.log_p[:-1], kind="stable")
        return order[np.unique(self._part_of[order], return_index=True)[1]]

    def leader(self, part: int) -> int:
        """Row of the likeliest end of a part."""
        return int(self.leaders[part])

    def option_weights(self, reading: int) -> Floats:
        """Probability of each option of one reading, given all readings: shape (n_options,), sums to one."""
        return self._weigh_options(reading)

    def option(self, reading: int) -> tuple[Option, float]:
        """The likeliest option of one reading with its probability."""
        weights = self.option_weights(reading)
        best = int(np.argmax(weights))
        return self.readings[reading].options[best], float(weights[best])


def entropy_bit(p: Floats) -> float:
    """Shannon entropy of a distribution, in bits; zeros count nothing.

    >>> entropy_bit(np.array([0.5, 0.5, 0.0]))
    1.0
    """
    some = p[p > 0]
    return float(-(some * np.log2(some)).sum())
