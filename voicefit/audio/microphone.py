"""The microphone as a stream of blocks, 16 kHz mono float32.

Duty: open by name, convert, tell within a second that the device has gone. It must not look for speech.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.devices import HUNG_S, start
from voicefit.errors import DeviceLost
from voicefit.levels import DcBlocker
from voicefit.records import SAMPLE_RATE_HZ

_TURN_S = 0.1


class Microphone:
    """The device of that name, or the default one; it delivers when this returns.

    Raises ``Missing`` when there is no such device, ``DeviceLost`` when it cannot be opened.
    """

    def __init__(self, name: str = "") -> None:
        self._running = start("input", SAMPLE_RATE_HZ, name)
        self.name, self.latency_s = self._running.name, self._running.latency_s
        self._dc = DcBlocker(SAMPLE_RATE_HZ)
        self._energy = np.zeros(self._running.channels)
        self._resampler: Any = None
        if self._running.rate_hz != SAMPLE_RATE_HZ:
            import soxr

            self._resampler = soxr.ResampleStream(self._running.rate_hz, SAMPLE_RATE_HZ, 1, dtype="float32")

    def read(self) -> NDArray[np.float32]:
        """The next block. Raises ``DeviceLost`` when the device has gone, or delivers nothing for 0.8 s."""
        kind, payload = b"T", b""
        silent = 0  # turns, not the clock's: where the whole machine stood still, nothing hangs
        while kind == b"T":  # the child lives, and waits for the device
            came = self._running.worker.next_frame(_TURN_S)
            silent = 0 if came else silent + 1
            if silent * _TURN_S >= HUNG_S:
                kind, payload = b"F", b"the sound system hangs"
            elif came is not None:
                kind, payload = came
        if kind not in (b"A", b"a"):
            raise DeviceLost(f"the microphone {self.name}", payload.decode() or "the sound system crashed")
        return self._convert(payload)

    def _convert(self, block: bytes) -> NDArray[np.float32]:
        channels = self._running.channels
        frames = np.frombuffer(block, np.int16).reshape(-1, channels).astype(np.float32) / np.float32(32768)
        if channels > 1:
            # The channel with the most sound, as in files: one of two may be silent.
            self._energy = 0.98 * self._energy + frames.var(axis=0)
        mono = frames[:, int(np.argmax(self._energy))]
        if self._resampler is not None:
            mono = self._resampler.resample_chunk(mono)
        return self._dc(mono)

    def close(self) -> None:
        """Safe to call twice, and never waits for the device."""
        self._running.worker.end()
