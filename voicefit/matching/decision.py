"""When to conclude: a decision under uncertainty (Berger 1985, Statistical Decision Theory, sections 1.3 and 7.2).

Three actions are open after each reading: to conclude that the leading part ``a`` is it, to make one more check, or,
where none is left, to leave it open. Concluding costs the expected harm ``H = sum over b of p(b) harm(a, b) / d``, in
seconds (``harm.py``), where ``d`` is by how much the model doubts more than it errs (``decision.overdoubt``); a check
costs the seconds that it takes, and is expected to bring ``log H`` down by ``r``. It is concluded when leaving it open
costs more than ``H``, and the best check more than it saves, ``H (1 - exp(-r))``: the value of its information (Howard
1966, Information value theory, IEEE Transactions on Systems Science and Cybernetics 2). A check that decides saves
nearly all of ``H``; one that tells next to nothing is not asked for its own sake, though something be left in doubt.

``p`` holds all that may have gone wrong (slips, wear, mishearing), so a conclusion never rests on one reading that the
model itself thinks doubtful. How often ends are met speaks in it only within bounds: the prior of two parts differs by
``decision.prior_odds`` at most, so that no shop's prior stands in for a check (a prior from a class of priors:
Berger, section 4.7).

Duty: that belief and the expected harm. It must not choose a check.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from voicefit.matching.aspect import Floats, log_sum
from voicefit.matching.harm import Harms
from voicefit.matching.matcher import Matcher
from voicefit.matching.model import Decision
from voicefit.matching.posterior import Posterior
from voicefit.matching.reach import at_odds
from voicefit.records import Certainty


@dataclass(frozen=True, eq=False)
class Stake:
    """What hangs on concluding now.

    ``p`` : belief by end, "none of these" last, (n_ends + 1,); ``part_p`` likewise by part. ``leader`` : the part that
    would be named. ``harm_s`` : what naming it is expected to cost. ``near`` : the other parts that are not excluded,
    the likeliest first.
    """

    p: Floats
    part_p: Floats
    leader: int
    harm_s: float
    near: tuple[int, ...]


class Stakes:
    """Weighs conclusions over a matcher's ends."""

    def __init__(self, matcher: Matcher) -> None:
        self.matcher = matcher
        self.harms = Harms(matcher.ends, matcher.part_of, matcher.model.harm)
        self._log_prior = self._bounded(matcher.log_prior)
        self._of_other_trades = np.array([*(end.trade is not None for end in matcher.ends), False])

    def of(self, posterior: Posterior, *, hydraulic: bool = False) -> Stake:
        """What hangs on concluding after the readings of ``posterior``; ``hydraulic`` : on that condition."""
        logs = self._log_prior + posterior.log_likelihood
        if hydraulic:
            logs = np.where(self._of_other_trades, -np.inf, logs)
        p = np.exp(logs - log_sum(logs))
        part_p = np.bincount(self.matcher.part_of, p).astype(np.float64)
        leader = int(np.argmax(part_p[:-1]))
        harm_s = float(part_p @ self.feared_s(leader))
        least = part_p[leader] / self.matcher.model.decision.excluded_odds
        near = [int(part) for part in np.flatnonzero(part_p[:-1] >= least) if part != leader]
        near.sort(key=lambda part: -float(part_p[part]))
        return Stake(p, part_p, leader, harm_s, tuple(near))

    def rival(self, stake: Stake) -> tuple[int, float]:
        """The part whose mistaking is feared most, and the probability that it is neither that nor the leading part.

        All of it, where to be mistaken for no one part costs as much as to leave it open.
        """
        harm_s = (stake.part_p * self.feared_s(stake.leader))[:-1]
        rival = int(np.argmax(harm_s))
        if harm_s[rival] < self.matcher.model.harm.harm.left_open_s:
            return rival, 1.0
        return rival, 1.0 - float(stake.part_p[stake.leader] + stake.part_p[rival])

    def at_odds(self, stake: Stake, posterior: Posterior) -> dict[int, float]:
        """Where it would be left open, the readings that do not go together as between the leading part and its rival:
        by how many nats each speaks for the leading part."""
        if stake.harm_s < self.matcher.model.harm.harm.left_open_s:
            return {}
        rows = (posterior.leader(part) for part in (stake.leader, self.rival(stake)[0]))
        return at_odds(self.matcher, posterior.readings, *rows)

    def feared_s(self, leader: int) -> Floats:
        """Harm of naming ``leader`` by the part that it is, less so much as the model doubts more than it errs."""
        return self.harms.of(leader) / self.matcher.model.decision.overdoubt

    def _bounded(self, log_prior: Floats) -> Floats:
        """The prior, raised where a part is met so seldom that it would be excluded by that alone."""
        if len(log_prior) == 1:
            return log_prior
        part_of = self.matcher.part_of
        by_part = np.log(np.bincount(part_of, np.exp(log_prior)))
        least = float(by_part[:-1].max()) - np.log(self.matcher.model.decision.prior_odds)
        raised = log_prior + np.maximum(least - by_part, 0.0)[part_of]
        raised[-1] = log_prior[-1]
        return np.asarray(raised - log_sum(raised), dtype=np.float64)


def certainty_of(posterior: Posterior, decision: Decision) -> Certainty:
    """How sure the leading part is, short of a conclusion."""
    [(_, first), *rest] = posterior.best_parts(2)
    second = rest[0][1] if rest else 0.0
    if first >= decision.likely_posterior:
        return Certainty.LIKELY
    leads = first >= decision.leads_posterior and first >= decision.leads_by * second
    return Certainty.LEADING if leads else Certainty.OPEN
