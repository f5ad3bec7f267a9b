"""What comes to a session, and what it asks of its edge: ``session.handle(event) -> effects``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from voicefit.records.hearing import Transcript
from voicefit.records.meanings import Meaning, Rejection


@dataclass(frozen=True, slots=True)
class Heard:
    """Speech (or typed text) was understood in one or several ways; weights sum to one."""

    meanings: tuple[Meaning, ...]
    at_s: float = 0.0  # the edge's clock; the core has none
    typed: bool = False  # by a person or a caliper with keys: meant for the session even while it does not listen
    transcript: Transcript | None = None  # of speech: what the engine refused, and what can be asked about all the same


@dataclass(frozen=True, slots=True)
class Refused:
    """The edge refused the sound before any meaning was made."""

    rejection: Rejection
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Quiet:
    """Nobody has spoken for ``seconds``."""

    seconds: float
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something outside failed or came back: ``what`` is microphone, speaker, voice, recogniser, disk, store."""

    what: str
    detail: str = ""
    back: bool = False
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class NoteDone:
    """A voice note has been recorded (``name`` as the store knows it)."""

    name: str
    seconds: float
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Chosen:
    """The edge took the next one as asked: ``what`` is voice, microphone or speaker; ``name`` empty: no other."""

    what: str
    name: str
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Resumed:
    """The session begins with what is on record from before: a crash, a restart, another day.

    ``job`` : number of the job to go on with, as the user asked; ``None``: what is still open is only named.
    ``greets`` : where nothing is open, what to say first is said; else nothing is.
    """

    job: int | None = None
    greets: bool = False
    at_s: float = 0.0


Event = Heard | Refused | Quiet | Trouble | NoteDone | Chosen | Resumed


@dataclass(frozen=True, slots=True)
class Append:
    """Make this durable. Comes before the ``Say`` that confirms it."""

    kind: str
    data: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Say:
    """Speak ``text``, written for the ear: words only, numbers already spelled."""

    text: str


@dataclass(frozen=True, slots=True)
class Tone:
    """Play one of the four tones: listening, heard, refused, working."""

    name: str


@dataclass(frozen=True, slots=True)
class Do:
    """Ask the edge for something that is not speech: ``name`` with ``argument`` (settings, notes, listening)."""

    name: str
    argument: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """End the session after what was said before it has been spoken."""


Effect = Append | Say | Tone | Do | Stop
