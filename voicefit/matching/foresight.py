"""What the answer to each possible check is worth: expected information about the part to order.

Duty: which checks are possible now, the answers foreseen to each, and their worth in bits. It must not choose one: that
is the advisor's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from voicefit.catalogue.ends import Shape
from voicefit.matching.aspect import TINY, Aspect, Evidence, Floats, Ints
from voicefit.matching.checks import CheckEntry, Checks
from voicefit.matching.diameter import SIDED
from voicefit.matching.information import information_bit, mixed_parts, row_entropy_bit
from voicefit.matching.matcher import OF_THE_THREAD, Matcher
from voicefit.matching.posterior import Posterior
from voicefit.matching.prompts import Prompts
from voicefit.quantities import Quantity
from voicefit.records import ABSENT, Check, Measurand, Option, Reading

FAR_FETCHED = 1.0  # nats by which what a value may mean as well is less likely from the words alone: no answer to that
MATTERS = 1e-5  # belief in a class below which the answers foreseen for it are not worked out


@dataclass(frozen=True, slots=True)
class _Foreseen:
    """Answers foreseen to one check: a table by ``classes`` with the entropy of its rows."""

    classes: Ints
    table: Floats
    entropy_bit: Floats


@dataclass(frozen=True, slots=True)
class Valued:
    """A check with its worth, and the answers that ``chances`` are of. ``share`` : how often it can be answered."""

    check: Check
    options: Sequence[Option]
    share: float
    _weight: Floats
    _table: Floats
    _classes: Ints
    _class_of: Ints

    def chances(self) -> Floats:
        """Probability of each answer, if there is one."""
        return np.asarray(self._weight @ self._table, dtype=np.float64)

    def relief(self, p: Floats, harm_s: Floats, enough_s: float) -> float:
        """By how many nats the answer is expected to bring the expected harm down, as far as it is above ``enough_s``.

        ``p`` : belief by end, ``harm_s`` : harm by end of what would be concluded. The harm is a martingale over the
        answers, and its logarithm concave (Jensen): to ask never does harm.
        """
        by_class, harm_by_class = (np.bincount(self._class_of, weight)[self._classes] for weight in (p, p * harm_s))
        chances = by_class @ self._table
        after = np.maximum((harm_by_class @ self._table) / np.maximum(chances, TINY), enough_s)
        before = max(float(harm_by_class.sum() / max(float(by_class.sum()), TINY)), enough_s)
        return self.share * float((chances / chances.sum()) @ (np.log(before) - np.log(after)))

    def likely(self, count: int) -> list[Option]:
        """``count`` answers that stand for all: those at the middle of as many equal shares of the chances."""
        below = np.cumsum(self.chances())
        middles = (np.arange(count) + 0.5) / count * below[-1]
        return [self.options[int(index)] for index in np.searchsorted(below, middles)]


class Foresight:
    """Values checks over a matcher's ends."""

    def __init__(self, matcher: Matcher, checks: Checks) -> None:
        self.matcher = matcher
        self.checks = checks
        self._prompts = Prompts(matcher)
        self._mixed = {name: mixed_parts(one.class_of, matcher.part_of) for name, one in matcher.aspects.items()}
        self._unread: dict[tuple[str, Quantity | str | None], _Foreseen] = {}  # where nothing of the aspect was read
        self._said: dict[tuple[str, Quantity | str | None], Floats] = {}  # chance of "yes", by class and state

    def valued(
        self,
        belief: Floats,
        posterior: Posterior,
        unavailable: frozenset[str],
        known: Floats | None = None,
        against: tuple[int, ...] = (),
        *,
        by_value: bool = False,
        leaves: bool = True,
        at_odds: Iterable[int] = (),
    ) -> Iterator[Valued]:
        """Every possible check with its expected information.

        ``known`` : belief by which a prompt speaks of thread and side. ``against`` : readings that contradict each
        other: what they answered may be asked once more. ``by_value`` : only open checks. ``leaves`` : a leaf that fits
        answers which one fits. ``at_odds`` : readings of which each question may be asked once more.
        """
        readings, taken = posterior.readings, _as_taken(posterior)
        disputed = _measurands(readings, against) - self._read_anew(readings) | _measurands(readings, at_odds)
        absent = self._absent(readings)
        view = self._prompts.view(belief if known is None else known, taken)
        evidence = self._evidence(readings)
        states: dict[str, tuple[Ints, Floats]] = {}
        for entry in self.checks.values():
            if by_value and entry.yes is not None:
                continue
            if entry.barred(unavailable) or not self._prompts.make_sense(entry, view):
                continue
            aspect = self.matcher.aspect(entry.measurand)
            if entry.id in absent or aspect.name in absent:
                continue  # it was said that there is none
            answerable = belief * aspect.answerable()[aspect.class_of]
            share = float(answerable.sum())
            if share < 1e-6:
                continue
            answered = answerable / share
            by_class = np.bincount(aspect.class_of, answered, minlength=aspect.n_classes).astype(np.float64)
            if float(by_class.max()) > 1 - MATTERS:
                continue  # all alike: no answer tells anything
            for check in self._instances(entry, aspect, by_class):
                times = self.asked(check, taken, leaves=leaves)
                if entry.finer_mm is not None:  # what was read more coarsely is no answer to it
                    times = sum(reading.asked == check.id for reading in readings)
                if times > (check.measurand in disputed):
                    continue
                seen = self._foresee(entry, check, aspect, evidence.get(aspect.name, ()), by_class, states)
                mixed = self._mixed[aspect.name]
                bits = information_bit(
                    answered, aspect.class_of, by_class, seen.classes, seen.table, seen.entropy_bit, mixed
                )
                options = aspect.outcomes if check.yes is None or check.no is None else (check.yes, check.no)
                yield Valued(
                    replace(check, information_bit=share * bits),
                    options,
                    share,
                    by_class[seen.classes],
                    seen.table,
                    seen.classes,
                    aspect.class_of,
                )

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
        fitting = by_class @ aspect.fitting()
        for leaf in np.flatnonzero(fitting >= self.matcher.model.decision.leaf_posterior):
            yield entry.check(aspect.outcomes[int(leaf)].value)

    def _foresee(
        self,
        entry: CheckEntry,
        check: Check,
        aspect: Aspect,
        evidence: Sequence[Evidence],
        by_class: Floats,
        states: dict[str, tuple[Ints, Floats]],
    ) -> _Foreseen:
        """Answers foreseen; what was read of the aspect counts. ``states`` : worked out so far, by aspect."""
        key = (check.id, check.yes.value if check.slots and check.yes is not None else None)
        if not evidence and key in self._unread:
            return self._unread[key]
        if aspect.name not in states:
            some = np.flatnonzero(by_class > MATTERS) if evidence else np.arange(aspect.n_classes)
            states[aspect.name] = some, aspect.states(evidence, some)
        classes, known = states[aspect.name]
        if check.yes is not None:
            slip = self.matcher.model.answer.turned_round
            if key not in self._said:
                said = np.broadcast_to(aspect.probability(check.yes, None, asked=True), aspect.log_states.shape)
                self._said[key] = np.asarray(said, dtype=np.float64)
            yes = slip + (1 - 2 * slip) * np.einsum("ks,ks->k", known, self._said[key][classes])
            table = np.stack([yes, 1 - yes], axis=1)
        else:
            table = aspect.foresee_open(known, check.measurand, classes, entry.finer_mm)
        seen = _Foreseen(classes, table, row_entropy_bit(table))
        if not evidence:
            self._unread[key] = seen
        return seen

    def _read_anew(self, readings: Sequence[Reading]) -> set[Measurand]:
        """Of what a question that was answered before was answered once more: it is asked of each thing only once.

        "No O-ring, no washer" is one answer to what seals.
        """
        answers = Counter(
            (entry.id, reading.options[0].value if entry.slot else None)
            for reading in readings
            if (entry := self.checks.get(reading.asked or "")) is not None
            and (entry.yes is not None or not reading.options[0].negated)
        )
        return {self.checks[asked].measurand for (asked, _), times in answers.items() if times > 1}

    def _absent(self, readings: Sequence[Reading]) -> set[str]:
        """Ids of checks and names of aspects of which it was said that the end has nothing of the kind."""
        said = [(r.asked, o.measurand) for r in readings for o in r.options if o.value == ABSENT and not o.negated]
        aspects = {self.matcher.aspect(measurand).name for _, measurand in said}
        options = [(o.measurand, o.value, o.negated) for r in readings for o in r.options]
        if aspects & set(OF_THE_THREAD) or (Measurand.SHAPE, Shape.THREADED, True) in options:
            aspects |= set(OF_THE_THREAD)  # where no thread is, nothing of it is asked
        return {asked for asked, _ in said if asked} | (aspects - {"seal"})  # each place of a ring is a question

    def read_before(self, check: Check, readings: Sequence[Reading], *, leaves: bool = True) -> bool:
        """Whether it was answered before, and asks for no finer reading of the same."""
        return self.checks[check.id].finer_mm is None and self.asked(check, readings, leaves=leaves) > 0

    def asked(self, check: Check, readings: Sequence[Reading], *, leaves: bool = True) -> int:
        """How often this very check was answered: with the same leaf if it has one, or by a value said unasked."""
        if (value := check.yes.value if check.yes is not None else None) is None:
            return sum(self._is_answer(reading, check, leaves) for reading in readings)
        return sum(
            reading.asked == check.id and (not check.slots or any(o.value == value for o in reading.options))
            for reading in readings
        )

    def _is_answer(self, reading: Reading, check: Check, leaves: bool) -> bool:
        """Whether a reading answers an open check: it says what it is, however asked."""
        if not leaves and (asked := self.checks.get(reading.asked or "")) is not None and asked.slot is not None:
            return False
        least = max(option.log_prior for option in reading.options) - FAR_FETCHED
        return reading.asked == check.id or any(
            same_place(o.measurand, check.measurand) and not o.negated and o.log_prior >= least for o in reading.options
        )


def _measurands(readings: Sequence[Reading], some: Iterable[int]) -> frozenset[Measurand]:
    return frozenset[Measurand]().union(*(readings[index].measurands for index in some))


def _as_taken(posterior: Posterior) -> list[Reading]:
    """The readings; one that may be of several things, as of those of which it is likely taken to be."""
    found = []
    for index, reading in enumerate(posterior.readings):
        if any(not same_place(option.measurand, reading.options[0].measurand) for option in reading.options):
            weights = posterior.option_weights(index)
            likely = weights >= float(weights.max()) * np.exp(-FAR_FETCHED)
            kept = (option for option, is_so in zip(reading.options, likely, strict=True) if is_so)
            reading = replace(reading, options=tuple(replace(option, log_prior=0.0) for option in kept))
        found.append(reading)
    return found


def same_place(first: Measurand, second: Measurand) -> bool:
    """Whether both are one look at one thing: a diameter is measured outside or inside."""
    return first is second or {first, second} <= SIDED.keys()
