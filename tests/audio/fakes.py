"""Stand-ins for devices, so that what happens around a loss or an interruption is exact and quick."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from voicefit.errors import DeviceLost, Missing
from voicefit.records import SAMPLE_RATE_HZ, Sound

BLOCK = 320


def sound(seconds: float, rate_hz: int = 22_050) -> Sound:
    return Sound(np.full(round(seconds * rate_hz), 1000, np.int16), rate_hz)


class Loud:
    """A detector that takes any frame with a sample above 0.5 for voice."""

    def probability(self, frame: np.ndarray) -> float:
        return float(np.max(frame) > 0.5)

    def reset(self) -> None:
        pass


class FakeSource:
    """A microphone fed by the test; ``lose`` unplugs it."""

    latency_s = 0.0

    def __init__(self, name: str = "bench microphone") -> None:
        self.name = name
        self.closed = False
        self._blocks: queue.Queue[np.ndarray | None] = queue.Queue()

    def hear(self, seconds: float, value: float) -> None:
        for _ in range(round(seconds * SAMPLE_RATE_HZ / BLOCK)):
            self._blocks.put(np.full(BLOCK, value, np.float32))

    def lose(self) -> None:
        self._blocks.put(None)

    def read(self) -> np.ndarray:
        try:
            block = self._blocks.get(timeout=0.02)
        except queue.Empty:
            return np.zeros(0, np.float32)
        if block is None:
            raise DeviceLost(f"the microphone {self.name}", "it has gone")
        return block

    def close(self) -> None:
        self.closed = True


class FakeSink:
    """A speaker that records what it was given; ``hold`` makes a sound last until halted or ``release``d."""

    def __init__(self, name: str = "bench speaker") -> None:
        self.name = name
        self.played: list[Sound] = []
        self.halted: list[bool] = []
        self.begun = threading.Event()
        self.hold = False
        self.release = threading.Event()
        self.lost = False
        self.closed = False

    def play(self, sound: Sound, at_s: float, halt: threading.Event | None = None) -> float:
        self.check()
        self.played.append(sound)
        self.begun.set()
        while self.hold and not self.release.is_set() and not (halt and halt.wait(0.005)):
            self.check()
        self.halted.append(bool(halt and halt.is_set()))
        return sound.duration_s

    def check(self) -> None:
        if self.lost:
            raise DeviceLost(f"the speaker {self.name}", "it has gone")

    def close(self) -> None:
        self.closed = True


@dataclass
class Plug:
    """Opens the device that is plugged in now."""

    device: Any = None
    opened: list[Any] = field(default_factory=list)
    tries: int = 0

    def __call__(self) -> Any:
        self.tries += 1
        if self.device is None:
            raise Missing("a device", "plug it in")
        self.opened.append(self.device)
        return self.device


class FakePortAudio:
    """As much of ``sounddevice`` as the worker uses. The first block comes when the stream starts."""

    class PortAudioError(Exception):
        pass

    def __init__(self, *devices: tuple[str, int, int, int]) -> None:
        self.plugged = list(devices)  # name, inputs, outputs, default rate
        self.streams: list[FakeStream] = []
        self.on_start: Callable[[FakeStream], None] = lambda stream: stream.options["callback"](
            bytearray(2 * stream.options["channels"]), 1, None, None
        )
        self.refused_hz: set[int] = set()
        self.refused_channels: set[int] = set()
        self.default = type("Default", (), {"device": (0, 0)})()

    def query_devices(self) -> list[dict[str, Any]]:
        return [
            {"name": n, "max_input_channels": i, "max_output_channels": o, "default_samplerate": float(r)}
            for n, i, o, r in self.plugged
        ]

    def check_input_settings(self, device: int, channels: int, dtype: str, samplerate: int) -> None:
        if samplerate in self.refused_hz or channels in self.refused_channels:
            raise self.PortAudioError("Invalid sample rate")

    check_output_settings = check_input_settings

    def RawInputStream(self, **options: Any) -> FakeStream:
        return self._open(options)

    def RawOutputStream(self, **options: Any) -> FakeStream:
        return self._open(options)

    def _open(self, options: dict[str, Any]) -> FakeStream:
        stream = FakeStream({"on_start": self.on_start, **options})
        self.streams.append(stream)
        return stream


class FakeStream:
    latency = 0.02

    def __init__(self, options: dict[str, Any]) -> None:
        self.options = options
        self.active = False
        self._callback: Callable[..., None] = options["callback"]

    def start(self) -> None:
        self.active = True
        if "on_start" in self.options:
            self.options["on_start"](self)

    def give(self, samples: np.ndarray) -> None:
        """A block arrives from the microphone."""
        self._callback(samples.astype(np.int16).tobytes(), len(samples), None, None)

    def take(self, frames: int) -> np.ndarray:
        """The speaker asks for a block."""
        block = bytearray(frames * self.options["channels"] * 2)
        self._callback(memoryview(block), frames, None, None)
        return np.frombuffer(bytes(block), np.int16)

    def end(self) -> None:
        """The device is unplugged."""
        self.active = False
        self.options["finished_callback"]()

    def abort(self) -> None:
        if self.active:
            self.end()

    def close(self) -> None:
        self.active = False
