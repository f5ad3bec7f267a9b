"""Where sound goes: a WAV file on the session's time line, or nowhere. The speaker is in :mod:`voicefit.audio.devices`.

Duty: lay one sound after the other. It must not make sound.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from threading import Event
from typing import Any, Protocol

import numpy as np

from voicefit.audio.files import resample, to_int16
from voicefit.errors import BadInput, DeviceLost, Missing
from voicefit.records import Sound


class Sink(Protocol):
    name: str

    def play(self, sound: Sound, at_s: float, halt: Event | None = None) -> float:
        """Play a sound, beginning at ``at_s`` of the session; returns the seconds played.

        A device falls silent at once when ``halt`` is set, from any thread. Raises ``DeviceLost``.
        """

    def close(self) -> None: ...


def play_if_possible(sound: Sound) -> bool:
    """Play over the default speaker; ``False`` where there is none."""
    from voicefit.audio.devices import Speaker

    try:
        speaker = Speaker()
    except (Missing, DeviceLost):
        return False
    try:
        speaker.play(sound, 0.0)
    except DeviceLost:
        return False
    finally:
        speaker.close()
    return True


class NullSink:
    """Takes every sound and keeps none; time passes on the session's clock all the same."""

    name = "none"

    def play(self, sound: Sound, at_s: float, halt: Event | None = None) -> float:
        return sound.duration_s

    def close(self) -> None:
        pass


class WavSink:
    """A 16-bit WAV file with every sound at its time of the session, silence between, or without the ``gaps``.

    Written as the session goes on. Raises ``BadInput`` where the file cannot be written.
    """

    RATE_HZ = 22_050

    def __init__(self, path: str | Path, *, gaps: bool = True) -> None:
        import soundfile

        self.name = str(path)
        with suppress(OSError):  # what is wrong is said below; an existing file keeps its mode
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        self._gaps = gaps
        self._written = 0
        try:
            self._file: Any = soundfile.SoundFile(
                Path(path), "w", samplerate=self.RATE_HZ, channels=1, subtype="PCM_16", format="WAV"
            )
        except (soundfile.LibsndfileError, OSError) as error:
            reason = getattr(error, "error_string", None) or error
            raise BadInput(f"{path} could not be written: {str(reason).rstrip('.')}") from None

    def play(self, sound: Sound, at_s: float, halt: Event | None = None) -> float:
        self._silence_until(at_s)
        samples = sound.samples
        if sound.rate_hz != self.RATE_HZ:
            samples = to_int16(resample(samples.astype(np.float32) / 32768.0, sound.rate_hz, self.RATE_HZ))
        self._file.write(samples)
        self._written += len(samples)
        return len(samples) / self.RATE_HZ

    def end_at(self, at_s: float) -> None:
        """The session ended then: silence up to there."""
        self._silence_until(at_s)

    def close(self) -> None:
        self._file.close()

    def _silence_until(self, at_s: float) -> None:
        lacking = round(at_s * self.RATE_HZ) - self._written if self._gaps else 0
        while lacking > 0:
            count = min(lacking, self.RATE_HZ * 60)
            self._file.write(np.zeros(count, np.int16))
            self._written += count
            lacking -= count
