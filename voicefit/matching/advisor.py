"""The advisor: the next check, or the conclusion.

Far from a conclusion the best check is the one with the greatest expected information about the part to order, per
second of the technician's time (``information.py``). Once a part leads, what is still to be told is weighed by the harm
of mistaking it: a rival that would let go counts as many times over as it is worse than one that plainly does not fit.
It is concluded by ``decision.py``: when that check costs more than the harm that it is expected to take away.

Duty: that choice. It must not word anything (``grammar/checks.toml`` has the words).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from voicefit.matching.anew import anew, of_one_thing, pair_of
from voicefit.matching.aspect import Floats, log_sum
from voicefit.matching.checks import Checks
from voicefit.matching.decision import Stake, Stakes, certainty_of
from voicefit.matching.foresight import Foresight, Valued
from voicefit.matching.matcher import Matcher
from voicefit.matching.posterior import Posterior, entropy_bit
from voicefit.matching.reach import conflict
from voicefit.records import Advice, Certainty, Check, Measurand, Reading

# Values that the words keep apart when two of them are said in one breath.
_APART = {Measurand.PITCH: "pitch", Measurand.SEAT_ANGLE: "angle"}
_WORDS = frozenset({Measurand.GENDER, Measurand.TAPER, Measurand.SEAT_FORM, Measurand.SEAL})


class Advisor:
    """Chooses the next check over a matcher's ends: ``Advisor(matcher, load_checks(texts)).advise(readings).check``."""

    def __init__(self, matcher: Matcher, checks: Checks) -> None:
        self.matcher = matcher
        self.checks = checks
        self.stakes = Stakes(matcher)
        self._foresight = Foresight(matcher, checks)

    def advise(self, readings: Sequence[Reading], unavailable: frozenset[str] = frozenset()) -> Advice:
        """What to do next after ``readings``; checks whose id is in ``unavailable`` are not asked."""
        return self.advise_on(Posterior(self.matcher, readings), unavailable)

    def advise_on(
        self,
        posterior: Posterior,
        unavailable: frozenset[str] = frozenset(),
        put_off: frozenset[str] = frozenset(),
    ) -> Advice:
        """As :meth:`advise`, for a posterior that is already there.

        ``put_off`` : ids of checks that are not asked now. They could be made: nothing is concluded for want of them,
        and another way to look at the same may be asked.
        """
        matcher = self.matcher
        if not matcher.ends:
            return Advice(nothing_fits=True)
        against = conflict(matcher, posterior.readings)
        stake = self.stakes.of(posterior, hydraulic=self._taken_for_hydraulic(posterior, unavailable))
        first = self._next(stake, posterior, unavailable, against)
        possible = first
        if possible is not None and possible.check.id in put_off:
            first = self._next(stake, posterior, unavailable, against, put_off)
        if first is not None and not against and self._in_vain(stake, posterior, first, unavailable):
            first = None
        best = None if first is None else first.check
        if self._concludes(stake, posterior, possible):
            return Advice(certainty=Certainty.IDENTIFIED, variants=self._variants(posterior), contradiction=against)
        certainty = certainty_of(posterior, matcher.model.decision)
        once_more = None
        if against and (certainty is not Certainty.LIKELY or of_one_thing(posterior, against)):
            once_more = anew(self._foresight, posterior, unavailable | put_off, against)
        next_one = once_more or best
        if next_one is not None and self._foresight.read_before(next_one, posterior.readings, leaves=False):
            against = pair_of(self.stakes.at_odds(stake, posterior), posterior.readings, next_one, against)
        nothing = posterior.none >= matcher.model.decision.doubt_posterior
        grave = self.stakes.harms.grave(stake.leader)
        look_alikes = tuple(posterior.leader(part) for part in stake.near)
        standoff = None
        if best is None and not nothing:
            second = look_alikes[:1] or tuple(row for row, _ in posterior.best_parts(2)[1:])
            standoff = (posterior.leader(stake.leader), second[0]) if second else None
        checks = () if first is None else (first.check, *self._beside(first, posterior, unavailable, put_off))
        return Advice(
            checks=checks if once_more is None else (once_more,),
            certainty=certainty,
            again=bool(against) and next_one is not None and self._foresight.read_before(next_one, posterior.readings),
            nothing_fits=nothing,
            variants=() if certainty is Certainty.OPEN else self._variants(posterior),
            look_alikes=look_alikes,
            grave=tuple(row for row, part in zip(look_alikes, stake.near, strict=True) if grave[part]),
            standoff=standoff,
            contradiction=against,
        )

    def worth(self, posterior: Posterior, unavailable: frozenset[str] = frozenset()) -> list[Check]:
        """All checks that are possible now with their information, the one worth most per second first."""
        found = [v.check for v in self._foresight.valued(posterior.p, posterior, unavailable)]
        return sorted(found, key=lambda check: -check.information_bit / self._cost_s(check, ()))

    def separating(
        self, posterior: Posterior, row: int, other: int, unavailable: frozenset[str] = frozenset(), leaves: bool = True
    ) -> Check | None:
        """The check that tells the part of ``row`` from that of ``other`` best per second; ``None`` if none does.

        ``leaves`` : a leaf that fits answers which one fits.
        """
        pair = self.matcher.part_of[[row, other]]
        logs = np.full(len(posterior.log_p), -np.inf)
        for part in pair:  # even odds between the two parts, the ends within each as they stand
            inside = self.matcher.part_of == part
            logs[inside] = posterior.log_p[inside] - log_sum(posterior.log_p[inside])
        belief = np.exp(logs)
        belief /= belief.sum()
        found = self._foresight.valued(belief, posterior, unavailable, posterior.p, leaves=leaves)
        best = self._best(self._telling(found, belief), posterior.readings)
        return None if best is None else best.check

    # ---- inside -----------------------------------------------------------------------------------------

    def _at_stake(self, stake: Stake) -> Floats:
        """Belief by which a check is chosen: once a part leads, each rival counts by the harm of mistaking it."""
        decision, harm = self.matcher.model.decision, self.matcher.model.harm.harm
        if stake.part_p[stake.leader] < decision.leads_posterior:
            return stake.p
        weight = self.stakes.harms.of(stake.leader) / harm.second_trip_s
        weight[stake.leader] = 1.0
        belief = stake.p * weight[self.matcher.part_of]
        return np.asarray(belief / belief.sum(), dtype=np.float64)

    def _concludes(self, stake: Stake, posterior: Posterior, best: Valued | None) -> bool:
        """Whether it costs less to conclude than to leave it open, and the best further check more than it saves."""
        if stake.leader != int(np.argmax(posterior.part_p[:-1])):
            return False
        if stake.harm_s >= self.matcher.model.harm.harm.left_open_s:
            return False
        return best is None or self._saved_s(stake, best) < self._cost_s(best.check, posterior.readings)

    def _in_vain(self, stake: Stake, posterior: Posterior, first: Valued, unavailable: frozenset[str]) -> bool:
        """Whether nothing that is left to ask can end in a conclusion: it is hardly any other than the leading part and
        the rival whose mistaking costs most, and no check tells these two apart. Were it another, the two that are
        named would cost a second trip."""
        rival, other = self.stakes.rival(stake)
        if self._foresight.read_before(first.check, posterior.readings, leaves=False):
            return False
        if other * self.matcher.model.harm.harm.second_trip_s >= self._cost_s(first.check, posterior.readings):
            return False
        rows = (posterior.leader(stake.leader), posterior.leader(rival))
        return self.separating(posterior, *rows, unavailable, False) is None

    def _saved_s(self, stake: Stake, valued: Valued) -> float:
        """Seconds of expected harm that a check is expected to take away, were the leading part named after it."""
        harm_s = self.stakes.feared_s(stake.leader)[self.matcher.part_of]
        relief = valued.relief(stake.p, harm_s, self.matcher.model.decision.no_harm_s)
        return stake.harm_s * -float(np.expm1(-relief))

    def _cost_s(self, check: Check, readings: Sequence[Reading]) -> float:
        """Seconds that a check costs, the turn and the patience included."""
        decision = self.matcher.model.decision
        again = decision.again if self._is_about_what_was_said(check, readings) else 1.0
        return (check.time_s + decision.turn_s) * again

    def _best(self, worths: list[tuple[Valued, float]], readings: Sequence[Reading]) -> Valued | None:
        """The check worth most per second."""
        best = max(worths, key=lambda each: each[1] / self._cost_s(each[0].check, readings), default=None)
        return None if best is None else best[0]

    def _telling(self, found: Iterable[Valued], belief: Floats) -> list[tuple[Valued, float]]:
        """Those that tell enough to be worth a turn, with what they tell, in bits."""
        decision = self.matcher.model.decision
        unknown = entropy_bit(np.bincount(self.matcher.part_of, belief).astype(np.float64))
        least = max(decision.worth_share * min(unknown, 1.0), decision.worth_bit)
        return [(v, v.check.information_bit) for v in found if v.check.information_bit >= least]

    def _worths(
        self,
        stake: Stake,
        posterior: Posterior,
        unavailable: frozenset[str],
        against: tuple[int, ...] = (),
        put_off: frozenset[str] = frozenset(),
        *,
        by_value: bool = False,
        leaves: bool = True,
        at_odds: Iterable[int] = (),
    ) -> list[tuple[Valued, float]]:
        """Each possible check that is worth a turn, with its worth: bits while all is open, then nats of harm."""
        decision = self.matcher.model.decision
        belief = self._at_stake(stake)
        found = [
            each
            for each in self._foresight.valued(
                belief, posterior, unavailable, posterior.p, against, by_value=by_value, leaves=leaves, at_odds=at_odds
            )
            if each.check.id not in put_off
        ]
        if stake.part_p[stake.leader] >= decision.settling_posterior:
            harm_s = self.stakes.harms.of(stake.leader)[self.matcher.part_of]
            reliefs = [(v, v.relief(stake.p, harm_s, decision.turn_s)) for v in found]
            worths = [(v, relief) for v, relief in reliefs if relief >= decision.worth_relief]
            if worths or stake.part_p[stake.leader] >= decision.likely_posterior:
                return worths
        return self._telling(found, belief)

    def _taken_for_hydraulic(self, posterior: Posterior, unavailable: frozenset[str]) -> bool:
        """Whether nobody can tell what the line carries: then it is taken for what this tool is for."""
        lines = [each for each in self.checks.values() if each.measurand is Measurand.LINE and not each.after]
        said = any(Measurand.LINE in reading.measurands for reading in posterior.readings)
        return not said and all(each.barred(unavailable) for each in lines)

    def _next(
        self,
        stake: Stake,
        posterior: Posterior,
        unavailable: frozenset[str],
        against: tuple[int, ...],
        put_off: frozenset[str] = frozenset(),
    ) -> Valued | None:
        """The check worth most per second; ``None`` where none is worth a turn. Where nothing else saves what it costs,
        it may ask which leaf fits after one that did; and before it is left open, once more what as between the leading
        part and its rival does not go together."""
        readings = posterior.readings
        worths = self._worths(stake, posterior, unavailable, against, put_off)
        if stake.part_p[stake.leader] >= self.matcher.model.decision.settling_posterior:
            paying = self._paying(stake, worths, readings)
            if not paying:
                apart = self.stakes.at_odds(stake, posterior)
                others = self._worths(stake, posterior, unavailable, against, put_off, leaves=False, at_odds=apart)
                paying = self._paying(stake, others, readings)
                worths = worths or others
            worths = paying or worths
        return self._best(worths, readings)

    def _paying(
        self, stake: Stake, worths: list[tuple[Valued, float]], readings: Sequence[Reading]
    ) -> list[tuple[Valued, float]]:
        """Those that save more than they cost."""
        return [each for each in worths if self._saved_s(stake, each[0]) >= self._cost_s(each[0].check, readings)]

    def _beside(
        self, first: Valued, posterior: Posterior, unavailable: frozenset[str], put_off: frozenset[str]
    ) -> tuple[Check, ...]:
        """A check to be asked in the same breath: the one expected to save most seconds, over what the first may say.

        It costs its own seconds, and not a turn's. Where it is concluded after the first, those are lost; else it tells
        what would take so long by the best check then.
        """
        decision = self.matcher.model.decision
        if not _goes_beside(first.check):
            return ()
        saved: dict[str, float] = {}
        for option in first.likely(decision.answers_followed):
            reading = Reading("", (option,), asked=first.check.id)
            after = Posterior(self.matcher, (*posterior.readings, reading), posterior.untold)
            stake = self.stakes.of(after)
            worths = self._worths(stake, after, unavailable, put_off=put_off, by_value=True)
            rates = [worth / self._cost_s(v.check, after.readings) for v, worth in worths]
            if not rates or self._concludes(stake, after, worths[int(np.argmax(rates))][0]):
                continue
            for valued, worth in worths:
                if _goes_beside(valued.check, first.check):
                    saved[valued.check.id] = saved.get(valued.check.id, 0.0) + worth / max(rates)
        mean = {name: sum_s / decision.answers_followed - self.checks[name].time_s for name, sum_s in saved.items()}
        best = max(mean, key=mean.__getitem__, default=None)
        return (self.checks[best].check(),) if best is not None and mean[best] >= decision.beside_s else ()

    def _is_about_what_was_said(self, check: Check, readings: Sequence[Reading]) -> bool:
        """Whether something of the check's measurand was read, however it was asked."""
        aspect = self.matcher.aspect(check.measurand)
        return any(reading.measurands & aspect.measurands for reading in readings)

    def _variants(self, posterior: Posterior) -> tuple[int, ...]:
        """Of the leading part, the likeliest end of each way to seal that the readings leave open."""
        ends, part_of = self.matcher.ends, self.matcher.part_of
        [(leader, share)] = posterior.best_parts(1)
        rows = [int(row) for row in np.flatnonzero(part_of[:-1] == part_of[leader])]
        rows.sort(key=lambda row: -float(posterior.p[row]))
        by_seal: dict[object, int] = {}
        for row in rows:
            seal = (ends[row].seal, ends[row].o_ring, ends[row].seat_form)
            if posterior.p[row] >= self.matcher.model.decision.variant_share * share:
                by_seal.setdefault(seal, row)
            if seal in by_seal and ends[row].id == ends[row].part:
                by_seal[seal] = row  # the name under which it is ordered
        return tuple(by_seal.values())


def _goes_beside(check: Check, other: Check | None = None) -> bool:
    """Whether it is answered by a value, of another kind than the other's: no two lengths, and no yes for two."""
    if check.yes is not None:
        return False
    return other is None or _kind(check) != _kind(other)


def _kind(check: Check) -> str:
    """What tells its answer from others: a pitch, an angle, a word of its own, or else a length."""
    return check.measurand if check.measurand in _WORDS else _APART.get(check.measurand, "length")
