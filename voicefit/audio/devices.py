"""Microphone and speaker: sound devices by name, never by number, which changes when another one comes or goes.

PortAudio runs in child processes, one a stream (:mod:`voicefit.audio.worker_portaudio`): to look at the devices anew is
to start another child, and a sound system that hangs is killed with its child. The speaker's stream stays open and is
silent between sounds: opening takes time, and a wireless headset would swallow the first syllable.

Duty: list the devices, start the child of a stream, say in the tool's words why there is none; a microphone's blocks
as 16 kHz mono float32; play a sound, stop it at once when told to; tell within a second that a device has gone. It must
not look for speech, and must not decide what is played.
"""

from __future__ import annotations

import json
import struct
import sys
import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.files import resample, to_int16
from voicefit.errors import DeviceLost, Missing
from voicefit.levels import DcBlocker
from voicefit.records import SAMPLE_RATE_HZ, Sound
from voicefit.workers import DIED, Worker, frame

Kind = Literal["input", "output"]
_WORDS: dict[Kind, str] = {"input": "microphone", "output": "speaker"}
START_S = 5.0  # from the start of the process to the first block; the child itself waits 2.8 s for that
HUNG_S = 1.5  # the child tells of its stream three to ten times a second
MOST_WAITING = 1500  # blocks, half a minute
COMMAND = (sys.executable, "-P", str(Path(__file__).with_name("worker_portaudio.py")))


@dataclass(frozen=True, slots=True)
class Device:
    name: str
    index: int
    rate_hz: int  # the device's own
    is_default: bool = False


@dataclass(frozen=True, slots=True)
class Running:
    """A stream that runs. ``rate_hz``, ``channels`` : of the device, int16."""

    worker: Worker
    name: str
    rate_hz: int
    channels: int
    latency_s: float


def devices(kind: Kind) -> tuple[Device, ...]:
    """All devices of a kind as they are now, the default one first. Raises ``Missing`` without PortAudio."""
    worker, document = _started("devices", what="the sound system")
    worker.end()
    return tuple(Device(**each) for each in document[kind])


def start(kind: Kind, wanted_hz: int, name: str = "") -> Running:
    """The default device, or the one so named, giving sound in blocks of 32 ms, or taking it in blocks of 20 ms.

    Raises ``Missing`` where there is none, ``DeviceLost`` where it cannot be opened or delivers nothing.
    """
    what = f"the {_WORDS[kind]}{' ' + name if name else ''}"
    worker, about = _started(kind, str(wanted_hz), name, what=what, kind=kind)
    return Running(worker, **about)


def _started(*arguments: str, what: str, kind: Kind = "input") -> tuple[Worker, Any]:
    try:
        worker = Worker((*COMMAND, *arguments), most_waiting=MOST_WAITING)
    except OSError as error:
        raise DeviceLost(what, f"no process could be started for it ({error.strerror})") from None
    answer = worker.next_frame(START_S)
    if answer is not None and answer[0] in (b"D", b"R"):
        return worker, json.loads(answer[1])
    worker.end()
    if answer is None or answer is DIED:
        raise DeviceLost(what, "the sound system does not answer" if answer is None else "the sound system crashed")
    raise _error(json.loads(answer[1]), what, kind)


def _error(why: dict[str, Any], what: str, kind: Kind) -> Exception:
    word = _WORDS[kind]
    match why["kind"]:
        case "portaudio":
            remedy = "install it: on Debian and Ubuntu, sudo apt-get install libportaudio2"
            return Missing("PortAudio", f"{remedy} ({why['detail']})")
        case "missing":
            return Missing(f"a {word}", "plug one in, and check that the system's sound settings show it")
        case "absent":
            return Missing(what, f"plug it in, or choose one of these: {', '.join(why['there'])}")
        case _:
            return DeviceLost(f"the {word} {why['name']}", why["reason"])


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
