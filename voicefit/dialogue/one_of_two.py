"""Two values of one thing in one sentence that cannot both be so: "chief says dash twelve, it's a dash ten".

How it works. Whoever says two values of one thing means one of them; the other is of another piece, of the label, of
the first try. Two values exclude each other where no end of the catalogue makes both likely:

    max over ends of min(log L_a(end) - max log L_a, log L_b(end) - max log L_b) < APART

with the likelihoods of the measurement model; what is counted, or names the size of a hose, where they differ. Then it
is asked which.

Duty: find the two. It must not ask.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np

from voicefit.dialogue.record import HOSE
from voicefit.dialogue.state import Choosing
from voicefit.dialogue.superseding import worth
from voicefit.dialogue.turn import Turn
from voicefit.records import Meaning, Measurand, Reading

APART = -1.7  # nats; a sixth of the likelihood of what was said
_ONE_EACH = frozenset({Measurand.HOSE_BORE, Measurand.REINFORCEMENT, Measurand.DASH, Measurand.PITCH})


def one_of_two(turn: Turn, meaning: Meaning) -> Choosing | None:
    """The question which of the two it is; ``None`` where no two exclude each other."""
    readings = [(at, item) for at, item in enumerate(meaning.items) if isinstance(item, Reading)]
    for (first, one), (second, other) in combinations(readings, 2):
        if one.measurands == other.measurands and len(one.measurands) == 1 and _exclude(turn, one, other):
            rest = [item for at, item in enumerate(meaning.items) if at not in (first, second)]
            ways = (replace(meaning, items=(*rest[:first], way, *rest[first:])) for way in (one, other))
            return Choosing((next(ways), next(ways)), first)
    return None


def _exclude(turn: Turn, one: Reading, other: Reading) -> bool:
    values = [{worth(option) for option in each.options} for each in (one, other)]
    if any(option.negated for option in (*one.options, *other.options)) or not values[0].isdisjoint(values[1]):
        return False
    if one.measurands <= _ONE_EACH:
        return True
    if turn.piece.kind == HOSE:
        return False
    matcher = turn.knowledge.matcher
    likely = [matcher.log_likelihood(_sure(each))[:-1] for each in (one, other)]
    return float(np.minimum(*(each - each.max() for each in likely)).max()) < APART


def _sure(reading: Reading) -> Reading:
    """Without the doubt, which makes neither likelier beside the other."""
    return replace(reading, options=tuple(replace(option, certainty=1.0) for option in reading.options))
