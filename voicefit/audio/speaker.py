"""The speaker: one stream kept open, silent between sounds.

Duty: play a sound, stop it at once when told to, tell within a second that the device has gone. It must not decide
what is played. The stream stays open because opening takes time, and a wireless headset would swallow the first
syllable.
"""

from __future__ import annotations

import struct
import threading
import time

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.devices import HUNG_S, start
from voicefit.audio.files import resample, to_int16
from voicefit.errors import DeviceLost
from voicefit.records import Sound
from voicefit.workers import frame

_PREFERRED_HZ = 22_050  # the bundled voice's own rate
_POLL_S = 0.02  # how late the end of a sound may be noticed; to stop one waits for nothing
_PLAYED = struct.Struct("<II")  # as the worker tells: number of the sound, samples played


class Speaker:
    """The device of that name, or the default one; it takes sound when this returns.

    Raises ``Missing`` when there is no such device, ``DeviceLost`` when it cannot be opened.
    """

    def __init__(self, name: str = "") -> None:
        self._running = start("output", _PREFERRED_HZ, name)
        self.name, self.latency_s = self._running.name, self._running.latency_s
        self._alive_at = time.monotonic()
        self._number = 0  # of the last sound
        self._played: tuple[int, int] = (0, 0)  # number of the last sound that ended, and how much of it was played

    def check(self) -> None:
        """Raises ``DeviceLost`` when the device has gone or takes nothing for 0.8 s."""
        while (came := self._running.worker.next_frame(0)) is not None:
            kind, payload = came
            if kind in (b"F", b"!"):
                raise DeviceLost(f"the speaker {self.name}", payload.decode() or "the sound system crashed")
            self._alive_at = time.monotonic()
            if kind == b".":
                self._played = _PLAYED.unpack(payload)
        if time.monotonic() - self._alive_at > HUNG_S:
            raise DeviceLost(f"the speaker {self.name}", "the sound system hangs")

    def play(self, sound: Sound, at_s: float, halt: threading.Event | None = None) -> float:
        """Play now, wait until it has sounded or ``halt`` is set; returns the seconds played. Raises ``DeviceLost``."""
        halt = halt or threading.Event()
        self.check()
        self._number += 1
        samples = self._at_own_rate(sound).astype("<i2").tobytes()
        self._running.worker.send(frame(b"P", self._number.to_bytes(4, "little") + samples))
        halted = False
        while self._played[0] != self._number:
            if halted:
                time.sleep(_POLL_S)
            elif halt.wait(_POLL_S):
                halted = True
                self._running.worker.send(frame(b"H"))
            self.check()
        halt.wait(self.latency_s)  # what the device still holds
        return min(sound.duration_s, self._played[1] / self._running.rate_hz)

    def _at_own_rate(self, sound: Sound) -> NDArray[np.int16]:
        if sound.rate_hz == self._running.rate_hz:
            return sound.samples
        floats = sound.samples.astype(np.float32) / np.float32(32768)
        return to_int16(resample(floats, sound.rate_hz, self._running.rate_hz))

    def close(self) -> None:
        """Safe to call twice, and never waits for the device."""
        self._running.worker.end()
