"""The speaker: one stream kept open, silent between sounds.

Duty: play a sound, stop it at once when told to, notice within a second that the device has gone. It must not decide
what is played. The stream stays open because opening takes time, and a wireless headset would swallow the first
syllable.
"""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING, Any

import numpy as np

from voicefit.audio.devices import Host, Stream, close_stream
from voicefit.audio.files import resample, to_int16
from voicefit.audio.microphone import STALL_S, START_S
from voicefit.audio.sinks import Sound, duration_s
from voicefit.errors import DeviceLost, Missing

if TYPE_CHECKING:
    from numpy.typing import NDArray

_PREFERRED_HZ = 22_050  # the bundled voice's own rate
_POLL_S = 0.01


class Speaker:
    """The device of that name, or the default one.

    Raises ``Missing`` when there is no such device, ``DeviceLost`` when it cannot be opened.
    """

    def __init__(self, host: Host, name: str = "") -> None:
        self._host = host
        self._wanted = name
        self._stream: Stream | None = None
        self._lock = threading.Lock()
        self._playing = np.zeros(0, np.int16)
        self._at = 0
        self.name = ""
        self._open()
        host.hold(self)

    def _open(self) -> None:
        device = self._host.find("output", self._wanted)
        self.name = device.name
        self._rate_hz, self._channels = self._host.rate_and_channels("output", device, _PREFERRED_HZ)
        self._alive_at = time.monotonic() + START_S
        self._gone = False
        self._stream = self._host.open("output", device, self._rate_hz, self._channels, self._give, self._has_finished)

    def _give(self, block: Any, frames: int, _time: Any, _status: Any) -> None:
        """Called by PortAudio's own thread."""
        with self._lock:
            part = self._playing[self._at : self._at + frames]
            self._at += len(part)
        if len(part) < frames:
            part = np.concatenate([part, np.zeros(frames - len(part), np.int16)])
        block[:] = np.repeat(part, self._channels).tobytes()
        self._alive_at = max(self._alive_at, time.monotonic())

    def _has_finished(self) -> None:
        if self._stream is not None:  # else it was closed on purpose
            self._gone = True

    @property
    def latency_s(self) -> float:
        return float(self._stream.latency) if self._stream is not None else 0.0

    def check(self) -> None:
        """Raises ``DeviceLost`` when the device has gone or took nothing for 0.7 s."""
        if self._gone:
            raise DeviceLost(f"the speaker {self.name}", "it has gone")
        if self._stream is not None and time.monotonic() - self._alive_at > STALL_S:
            raise DeviceLost(f"the speaker {self.name}", "it takes nothing")

    def play(self, sound: Sound, at_s: float, halt: threading.Event | None = None) -> float:
        """Play now, wait until it has sounded or ``halt`` is set; returns the seconds played. Raises ``DeviceLost``."""
        halt = halt or threading.Event()
        with self._host.busy:
            self.check()
            samples = self._at_own_rate(sound)
            with self._lock:
                self._playing, self._at = samples, 0
            try:
                while self._at < len(samples) and not halt.wait(_POLL_S):
                    self.check()
            finally:
                played = self._silence()
            halt.wait(self.latency_s)  # what the device still holds
            return min(duration_s(sound), played / self._rate_hz)

    def _silence(self) -> int:
        with self._lock:
            played = self._at
            self._playing, self._at = np.zeros(0, np.int16), 0
        return played

    def _at_own_rate(self, sound: Sound) -> NDArray[np.int16]:
        if sound.rate_hz == self._rate_hz:
            return sound.samples
        floats = sound.samples.astype(np.float32) / np.float32(32768)
        return to_int16(resample(floats, sound.rate_hz, self._rate_hz))

    # ---- around a fresh look at the devices -------------------------------------------------------------

    def suspend(self) -> None:
        stream, self._stream = self._stream, None
        close_stream(stream)

    def resume(self) -> None:
        try:
            self._open()
        except (DeviceLost, Missing):
            self._gone = True

    def close(self) -> None:
        self._host.release(self)
        self.suspend()
