"""What was heard: a stretch of speech, and what an engine made of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from voicefit.records.meanings import Meaning, Rejection

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SAMPLE_RATE_HZ = 16_000


@dataclass(frozen=True, slots=True, eq=False)
class Utterance:
    """One stretch of speech, from endpointing.

    ``samples`` : float32, shape (n,), 16 kHz mono, -1..1, with pre-roll and hang-over.
    """

    samples: NDArray[np.float32]
    start_s: float = 0.0
    level_dbfs: float | None = None  # of the voiced part
    noise_dbfs: float | None = None  # of what lay around it
    clipped: bool = False
    cut: bool = False  # it went on for longer than the longest utterance, and was cut there
    voice_s: float | None = None  # seconds of voice in it, by the detector

    @property
    def duration_s(self) -> float:
        return len(self.samples) / SAMPLE_RATE_HZ


@dataclass(frozen=True, slots=True, eq=False)
class Sound:
    """Mono sound to be played: ``samples`` int16, shape (n,), at ``rate_hz``."""

    samples: NDArray[np.int16]
    rate_hz: int

    @property
    def duration_s(self) -> float:
        return len(self.samples) / self.rate_hz


@dataclass(frozen=True, slots=True)
class Alternative:
    """One text the engine may have heard, with the log of its share among the alternatives."""

    text: str
    log_probability: float


@dataclass(frozen=True, slots=True)
class Transcript:
    """What an engine made of an utterance: alternatives by meaning, best first, or a rejection.

    ``meanings`` : what all alternatives mean under the context in which they were heard, each meaning once, weights
    summing to one, best first. ``scores`` : named, the engine's own, ``confidence`` among them where it has one.
    ``freely`` : where it is a rejection, what the engine's own words mean that nothing held to the language.
    """

    alternatives: tuple[Alternative, ...]
    engine: str = "text"
    rejection: Rejection | None = None
    scores: Mapping[str, float] = field(default_factory=dict)
    meanings: tuple[Meaning, ...] = ()
    freely: tuple[Meaning, ...] = ()

    @property
    def text(self) -> str:
        return self.alternatives[0].text if self.alternatives else ""
