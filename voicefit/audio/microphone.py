"""The microphone as a stream of blocks, 16 kHz mono float32.

Duty: open by name, convert, notice within a second that the device has gone. It must not look for speech.
"""

from __future__ import annotations

import queue
import time
from typing import TYPE_CHECKING, Any

import numpy as np

from voicefit.audio.devices import BLOCK_S, Host, Stream, close_stream
from voicefit.audio.levels import DcBlocker
from voicefit.errors import DeviceLost, Missing
from voicefit.records import SAMPLE_RATE_HZ

if TYPE_CHECKING:
    from numpy.typing import NDArray

STALL_S = 0.7  # a running device delivers every 20 ms
START_S = 3.0  # some sound servers need two seconds for the first block
_WAITING = 1500  # blocks, half a minute


class _Line:
    """One opened stream and what came over it; ``None`` in the queue: it has ended."""

    def __init__(self) -> None:
        self.blocks: queue.Queue[bytes | None] = queue.Queue()
        self.stream: Stream | None = None
        self.overflows = 0

    def take(self, block: Any, _frames: int, _time: Any, status: Any) -> None:
        """Called by PortAudio's own thread."""
        if status or self.blocks.qsize() >= _WAITING:
            self.overflows += 1
        if self.blocks.qsize() < _WAITING:
            self.blocks.put(bytes(block))

    def ended(self) -> None:
        self.blocks.put(None)


class Microphone:
    """The device of that name, or the default one.

    Raises ``Missing`` when there is no such device, ``DeviceLost`` when it cannot be opened.
    """

    def __init__(self, host: Host, name: str = "") -> None:
        self._host = host
        self._wanted = name
        self._line: _Line | None = None
        self.name = ""
        self._open()
        host.hold(self)

    def _open(self) -> None:
        device = self._host.find("input", self._wanted)
        self.name = device.name
        self._rate_hz, self._channels = self._host.rate_and_channels("input", device, SAMPLE_RATE_HZ)
        self._dc = DcBlocker(SAMPLE_RATE_HZ)
        self._energy = np.zeros(self._channels)
        self._resampler: Any = None
        if self._rate_hz != SAMPLE_RATE_HZ:
            import soxr

            self._resampler = soxr.ResampleStream(self._rate_hz, SAMPLE_RATE_HZ, 1, dtype="float32")
        self._patient_until = time.monotonic() + START_S
        line = _Line()
        line.stream = self._host.open("input", device, self._rate_hz, self._channels, line.take, line.ended)
        self._line = line

    @property
    def latency_s(self) -> float:
        line = self._line
        return float(line.stream.latency) if line is not None and line.stream is not None else 0.0

    @property
    def overflows(self) -> int:
        """Blocks that were lost because the machine was too slow."""
        return self._line.overflows if self._line is not None else 0

    def read(self) -> NDArray[np.float32]:
        """The next block; empty while the devices are being looked at anew.

        Raises ``DeviceLost`` when the device has gone, or delivered nothing for 0.7 s.
        """
        line = self._line
        if line is None:
            time.sleep(BLOCK_S)
            return np.zeros(0, np.float32)
        try:
            block = line.blocks.get(timeout=max(STALL_S, self._patient_until - time.monotonic()))
            reason = "it has gone"
        except queue.Empty:
            block, reason = None, "it delivers nothing"
        if block is None:
            if line is not self._line:  # closed on purpose meanwhile
                return np.zeros(0, np.float32)
            raise DeviceLost(f"the microphone {self.name}", reason)
        self._patient_until = 0.0
        return self._convert(block)

    def _convert(self, block: bytes) -> NDArray[np.float32]:
        frames = np.frombuffer(block, np.int16).reshape(-1, self._channels).astype(np.float32) / np.float32(32768)
        if self._channels > 1:
            # The channel with the most sound, as in files: one of two may be silent.
            self._energy = 0.98 * self._energy + frames.var(axis=0)
        mono = frames[:, int(np.argmax(self._energy))]
        if self._resampler is not None:
            mono = self._resampler.resample_chunk(mono)
        return self._dc(mono)

    # ---- around a fresh look at the devices -------------------------------------------------------------

    def suspend(self) -> None:
        line, self._line = self._line, None
        if line is not None:
            close_stream(line.stream)

    def resume(self) -> None:
        try:
            self._open()
        except (DeviceLost, Missing):
            self._line = _Line()
            self._line.ended()  # the next read tells

    def close(self) -> None:
        self._host.release(self)
        self.suspend()
