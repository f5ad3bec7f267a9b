"""The advisor against the best policy there is, on a catalogue small enough to look ahead to the end.

A reduced world: few ends, few checks, each made at most once, with a handful of answers. There every course of
questions can be worked out, so the least expected number of checks is known, and so is the advisor's. Beliefs and
answers foreseen are the matcher's own.

Duty: those two numbers. It must not print.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from voicefit.catalogue import CandidateEnd
from voicefit.matching import Advisor, Checks, Matcher, MeasurementModel, Posterior, Prior
from voicefit.records import Option, Reading

CHECKS = ("diameter", "pitch", "seat-form", "seat-angle", "seal", "gender")
MOST_ANSWERS = 5
SURE = 0.95

State = tuple[tuple[str, int], ...]  # check and answer, sorted


@dataclass(frozen=True)
class _Few:
    ends: Sequence[CandidateEnd]


class Reduced:
    """A reduced world over ``ends``."""

    def __init__(self, ends: Sequence[CandidateEnd], prior: Prior, model: MeasurementModel, checks: Checks) -> None:
        self.matcher = Matcher(_Few(ends), prior, model, checks)
        self.advisor = Advisor(self.matcher, checks)
        self.answers = {name: self._answers(name) for name in CHECKS}
        self._posteriors: dict[State, Posterior] = {}
        self._chances: dict[tuple[State, str], np.ndarray[tuple[int], np.dtype[np.float64]]] = {}

    def best(self) -> float:
        """The least expected number of checks until the leading part's probability is ``SURE`` or no check is left."""
        known: dict[State, float] = {}

        def cost(state: State) -> float:
            if state not in known:
                left = self._left(state)
                known[state] = 0.0 if not left else 1 + min(self._then(state, name, cost) for name in left)
            return known[state]

        return cost(())

    def advised(self) -> float:
        """The expected number of checks when the advisor's criterion, information per second, chooses."""
        known: dict[State, float] = {}

        def cost(state: State) -> float:
            if state not in known:
                left = self._left(state)
                known[state] = 0.0 if not left else 1 + self._then(state, self._choice(state, left), cost)
            return known[state]

        return cost(())

    def _choice(self, state: State, left: Sequence[str]) -> str:
        worth = self.advisor.worth(self._posterior(state))
        ids = {name: {name} for name in left} | (
            {"diameter": {"diameter", "outside-diameter", "inside-diameter"}} if "diameter" in left else {}
        )
        for check in worth:
            for name in left:
                if check.id in ids[name]:
                    return name
        return left[0]

    def _then(self, state: State, name: str, cost: Callable[[State], float]) -> float:
        chances = self._chance(state, name)
        return sum(
            float(chance) * cost(tuple(sorted((*state, (name, answer)))))
            for answer, chance in enumerate(chances)
            if chance > 1e-4
        )

    def _left(self, state: State) -> list[str]:
        if float(self._posterior(state).part_p[:-1].max()) >= SURE:
            return []
        done = {name for name, _ in state}
        return [name for name in CHECKS if name not in done]

    def _posterior(self, state: State) -> Posterior:
        if state not in self._posteriors:
            readings = [Reading("", (self.answers[name][answer],), asked=name) for name, answer in state]
            self._posteriors[state] = Posterior(self.matcher, readings)
        return self._posteriors[state]

    def _chance(self, state: State, name: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        """Chance of each answer in this state."""
        if (state, name) not in self._chances:
            posterior = self._posterior(state)
            table = np.stack([self._likely(name, option) for option in self.answers[name]], axis=1)
            table /= table.sum(axis=1, keepdims=True)
            chance = posterior.p @ table
            self._chances[state, name] = chance / chance.sum()
        return self._chances[state, name]

    def _likely(self, name: str, option: Option) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.exp(self.matcher.log_likelihood(Reading("", (option,), asked=name)))

    def _answers(self, name: str) -> list[Option]:
        """The answers that the ends themselves would give, the likeliest few."""
        aspect = self.matcher.aspect(self.advisor.checks[name].measurand)
        weight = np.bincount(aspect.class_of, np.exp(self.matcher.log_prior), minlength=aspect.n_classes)
        classes = np.arange(aspect.n_classes)
        states = aspect.states((), classes)
        measurand = self.advisor.checks[name].measurand
        chance = weight @ aspect.foresee_open(states, measurand, classes)
        if name == "diameter":
            return self._apart(aspect.outcomes, chance)
        return [aspect.outcomes[int(i)] for i in np.argsort(-chance)[:MOST_ANSWERS]]

    @staticmethod
    def _apart(outcomes: Sequence[Option], chance: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[Option]:
        """Of neighbouring diameters only the likeliest, the likeliest few."""
        chosen: list[int] = []
        for index in np.argsort(-chance):
            if all(abs(int(index) - other) > 1 for other in chosen):
                chosen.append(int(index))
            if len(chosen) == MOST_ANSWERS:
                break
        return [outcomes[index] for index in chosen]
