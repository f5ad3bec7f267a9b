"""The advisor: the next check, or the conclusion.

Duty: choose the check with the greatest expected information about the part to order, per second of the technician's
time; look two steps ahead where one step sees nothing; stop when the conclusion is safe or no check can help. It must
not word anything (``grammar/checks.toml`` has the words) and must not conclude from prior odds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from voicefit.matching.aspect import Aspect, Evidence, Floats, Ints, log_sum
from voicefit.matching.checks import CheckEntry, Checks
from voicefit.matching.diameter import SIDED
from voicefit.matching.information import Mixed, information_bit, mixed_parts, row_entropy_bit
from voicefit.matching.matcher import Matcher, Posterior, entropy_bit
from voicefit.matching.reach import Reach, conflict, reach, rests_on
from voicefit.records import Advice, Check, Measurand, Reading

LEAVES_ASKED = 6  # gauge leaves that are worth asking about one by one
SURE_OF_SIDE = 0.8


MATTERS = 1e-5  # belief in a class below which the answers foreseen for it are not worked out


@dataclass(frozen=True, slots=True)
class _Foresight:
    """Answers foreseen to one check: a table by ``classes`` with the entropy of its rows."""

    classes: Ints
    table: Floats
    entropy_bit: Floats


class Advisor:
    """Chooses the next check over a matcher's ends.

    >>> # Advisor(matcher, load_checks(texts)).advise(readings).check
    """

    def __init__(self, matcher: Matcher, checks: Checks) -> None:
        self.matcher = matcher
        self.checks = checks
        self._threaded = np.flatnonzero([end.external is not None for end in matcher.ends])
        self._external_rows = np.flatnonzero([end.external is True for end in matcher.ends])
        self._mixed: dict[str, Mixed] = {}
        self._unread: dict[tuple[str, str], _Foresight] = {}  # foresight where nothing of the aspect was read

    def advise(self, readings: Sequence[Reading], unavailable: frozenset[str] = frozenset()) -> Advice:
        """What to do next after ``readings``; checks whose id is in ``unavailable`` are not asked."""
        return self.advise_on(self.matcher.posterior(readings), unavailable)

    def advise_on(self, posterior: Posterior, unavailable: frozenset[str] = frozenset()) -> Advice:
        """As :meth:`advise`, for a posterior that is already there."""
        matcher, decision = self.matcher, self.matcher.model.decision
        if not matcher.ends:
            return Advice(None, identified=False, nothing_fits=True)
        near = self._within_reach(posterior)
        if near is None:
            return Advice(None, identified=True)
        parts = posterior.part_p[:-1]
        leader = int(np.argmax(parts))
        safe = float(parts[leader]) >= decision.safe_posterior
        others = sorted((part for part in near.parts if part != leader), key=lambda part: -float(parts[part]))
        look_alikes = tuple(posterior.leader(part) for part in others)
        belief = self._evidence_alone(near, leader) if safe else posterior.p
        best = self._best(belief, posterior.readings, unavailable)
        nothing = posterior.none >= decision.doubt_posterior
        against = conflict(matcher, posterior.readings)
        standoff = None
        if best is None and others and not nothing:
            standoff = (posterior.leader(leader), look_alikes[0])
        return Advice(best, False, nothing, look_alikes, standoff, against)

    def concluded(self, posterior: Posterior) -> bool:
        """Whether the conclusion is safe: the leading part sure, and every other excluded by checks that were made."""
        return self._within_reach(posterior) is None

    def worth(self, posterior: Posterior, unavailable: frozenset[str] = frozenset()) -> list[Check]:
        """All checks that are possible now with their information, the one worth most per second first."""
        found = list(self._valued(posterior.p, posterior.readings, unavailable))
        return sorted(found, key=lambda check: -self._rate(check))

    def separating(
        self, posterior: Posterior, row: int, other: int, unavailable: frozenset[str] = frozenset()
    ) -> Check | None:
        """The check that tells the part of ``row`` from that of ``other`` best per second; ``None`` if none does."""
        pair = self.matcher.part_of[[row, other]]
        logs = np.full(len(posterior.log_p), -np.inf)
        for part in pair:  # even odds between the two parts, the ends within each as they stand
            inside = self.matcher.part_of == part
            logs[inside] = posterior.log_p[inside] - log_sum(posterior.log_p[inside])
        belief = np.exp(logs)
        return self._best(belief / belief.sum(), posterior.readings, unavailable)

    # ---- inside -----------------------------------------------------------------------------------------

    def _within_reach(self, posterior: Posterior) -> Reach | None:
        """What the checks leave within reach; ``None`` when that is the leading part alone, and safely so."""
        parts = posterior.part_p[:-1]
        if not len(parts):
            return Reach(posterior.log_likelihood, ())
        leader = int(np.argmax(parts))
        near = reach(self.matcher, posterior.readings)
        if float(parts[leader]) < self.matcher.model.decision.safe_posterior or near.parts != (leader,):
            return near
        return rests_on(self.matcher, posterior.readings, leader)

    def _evidence_alone(self, near: Reach, leader: int) -> Floats:
        """Belief by the checks alone, over what they leave within reach: what is still to be excluded."""
        inside = np.zeros(len(self.matcher.parts) + 1, dtype=np.bool_)
        inside[[*near.parts, leader]] = True
        logs = np.where(inside[self.matcher.part_of], near.log_likelihood, -np.inf)
        logs[-1] = -np.inf
        belief = np.exp(logs - logs.max())
        return np.asarray(belief / belief.sum(), dtype=np.float64)

    def _best(self, belief: Floats, readings: Sequence[Reading], unavailable: frozenset[str]) -> Check | None:
        found = list(self._valued(belief, readings, unavailable))
        decision = self.matcher.model.decision
        unknown = entropy_bit(np.bincount(self.matcher.part_of, belief).astype(np.float64))
        least = max(decision.worth_share * min(unknown, 1.0), decision.worth_bit)
        worth = [check for check in found if check.information_bit >= least]
        return max(worth, key=lambda check: self._rate(check, self._again(check, readings)), default=None)

    def _rate(self, check: Check, again: bool = False) -> float:
        """Information per second; what was already measured costs a person more patience to measure again."""
        decision = self.matcher.model.decision
        patience = decision.again if again else 1.0
        return check.information_bit / ((check.time_s + decision.turn_s) * patience)

    @staticmethod
    def _asked(check: Check, readings: Sequence[Reading]) -> int:
        """How often this very check was answered: with the same leaf, if it has one."""
        asked = check.yes.value if check.slots and check.yes is not None else None
        return sum(
            reading.asked == check.id and (asked is None or any(o.value == asked for o in reading.options))
            for reading in readings
        )

    def _again(self, check: Check, readings: Sequence[Reading]) -> bool:
        """Whether it was asked before, or is an open question about something already read."""
        if any(reading.asked == check.id for reading in readings):
            return True
        aspect = self.matcher.aspect(check.measurand)
        return check.yes is None and any(reading.measurands & aspect.measurands for reading in readings)

    def _valued(self, belief: Floats, readings: Sequence[Reading], unavailable: frozenset[str]) -> Iterator[Check]:
        """Every possible check with its expected information."""
        read = frozenset[Measurand]().union(*(reading.measurands for reading in readings))
        external = self._external(belief)
        evidence = self._evidence(readings)
        states: dict[str, tuple[Ints, Floats]] = {}
        decision = self.matcher.model.decision
        for entry in self.checks.values():
            if entry.id in unavailable or not self._possible(entry, read, external):
                continue
            aspect = self.matcher.aspect(entry.measurand)
            answerable = belief * aspect.answerable()[aspect.class_of]
            share = float(answerable.sum())
            if share < 1e-6:
                continue
            answered = answerable / share
            by_class = np.bincount(aspect.class_of, answered, minlength=aspect.n_classes).astype(np.float64)
            mixed = self._mixed_of(aspect.name)
            for check in self._instances(entry, aspect, by_class):
                if self._asked(check, readings) >= (decision.most_measured if aspect.steady else decision.most_asked):
                    continue
                seen = self._foresee(check, aspect, evidence.get(aspect.name, ()), by_class, states)
                bits = information_bit(
                    answered, aspect.class_of, by_class, seen.classes, seen.table, seen.entropy_bit, mixed
                )
                yield replace(check, information_bit=share * bits)

    def _possible(self, entry: CheckEntry, read: frozenset[Measurand], external: float) -> bool:
        if entry.after and not read & set(entry.after):
            return False
        if entry.gender is not None or entry.measurand in SIDED:
            side = "external" if external > SURE_OF_SIDE else "internal" if external < 1 - SURE_OF_SIDE else None
            return entry.gender == side
        return True

    def _external(self, belief: Floats) -> float:
        """Probability that the thread is external, among ends with a thread."""
        total = float(belief[self._threaded].sum())
        return float(belief[self._external_rows].sum()) / total if total > 0 else 0.5

    def _evidence(self, readings: Sequence[Reading]) -> dict[str, list[Evidence]]:
        """The readings so far by aspect; a reading that may belong to several counts for each."""
        found: dict[str, list[Evidence]] = {}
        for reading in readings:
            for name, one in self.matcher.shares(reading):
                found.setdefault(name, []).append(one)
        return found

    def _instances(self, entry: CheckEntry, aspect: Aspect, by_class: Floats) -> Iterator[Check]:
        """The check, or one for each gauge leaf that is likeliest to fit."""
        if entry.slot is None:
            yield entry.check()
            return
        states = by_class @ np.exp(aspect.log_states)
        for state in np.argsort(-states, kind="stable")[:LEAVES_ASKED]:
            yield entry.check(aspect.outcomes[int(state)].value)

    def _foresee(
        self,
        check: Check,
        aspect: Aspect,
        evidence: Sequence[Evidence],
        by_class: Floats,
        states: dict[str, tuple[Ints, Floats]],
    ) -> _Foresight:
        """Answers foreseen; what was read of the aspect counts. ``states`` : worked out so far, by aspect."""
        key = (check.id, str(check.yes.value) if check.yes is not None else "")
        if not evidence and key in self._unread:
            return self._unread[key]
        if aspect.name not in states:
            some = np.flatnonzero(by_class > MATTERS) if evidence else np.arange(aspect.n_classes)
            states[aspect.name] = some, aspect.states(evidence, some)
        classes, known = states[aspect.name]
        if check.yes is not None:
            slip = self.matcher.model.answer.turned_round
            yes = slip + (1 - 2 * slip) * aspect.foresee(known, check.yes, classes)
            table = np.stack([yes, 1 - yes], axis=1)
        else:
            table = aspect.foresee_open(known, check.measurand, classes)
        seen = _Foresight(classes, table, row_entropy_bit(table))
        if not evidence:
            self._unread[key] = seen
        return seen

    def _mixed_of(self, name: str) -> Mixed:
        if name not in self._mixed:
            self._mixed[name] = mixed_parts(self.matcher.aspects[name].class_of, self.matcher.part_of)
        return self._mixed[name]
