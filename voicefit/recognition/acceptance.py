"""Whether an answer may be taken: scores to a probability of being right, and that to a decision.

Duty: one fixed rule, whose numbers come from ``hearing.toml`` beside this file and were fitted by the benchmark. It
must not look at sound or language; it gets named scores.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from voicefit import toml_data
from voicefit.recognition.signal import QUIET_DBFS, Prepared
from voicefit.records import Reason, Rejection

TABLE = Path(__file__).with_name("hearing.toml")


class Acceptance(BaseModel):
    """The fitted numbers; ``hearing.toml`` documents each."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    accept_from: float = Field(ge=0, lt=1)
    accept_from_quiet: float = Field(ge=0, lt=1)
    lead_alone: float = Field(ge=0)
    lead_alike: float = Field(ge=0)
    lead_alike_quiet: float = Field(ge=0)
    quiet_from_db: float
    least_prior: float = Field(lt=0)
    foreign_below: float
    intercept: float
    weights: dict[str, float]

    def confidence(self, scores: Mapping[str, float]) -> float:
        """Probability that the best meaning is what was said: logistic in the scores; one that is absent is 0."""
        log_odds = self.intercept + sum(weight * scores.get(name, 0.0) for name, weight in self.weights.items())
        return 1 / (1 + math.exp(-max(min(log_odds, 30.0), -30.0)))

    def shifted(self, by: float) -> Acceptance:
        """The same for a voice whose answers are likelier right by that log-odds than the scores say."""
        return self.model_copy(update={"intercept": self.intercept + by})

    def takes(self, scores: Mapping[str, float]) -> bool:
        """Whether an answer with these scores is taken."""
        least = self.accept_from_quiet if self.quiet(scores) else self.accept_from
        return self.leads(scores) and self.confidence(scores) >= least

    def quiet(self, scores: Mapping[str, float]) -> bool:
        """Whether there was so little noise that less is asked of an answer."""
        return scores["snr_db"] >= self.quiet_from_db

    def leads(self, scores: Mapping[str, float]) -> bool:
        """Whether the best meaning is far enough before all others, however probable it is."""
        return (
            scores["log_odds_alone"] >= self.lead_alone
            and scores["log_odds_alike"] >= (self.lead_alike_quiet if self.quiet(scores) else self.lead_alike)
            and scores["log_prior"] > self.least_prior
        )

    def judge(self, scores: Mapping[str, float], heard: str, free_text: str, prepared: Prepared) -> Rejection | None:
        """``None`` to take the answer, or the rejection with the likeliest reason."""
        if self.takes(scores):
            return None
        if prepared.clipped:
            return Rejection(heard, Reason.TOO_LOUD)
        if prepared.speech_dbfs < QUIET_DBFS:
            return Rejection(heard, Reason.TOO_QUIET)
        if scores["log_ratio"] < self.foreign_below:
            return Rejection(free_text, Reason.OUT_OF_GRAMMAR if any(map(str.isalnum, free_text)) else Reason.NOISE)
        return Rejection(heard, Reason.LOW_CONFIDENCE)


def read_acceptance(path: Path = TABLE) -> Acceptance:
    """Read and check the table. Raises ``BadTable`` naming the key that is wrong."""
    return toml_data.read({path.name: path.read_text(encoding="utf-8")}, path.name, Acceptance)
