"""What a session shows at one moment: frozen, for documents, screens and tests.

Duty: the types. It must not format or compute.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicefit.records import Advice, Option, Reading, Rejection


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """A reading with the option that is most probable given all readings, and that probability."""

    reading: Reading
    option: Option
    probability: float


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The session after its last event.

    ``heard`` : the text taken; empty when the last event was not speech. ``readings`` : those of the end in hand.
    ``rejected`` : what was heard in the last event and not taken. ``candidates`` : (row of the catalogue, probability),
    best first, one for each part: interchangeable ends count together under the name they are ordered by.
    ``prompt`` : the next check in words; empty when there is none. ``cautions`` : said in ``reply``. ``reply`` :
    exactly what is spoken; empty for a named silence.
    """

    heard: str
    readings: tuple[ReadingTaken, ...]
    rejected: tuple[Rejection, ...]
    candidates: tuple[tuple[int, float], ...]
    none_probability: float
    advice: Advice
    prompt: str
    cautions: tuple[str, ...]
    reply: str
    job: int = 1
    piece: int = 1
    concluded: str | None = None  # id of the end that was said to be it
