"""What is believed of an end after some readings: by end, and by part to order.

Duty: the prior and the likelihood put together. It must not score readings: see ``matcher.py``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from voicefit.matching.aspect import Floats, Ints, log_sum
from voicefit.matching.matcher import Matcher
from voicefit.records import Measurand, Option, Reading


class Posterior:
    """What is believed of the end after ``readings``, in whatever order they came; it never changes.

    ``untold`` : of what else was asked, and could not be told, once for each check.
    ``log_p`` : shape (n_ends + 1,), natural logs, the last is "none of these"; ``p`` their exponentials.
    ``log_likelihood`` : likewise, of all readings together, without the prior.

    Raises ``BadInput`` for a reading that says nothing that can be weighed.
    """

    def __init__(self, matcher: Matcher, readings: Sequence[Reading], untold: Sequence[Measurand] = ()) -> None:
        self._matcher, self.readings, self.untold = matcher, tuple(readings), tuple(untold)
        likelihood = matcher.joint_log_likelihood(self.readings)
        read = {matcher.aspect(measurand).name for reading in self.readings for measurand in reading.measurands}
        for name, times in Counter(matcher.aspect(measurand).name for measurand in self.untold).items():
            if name not in read:
                aspect = matcher.aspects[name]
                in_vain = np.sum([np.log(1 - aspect.told(n)) for n in range(times)], axis=0)
                likelihood = likelihood + in_vain[aspect.class_of]
        log_p = matcher.log_prior + likelihood
        self.log_likelihood: Floats = likelihood
        self.log_p: Floats = log_p - log_sum(log_p)

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
        return np.bincount(self._matcher.part_of, self.p).astype(np.float64)

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
        return order[np.unique(self._matcher.part_of[order], return_index=True)[1]]

    def leader(self, part: int) -> int:
        """Row of the likeliest end of a part."""
        return int(self.leaders[part])

    def option_weights(self, reading: int) -> Floats:
        """Probability of each option of one reading, given all readings: shape (n_options,), sums to one."""
        one, matcher = self.readings[reading], self._matcher
        if len(one.options) == 1:
            return np.ones(1)
        before, after = self.readings[:reading], self.readings[reading + 1 :]
        logs = []
        for option in one.options:
            evidence = matcher.log_evidence([*before, replace(one, options=(option,)), *after])
            logs.append(option.log_prior + evidence + (0.0 if matcher.tells(option.measurand) else np.log(0.01)))
        return np.asarray(np.exp(np.array(logs) - log_sum(np.array(logs))), dtype=np.float64)

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
