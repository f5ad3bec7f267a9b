"""What the session believes of the piece in hand: it follows from the readings and is never on record.

Duty: the type, and the few questions that replies ask of it. It must not match or word.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from voicefit.dialogue.hoses import Standing
from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.records import Advice


@dataclass(frozen=True, slots=True)
class Part:
    """What one would order: the row of the end that names it, and the sum over its ends."""

    part: str
    row: int
    probability: float


@dataclass(frozen=True, slots=True)
class Belief:
    """``parts`` : best first. ``taken`` : for each reading, in their order, the option taken. ``posterior`` : the
    matcher's own, for its explanations. ``hose`` : of a hose, where its interview stands; it has no parts.
    """

    parts: tuple[Part, ...]
    none_probability: float
    taken: tuple[ReadingTaken, ...]
    advice: Advice
    hose: Standing | None = None
    posterior: Any = field(default=None, compare=False, repr=False)

    @property
    def leader(self) -> Part | None:
        return self.parts[0] if self.parts else None
