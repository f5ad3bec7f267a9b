"""The advisor: the next check, or the conclusion.

Duty: choose the check with the greatest expected information about the part to order, per second of the technician's
time; look two steps ahead where one step sees nothing; stop when the conclusion is safe or no check can help. It must
not word anything (``grammar/checks.toml`` has the words) and must not conclude from prior odds.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from voicefit.matching.aspect import Floats, log_sum
from voicefit.matching.checks import Checks
from voicefit.matching.foresight import Foresight, Valued
from voicefit.matching.matcher import Matcher
from voicefit.matching.posterior import Posterior, entropy_bit
from voicefit.matching.reach import Reach, conflict, reach, rests_on
from voicefit.records import Advice, Certainty, Check, Reading

MOST_FIRST_STEPS = 12  # checks looked at as the first of two
MOST_ANSWERS = 4  # answers to it that are followed up


class Advisor:
    """Chooses the next check over a matcher's ends: ``Advisor(matcher, load_checks(texts)).advise(readings).check``."""

    def __init__(self, matcher: Matcher, checks: Checks) -> None:
        self.matcher = matcher
        self.checks = checks
        self._foresight = Foresight(matcher, checks)

    def advise(self, readings: Sequence[Reading], unavailable: frozenset[str] = frozenset()) -> Advice:
        """What to do next after ``readings``; checks whose id is in ``unavailable`` are not asked."""
        return self.advise_on(self.matcher.posterior(readings), unavailable)

    def advise_on(self, posterior: Posterior, unavailable: frozenset[str] = frozenset()) -> Advice:
        """As :meth:`advise`, for a posterior that is already there."""
        matcher, decision = self.matcher, self.matcher.model.decision
        if not matcher.ends:
            return Advice(nothing_fits=True)
        near = self._within_reach(posterior)
        if near is None:
            return Advice(certainty=Certainty.IDENTIFIED, variants=self._variants(posterior))
        parts = posterior.part_p[:-1]
        leader = int(np.argmax(parts))
        safe = float(parts[leader]) >= decision.safe_posterior
        others = sorted((part for part in near.parts if part != leader), key=lambda part: -float(parts[part]))
        look_alikes = tuple(posterior.leader(part) for part in others)
        belief = self._evidence_alone(near, leader) if safe else posterior.p
        best = self._best(belief, posterior.readings, unavailable, posterior.p)
        nothing = posterior.none >= decision.doubt_posterior
        against = conflict(matcher, posterior.readings)
        standoff = None
        if best is None and not nothing:
            second = look_alikes[:1] or tuple(row for row, _ in posterior.best_parts(2)[1:])
            standoff = (posterior.leader(leader), second[0]) if second else None
        certainty = self._certainty(posterior)
        return Advice(
            checks=() if best is None else (best,),
            certainty=certainty,
            again=best is not None and bool(against) and self._times(best, posterior.readings) > 0,
            nothing_fits=nothing,
            variants=() if certainty is Certainty.OPEN else self._variants(posterior),
            look_alikes=look_alikes,
            standoff=standoff,
            contradiction=against,
        )

    def concluded(self, posterior: Posterior) -> bool:
        """Whether the conclusion is safe: the leading part sure, and every other excluded by checks that were made."""
        return self._within_reach(posterior) is None

    def worth(self, posterior: Posterior, unavailable: frozenset[str] = frozenset()) -> list[Check]:
        """All checks that are possible now with their information, the one worth most per second first."""
        found = [v.check for v in self._foresight.valued(posterior.p, posterior.readings, unavailable)]
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

    def _certainty(self, posterior: Posterior) -> Certainty:
        """How sure the leading part is, short of a conclusion."""
        decision = self.matcher.model.decision
        [(_, first), *rest] = posterior.best_parts(2)
        second = rest[0][1] if rest else 0.0
        if first >= decision.likely_posterior:
            return Certainty.LIKELY
        leads = first >= decision.leads_posterior and first >= decision.leads_by * second
        return Certainty.LEADING if leads else Certainty.OPEN

    def _variants(self, posterior: Posterior) -> tuple[int, ...]:
        """Of the leading part, the likeliest end of each way to seal that the readings leave open."""
        ends, part_of = self.matcher.ends, self.matcher.part_of
        [(leader, share)] = posterior.best_parts(1)
        rows = [int(row) for row in np.flatnonzero(part_of[:-1] == part_of[leader])]
        rows.sort(key=lambda row: -float(posterior.p[row]))
        by_seal: dict[object, int] = {}
        for row in rows:
            if posterior.p[row] >= self.matcher.model.decision.variant_share * share:
                by_seal.setdefault((ends[row].seal, ends[row].o_ring, ends[row].seat_form), row)
        return tuple(by_seal.values())

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

    def _best(
        self,
        belief: Floats,
        readings: Sequence[Reading],
        unavailable: frozenset[str],
        known: Floats | None = None,
    ) -> Check | None:
        """The check worth most per second; where no single one sees anything, the first of the best pair."""
        found = list(self._foresight.valued(belief, readings, unavailable, known))
        least = self._least(belief)
        worth = [valued.check for valued in found if valued.check.information_bit >= least]
        if worth:
            return max(worth, key=lambda check: self._rate(check, self._times(check, readings)))
        return self._first_of_two(belief, readings, unavailable, found, known)

    def _least(self, belief: Floats) -> float:
        """Information below which a check is not worth a turn, bits."""
        decision = self.matcher.model.decision
        unknown = entropy_bit(np.bincount(self.matcher.part_of, belief).astype(np.float64))
        return max(decision.worth_share * min(unknown, 1.0), decision.worth_bit)

    def _first_of_two(
        self,
        belief: Floats,
        readings: Sequence[Reading],
        unavailable: frozenset[str],
        found: Sequence[Valued],
        known: Floats | None,
    ) -> Check | None:
        """Two steps of look-ahead: the check after whose answer another one tells most, per second of both."""
        least = self._least(belief)
        now = self.matcher.joint_log_likelihood(readings)
        best, best_rate = None, 0.0
        for valued in sorted(found, key=lambda v: -v.check.information_bit)[:MOST_FIRST_STEPS]:
            chances = valued.chances()
            total, seconds = valued.check.information_bit, self._seconds(valued.check)
            for answer in np.argsort(-chances, kind="stable")[:MOST_ANSWERS]:
                reading = Reading("", (valued.options[int(answer)],), asked=valued.check.id)
                then = (*readings, reading)
                after = belief * np.exp(self.matcher.joint_log_likelihood(then) - now)
                if not after.sum() > 0:
                    continue
                second = max(
                    (v.check for v in self._foresight.valued(after / after.sum(), then, unavailable, known)),
                    key=self._rate,
                    default=None,
                )
                if second is not None:
                    total += float(chances[answer]) * second.information_bit
                    seconds += float(chances[answer]) * self._seconds(second)
            if total >= least and total / seconds > best_rate:
                best, best_rate = valued.check, total / seconds
        return best

    def _seconds(self, check: Check) -> float:
        return check.time_s + self.matcher.model.decision.turn_s

    def _rate(self, check: Check, times: int = 0) -> float:
        """Information per second; each of the ``times`` that it was asked already has cost patience."""
        return check.information_bit / (self._seconds(check) * self.matcher.model.decision.again**times)

    def _times(self, check: Check, readings: Sequence[Reading]) -> int:
        """How often it was asked, with whatever leaf; an open question about something already read: at least once."""
        asked = sum(reading.asked == check.id for reading in readings)
        if asked or check.yes is not None:
            return asked
        aspect = self.matcher.aspect(check.measurand)
        return int(any(reading.measurands & aspect.measurands for reading in readings))
