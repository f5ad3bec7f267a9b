"""What a session knows: catalogue, matcher, advice, language and wording, built once and shared between sessions.

Duty: put the rooms below together behind the questions that a session asks, answer them in words where they are
answered in words, and remember the last answers. It must not keep anything of a session.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.catalogue.hoses import Hose
from voicefit.dialogue import amending, expecting, hoses, spoken, tools
from voicefit.dialogue import glossary as glossaries
from voicefit.dialogue import registry as registries
from voicefit.dialogue import wording as wordings
from voicefit.dialogue.aftercare import Aftercare
from voicefit.dialogue.confirmation import Policy, load_policy
from voicefit.dialogue.expecting import Values
from voicefit.dialogue.glossary import Glossary
from voicefit.dialogue.names import Names, series_words
from voicefit.dialogue.record import HOSE, Piece
from voicefit.dialogue.registry import Registry
from voicefit.dialogue.snapshot import Belief, Part, ReadingTaken
from voicefit.dialogue.wording import Wording
from voicefit.interpretation import Language
from voicefit.interpretation.kinds import SentenceClassifier
from voicefit.matching import (
    Advisor,
    Checks,
    Matcher,
    Posterior,
    in_vain,
    load_checks,
    load_model,
    load_prior,
    suspects,
)
from voicefit.ordering.hose import Topic
from voicefit.ordering.job_slip import StockLookUp, nothing_in_stock
from voicefit.records import Check, Measurand, Reading

REMEMBERED = 64  # pieces whose belief is remembered: undo and repeated questions ask again
SAME_SIZE = 0.5  # of the ends of a series, the size has so much of the probability
SHOWN = 12  # ends and parts that a belief lists


@dataclass(frozen=True, eq=False)
class Knowledge:
    """Use :meth:`build`. ``believe`` is a pure function of a piece, remembered."""

    catalogue: Catalogue
    matcher: Matcher
    advisor: Advisor
    checks: Checks
    language: Language
    wording: Wording
    registry: Registry
    names: Names
    aftercare: Aftercare
    values: Values
    policy: Policy
    glossary: Glossary
    stock: StockLookUp = nothing_in_stock
    _believe: Any = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_believe", lru_cache(maxsize=REMEMBERED)(self._belief))

    @classmethod
    def build(
        cls, data: Mapping[str, str], grammar: Mapping[str, str], classifier: SentenceClassifier | None = None
    ) -> Knowledge:
        """From the texts of ``data/`` with the user's own tables, and of ``grammar/``, each by relative path.

        Raises ``BadTable`` or ``BadGrammar`` naming the file and the place.
        """
        catalogue = load_catalogue(data)
        checks = load_checks(grammar)
        matcher = Matcher(catalogue, load_prior(data), load_model(data), checks)
        wording, names = wordings.parse(grammar, _value_words(catalogue)), Names(catalogue)
        glossary = glossaries.parse(grammar)
        hose_types = {hose.type.id: hose.type.words for hose in catalogue.hoses}
        return cls(
            catalogue=catalogue,
            matcher=matcher,
            advisor=Advisor(matcher, checks),
            checks=checks,
            language=Language.from_texts(grammar, series_words(catalogue), hose_types, glossary.words, classifier),
            wording=wording,
            registry=registries.parse(grammar),
            names=names,
            aftercare=Aftercare(catalogue, data, wording, names),
            values=expecting.existing(catalogue),
            policy=load_policy(data),
            glossary=glossary,
        )

    def with_stock(self, stock: StockLookUp) -> Knowledge:
        """The same with what the shop has: a look-up by the part of an end."""
        return replace(self, stock=stock)

    # ---- belief ----------------------------------------------------------------------------------------

    def believe(
        self, piece: Piece, without: frozenset[str] = frozenset(), tried: frozenset[str] = frozenset()
    ) -> Belief:
        """What follows from the readings of a piece and from the checks that cannot be made; ``without`` : tools that
        are not at hand; ``tried`` : checks that were asked in vain."""
        readings = tuple(kept.reading for kept in piece.readings)
        impossible = piece.impossible | self.needing(without)
        belief: Belief = self._believe(
            piece.kind, readings, piece.impossible, impossible, piece.put_off, tried, piece.answers, piece.worn
        )
        return belief

    def _belief(
        self,
        kind: str,
        readings: tuple[Reading, ...],
        untold: frozenset[str],
        impossible: frozenset[str],
        put_off: frozenset[str],
        tried: frozenset[str],
        answers: tuple[tuple[str, str], ...],
        worn: bool,
    ) -> Belief:
        taken_as = tuple(map(tools.as_worn, readings)) if worn else readings
        posterior = Posterior(self.matcher, taken_as, in_vain(self.checks, untold))
        chosen = (posterior.option(i) for i in range(len(readings)))
        taken = tuple(
            ReadingTaken(reading, tools.as_said(reading, option), probability)
            for reading, (option, probability) in zip(readings, chosen, strict=True)
        )
        if kind == HOSE:
            found = hoses.standing(self.catalogue.hoses, taken, answers, impossible | put_off | tried)
            return Belief((), 0.0, taken, found.advice, posterior, found)
        ends, rows = self.catalogue.ends, self.names.rows
        advice = self.advisor.advise_on(posterior, impossible, put_off | tried)
        return Belief(
            parts=tuple(Part(ends[row].part, rows[ends[row].part], p) for row, p in posterior.best_parts(SHOWN)),
            none_probability=posterior.none,
            taken=taken,
            advice=amending.amended(advice, self.advisor, posterior, impossible, put_off, tried),
            posterior=posterior,
        )

    def needing(self, without: frozenset[str]) -> frozenset[str]:
        """Ids of the checks that need a tool that is not at hand."""
        return frozenset(id_ for id_, entry in self.checks.items() if tools.TOOL_OF.get(entry.measurand) in without)

    def log_fits(self, piece: Piece, alternatives: Sequence[tuple[Reading, ...]]) -> list[float]:
        """How well each alternative for the next words fits what is on record: natural logs."""
        readings = [kept.reading for kept in piece.readings]
        return [float(fit) for fit in self.matcher.weigh(readings, alternatives)]

    def most_doubtful(self, belief: Belief) -> int:
        """Of the readings that do not go together, the one that fits the leader worst."""
        assert belief.leader is not None
        leader = belief.leader.row
        return suspects(self.matcher, belief.posterior.readings, belief.advice.contradiction, leader)[0]

    # ---- words -----------------------------------------------------------------------------------------

    def end_words(self, row: int, *, brief: bool = False) -> str:
        """An end by the name under which its part is ordered, a variant that seals otherwise by its own; ``brief`` :
        without the dash that its size says too."""
        end = self.catalogue.ends[row]
        part = self.names.rows[end.part]
        own = self.catalogue.ends[part].series == end.series and self.aftercare.seals(row) != self.aftercare.seals(part)
        return self.names.end(end if own else self.catalogue.ends[part], brief=brief)

    def part_of(self, end_id: str) -> str | None:
        """The part that an end is ordered as; ``None`` when today's catalogue has no such end."""
        row = self.row_of(end_id)
        return None if row is None else self.catalogue.ends[row].part

    def thread_words(self, row: int) -> str:
        return self.names.thread(self.catalogue.ends[row])

    def hose_words(self, hose: Hose) -> str:
        """A hose by what it is called aloud, with its size."""
        return self.wording.phrase("hose", type=_hose_type_words(hose), size=self.wording.count(hose.dash))

    def row_of(self, end_id: str) -> int | None:
        """Row of an end by id; ``None`` when today's catalogue has no such end."""
        return self.names.rows.get(end_id)

    def series_words(self, series: str) -> str | None:
        known = self.catalogue.series.get(series)
        return None if known is None else known.spoken_name

    def answer_words(self, topic: str, text: str) -> str:
        """An answer about a hose that is no reading: a fluid, a purpose, a delivery, or a note."""
        if topic == hoses.ELBOWS:
            return self.wording.plain(f"answer.{text}")
        if topic == Topic.MATERIAL:
            fluid = self.aftercare.ordering.fluids.get(text)
            return spoken.aloud(text if fluid is None else fluid.words[0])
        said = [self.wording.words.get(f"answer.{each}", each) for each in text.split(", ")]
        return self.wording.plain("answer-note") if text.endswith(".flac") else ", ".join(map(spoken.aloud, said))

    def prompt(self, check: Check, *, brief: bool = False) -> str:
        """What is asked, in words; ``brief`` : where there is little room, without how it is done."""
        if (name := hoses.question_name(check)) is not None:
            return self.wording.questions[name].prompt
        slots = {name: self.wording.leaf(value) for name, value in check.slots.items()}
        entry = self.checks[check.id]
        return ((entry.brief if brief else None) or entry.prompt).format(**slots)

    def prompts(self, checks: Sequence[Check], *, brief: Sequence[Check] = ()) -> str:
        """What is asked of several checks in one breath.

        "Caliper it. What diameter?" and "Find the leaf that fits. What pitch?" are "Caliper it, and find the leaf that
        fits. What diameter, and what pitch?" ``brief`` : those asked in full before, now by their question alone.
        """
        return spoken.in_one_breath([self._question(each) if each in brief else self.prompt(each) for each in checks])

    def _question(self, check: Check) -> str:
        """The question alone; whether a gauge shows light is asked of that gauge."""
        entry, prompt = self.checks.get(check.id), self.prompt(check)
        return prompt if entry is not None and entry.yes == "is not" else spoken.question_of(prompt)

    def steps(self, check: Check) -> tuple[str, ...]:
        """How the check is made, one breath each."""
        if (name := hoses.question_name(check)) is not None:
            return self.wording.questions[name].how
        return self.checks[check.id].how

    def touch(self, check: Check) -> str:
        """How the check is made by touch."""
        if (name := hoses.question_name(check)) is not None:
            return self.wording.questions[name].by_touch
        return self.checks[check.id].by_touch

    def likeliest_of(self, belief: Belief, series: str) -> int | None:
        """Row of the likeliest end of a series, its sizes told apart by the readings; ``None`` where nothing does."""
        ends, log_p = self.catalogue.ends, belief.posterior.log_p
        rows = [row for row, end in enumerate(ends) if end.series == series]
        if not rows:
            return None
        best = max(rows, key=lambda row: float(log_p[row]))
        weights = {row: math.exp(float(log_p[row] - log_p[best])) for row in rows if log_p[row] > -math.inf}
        of_its_part = sum(weight for row, weight in weights.items() if ends[row].part == ends[best].part)
        return best if weights and of_its_part >= SAME_SIZE * sum(weights.values()) else None

    def separating(
        self, piece: Piece, first: int, second: int, unavailable: frozenset[str] | None = None
    ) -> Check | None:
        """The check that tells two ends apart best; ``None`` if none does. ``unavailable`` : ids of checks that are not
        made; those that the person could not make where it is not given."""
        posterior = self.believe(piece).posterior
        return self.advisor.separating(
            posterior, first, second, piece.impossible if unavailable is None else unavailable
        )


def _value_words(catalogue: Catalogue) -> dict[str, str]:
    """Names that readings carry by id, in words: series and hose types."""
    words = {f"{Measurand.SERIES}.{each.id}": each.spoken_name for each in catalogue.series.values()}
    return words | {f"{Measurand.HOSE_TYPE}.{hose.type.id}": _hose_type_words(hose) for hose in catalogue.hoses}


def _hose_type_words(hose: Hose) -> str:
    return spoken.aloud(hose.type.words[0])
