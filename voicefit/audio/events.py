"""What a sound edge tells: utterances and what comes ahead of them, silence, trouble, typed lines, the end.

Duty: frozen types. An edge makes them, the driver takes them; :data:`SoundEvent` is any of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicefit.audio.voice_activity import FRAME
from voicefit.levels import dbfs, is_quiet_around, least_dbfs
from voicefit.records import Quiet, Refused, Trouble, Utterance

_LAG_S = 0.1  # for so long the detector hears a voice that has ended; in noise it alone tells, and any more counts


@dataclass(frozen=True, slots=True)
class BargedIn:
    """The person spoke over a reply, which was stopped."""

    at_s: float


@dataclass(frozen=True, slots=True)
class Tentative:
    """Somebody may have finished: an utterance follows soon, unless they go on.

    What is recognised of it meanwhile holds for the utterance that it ``covers``, and nobody waits for it.
    """

    utterance: Utterance

    def covers(self, final: Utterance) -> bool:
        """Whether nothing was said after it, be it voice to the detector or not."""
        early = self.utterance
        levels = None if early.level_dbfs is None or early.noise_dbfs is None else (early.level_dbfs, early.noise_dbfs)
        lag_s = _LAG_S if levels is not None and is_quiet_around(*levels) else 0.0
        if early.start_s != final.start_s or (final.voice_s or 0.0) - (early.voice_s or 0.0) > lag_s:
            return False
        rest = final.samples[len(early.samples) :]
        frames = rest[: len(rest) // FRAME * FRAME].reshape(-1, FRAME)
        return levels is None or all(dbfs(frame) <= least_dbfs(*levels) for frame in frames)


@dataclass(frozen=True, slots=True)
class Recorded:
    """What followed a call to ``record``: free speech, to be kept and not recognised."""

    utterance: Utterance


@dataclass(frozen=True, slots=True)
class Ended:
    """The recording has come to its end."""

    at_s: float


@dataclass(frozen=True, slots=True)
class Line:
    """A line that was typed, in place of an utterance or beside the microphone; empty for the bare Enter key.

    ``by_person`` : meant for the session even while it sleeps; else the transcript of something said.
    """

    text: str
    by_person: bool = True
    at_s: float = 0.0


SoundEvent = Utterance | Tentative | Refused | Recorded | BargedIn | Quiet | Trouble | Line | Ended
