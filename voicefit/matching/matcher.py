"""The matcher: readings to likelihoods over all ends and "none of these".

Duty: put the aspects together, in log space, over all ends at once. All that was left unsaid or went wrong is summed
over: unit, side, half or included angle, nominal for measured, the neighbouring leaf, the recogniser's alternatives.
It must not choose between readings, keep state between calls, or word anything. The order of readings does not matter,
and a reading is undone by leaving it out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import Protocol

import numpy as np

from voicefit.catalogue.ends import CandidateEnd
from voicefit.errors import BadInput
from voicefit.matching.aspect import Aspect, Evidence, Floats, classify, log_sum
from voicefit.matching.checks import CheckEntry
from voicefit.matching.claims import SilentAspect, claim_aspects
from voicefit.matching.diameter import DiameterAspect
from voicefit.matching.features import (
    GenderAspect,
    SeatFormAspect,
    body_aspect,
    crest_aspect,
    edge_aspect,
    line_aspect,
    nose_aspect,
    seal_aspect,
    shape_aspect,
    taper_aspect,
)
from voicefit.matching.gauges import FlankAspect, PitchAspect, SeatAngleAspect
from voicefit.matching.hose import HoseAspect
from voicefit.matching.lengths import length_aspects
from voicefit.matching.model import MeasurementModel
from voicefit.matching.prior import Prior
from voicefit.matching.uncut import PAIR, Uncut
from voicefit.records import ABSENT, Measurand, Option, Reading, Seal, SeatForm

# Aspects of which there is nothing where there is no thread, no seat, no such length.
OF_THE_THREAD = ("diameter", "pitch", "flank", "crest", "taper")
_ABSENT_TOGETHER = {
    "thread": OF_THE_THREAD,
    "seat": ("seat_angle", "nose", "shoulder_edge"),
    "length": ("flange_head", "flange_thickness", "bolt_long", "bolt_short", "bolt_circle", "profile"),
    "tube": ("tube",),
    "mouth": ("mouth",),
    "hex": ("hex",),
}
# What "none" is called where it is a category of its own, with weights.
_NONE_OF = {Measurand.SEAT_FORM: ((SeatForm.NONE, 1.0),), Measurand.SEAL: ((Seal.METAL, 0.6), (Seal.THREAD, 0.4))}
MOST_WAYS = 64  # ways to share ambiguous readings out among aspects; beyond it they are taken singly


class Ends(Protocol):
    """Anything with a sequence of ends; the catalogue is one."""

    @property
    def ends(self) -> Sequence[CandidateEnd]: ...


class Matcher:
    """Scores readings against every end of a catalogue.

    Parameters
    ----------
    catalogue : anything with ``ends``; its ``origins`` (log odds by country and series id), if any, are weak evidence
    prior, model : from :func:`load_prior` and :func:`load_model`
    checks : from :func:`load_checks`; tells which readings answer a yes-or-no question, and so may be turned round
    """

    def __init__(
        self, catalogue: Ends, prior: Prior, model: MeasurementModel, checks: Mapping[str, CheckEntry] | None = None
    ) -> None:
        self._yes_no = frozenset(entry.id for entry in (checks or {}).values() if entry.yes is not None)
        self.ends = tuple(catalogue.ends)
        self.model = model
        self.log_prior = prior.log_prior(self.ends)
        self.part_of, self.parts = classify([end.part for end in self.ends])
        ends = self.ends
        aspects: list[Aspect] = [
            GenderAspect(ends, model),
            shape_aspect(ends, model),
            DiameterAspect(ends, model),
            PitchAspect(ends, model),
            FlankAspect(ends, model),
            crest_aspect(ends, model),
            taper_aspect(ends, model),
            SeatAngleAspect(ends, model),
            SeatFormAspect(ends, model),
            nose_aspect(ends, model),
            edge_aspect(ends, model),
            body_aspect(ends, model),
            line_aspect(ends, model),
            seal_aspect(ends, model),
            *length_aspects(ends, model),
            *claim_aspects(ends, model, getattr(catalogue, "origins", {})),
            HoseAspect(ends, model),
        ]
        taken = frozenset[Measurand]().union(*(aspect.measurands for aspect in aspects))
        self._silent = SilentAspect(len(ends), frozenset(Measurand) - taken)
        self.aspects = {aspect.name: aspect for aspect in [*aspects, self._silent]}
        self._uncut = Uncut(ends, model, self.aspects["seal"], self.aspects["mouth"], list(Seal).index(Seal.METAL))
        for aspect in aspects:
            aspect.untold = (model.answer.untold, model.answer.untold_again)
        for name, said_absent in model.absent.said.items():
            for each in _ABSENT_TOGETHER[name]:
                self.aspects[each].said_absent = said_absent
        self._aspect_for = {m: aspect for aspect in self.aspects.values() for m in aspect.measurands}
        most = max(aspect.n_classes for aspect in self.aspects.values())
        self._cached = lru_cache(maxsize=max(8, min(512, 2_000_000 // most)))(self._class_likelihood)

    # ---- public -----------------------------------------------------------------------------------------

    def aspect(self, measurand: Measurand) -> Aspect:
        """The aspect that a measurand tells of."""
        return self._aspect_for[measurand]

    def tells(self, measurand: Measurand) -> bool:
        """Whether a measurand says anything about an end (a hose's length does not)."""
        return self._aspect_for[measurand] is not self._silent

    def log_likelihood(self, reading: Reading) -> Floats:
        """Log probability of one reading alone for each end, and for "none of these" last: (n_ends + 1,)."""
        return self.joint_log_likelihood([reading])

    def joint_log_likelihood(self, readings: Sequence[Reading]) -> Floats:
        """Log probability of all readings together: (n_ends + 1,). Zero where they say nothing of an end."""
        sure: dict[str, list[Evidence]] = {}
        open_: list[list[tuple[str, Evidence]]] = []
        for reading in readings:
            shares = self.shares(reading)
            if len(shares) > 1:
                open_.append(shares)
            elif shares[0][0] != self._silent.name:
                sure.setdefault(shares[0][0], []).append(shares[0][1])
        touched = {name for shares in open_ for name, _ in shares}
        if not touched.isdisjoint(PAIR):
            touched |= sure.keys() & PAIR
        total = self._together({name: some for name, some in sure.items() if name not in touched})
        if not open_:
            return total
        if np.prod([len(shares) for shares in open_], dtype=float) > MOST_WAYS:
            singly = [log_sum(np.stack([self._by_end(n, [e]) for n, e in shares], axis=1)) for shares in open_]
            return total + sum(singly) + sum(self._by_end(n, e) for n, e in sure.items() if n in touched)
        ways = []
        for way in product(*open_):
            here = {name: list(sure.get(name, ())) for name in touched}
            for name, one in way:
                here[name].append(one)
            ways.append(self._together({name: some for name, some in here.items() if some}))
        return total + log_sum(np.stack(ways, axis=1))

    def weigh(self, readings: Sequence[Reading], alternatives: Sequence[Sequence[Reading]]) -> Floats:
        """How well each alternative for the next words fits what is known: (n_alternatives,), natural logs.

        It is the evidence for the alternative's readings given ``readings``, over the evidence that the same words
        would have if they were about no end in particular, so that longer alternatives are not at a loss. Add to it
        the log of the recogniser's share.
        """
        before = self.log_evidence(readings)
        return np.array(
            [
                self.log_evidence([*readings, *each]) - before - float(self.joint_log_likelihood(each)[-1])
                for each in alternatives
            ]
        )

    def log_evidence(self, readings: Sequence[Reading]) -> float:
        """Log probability of all readings together, over all ends."""
        return float(log_sum(self.log_prior + self.joint_log_likelihood(readings)))

    # ---- inside -----------------------------------------------------------------------------------------

    def shares(self, reading: Reading) -> list[tuple[str, Evidence]]:
        """The reading's options by aspect, weights summing to one over all of them."""
        if not reading.options:
            raise BadInput(f"the reading {reading.heard!r} has no option")
        logs = np.array([option.log_prior for option in reading.options], dtype=np.float64)
        if not np.isfinite(logs).all():
            raise BadInput(f"the reading {reading.heard!r} has an option without a finite weight")
        weights = np.exp(logs - log_sum(logs))
        shares: dict[str, list[tuple[Option, float]]] = {}
        for option, weight in zip(reading.options, weights, strict=True):
            plain = option if option.log_prior == 0.0 else replace(option, log_prior=0.0)
            here = shares.setdefault(self._aspect_for[option.measurand].name, [])
            if option.value == ABSENT and option.measurand in _NONE_OF:
                here += [(replace(plain, value=v), float(weight) * part) for v, part in _NONE_OF[option.measurand]]
            else:
                here.append((plain, float(weight)))
        slip = self.model.answer.turned_round if reading.asked in self._yes_no else 0.0
        return [(name, Evidence(tuple(options), reading.threads_engaged, slip)) for name, options in shares.items()]

    def _together(self, evidence: Mapping[str, Sequence[Evidence]]) -> Floats:
        """Log probability of the readings of several aspects."""
        total = np.zeros(len(self.ends) + 1)
        for name, some in evidence.items():
            total += self._by_end(name, some)
        if evidence.keys() >= set(PAIR):
            total += self._uncut.log_factor(*(evidence[name] for name in PAIR))
        return total

    def _by_end(self, name: str, evidence: Sequence[Evidence]) -> Floats:
        by_class = self._cached(name, tuple(evidence))
        spread: Floats = by_class[self.aspects[name].class_of]
        return spread

    def _class_likelihood(self, name: str, evidence: tuple[Evidence, ...]) -> Floats:
        return self.aspects[name].log_likelihood(evidence)
