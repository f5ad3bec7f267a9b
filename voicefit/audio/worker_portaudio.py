"""The child process that has PortAudio: one stream of one device, or the list of devices. Run as a script.

    python -P worker_portaudio.py devices
    python -P worker_portaudio.py input|output RATE NAME

PortAudio learns of devices only when it starts, and with a sound server that has died it may hang or rave. So each
opened stream is a process of its own, and to look at the devices anew is to start another. It watches its stream
itself, by counting its own turns and not by the clock: on a machine that is too busy both stand still.

Duty: frames on stdout, and for an output on stdin (see :mod:`voicefit.workers`), with nothing but the standard library
and the binding. It must not import voicefit.

Frames out: ``D`` the devices, JSON; ``R`` the stream runs, JSON; ``E`` it cannot be had, JSON; ``A`` sound, a block or
more, int16 little endian, interleaved (``a``: and some was lost in it or before); ``T`` the child lives; ``.`` a sound
has been played: its number and the samples played, two 4-byte integers; ``F`` the device is lost, and why.
Frames in: ``P`` a sound: its number, then int16 mono; ``H`` stop it.
"""

import array
import collections
import contextlib
import ctypes
import json
import os
import signal
import struct
import sys
import threading
import time
from typing import Any

TURN_S = 0.1
SILENT_TURN_S = 0.3  # of a speaker that has nothing to play
SILENT_TURNS = 17  # a busy server may forget one for seconds
STALLED_TURNS = 8  # a running device gives and takes a block every 32 ms
START_TURNS = 28  # some sound servers need two seconds for the first block
MOST_AHEAD_S = 3.0
STILL_PEAK, STILL_BLOCKS = 328, 62  # of 32,768 (-40 dBFS); two seconds
PR_SET_PDEATHSIG = 1

HEADER = struct.Struct("<cI")
PLAYED = struct.Struct("<II")
_out = threading.Lock()


class CannotOpen(Exception):
    """Why there is no stream: ``kind`` is portaudio, missing, absent or lost, as in :mod:`voicefit.audio.devices`."""

    def __init__(self, kind: str, **what: Any) -> None:
        self.document = {"kind": kind, **what}
        super().__init__(kind)


def send(kind: bytes, payload: bytes = b"") -> None:
    with _out:
        sys.stdout.buffer.write(HEADER.pack(kind, len(payload)) + payload)
        sys.stdout.buffer.flush()


def binding() -> Any:
    os.environ.setdefault("JACK_NO_START_SERVER", "1")  # looking for devices must not start a sound server
    try:
        import sounddevice
    except (ImportError, OSError) as error:
        raise CannotOpen("portaudio", detail=str(error)) from None
    return sounddevice


def devices(sd: Any, kind: str) -> list[dict[str, Any]]:
    """All devices of a kind, the default one first."""
    try:
        default = int(sd.default.device[0 if kind == "input" else 1])
    except (sd.PortAudioError, ValueError, TypeError):
        default = -1
    found = [
        {"name": str(entry["name"]), "index": index, "rate_hz": round(entry["default_samplerate"]),
         "is_default": index == default}
        for index, entry in enumerate(sd.query_devices())
        if entry[f"max_{kind}_channels"] > 0
    ]  # fmt: skip
    return sorted(found, key=lambda device: not device["is_default"])


def find(sd: Any, kind: str, name: str) -> dict[str, Any]:
    """The default device, or the one so named: in full, else as a part of one's name."""
    found = devices(sd, kind)
    if not found:
        raise CannotOpen("missing")
    if not name:
        return found[0]
    wanted = name.casefold()
    for fits in (lambda there: there == wanted, lambda there: wanted in there):
        for device in found:
            if fits(device["name"].casefold()):
                return device
    raise CannotOpen("absent", there=list(dict.fromkeys(device["name"] for device in found)))


def rate_and_channels(sd: Any, kind: str, device: dict[str, Any], wanted_hz: int) -> tuple[int, int]:
    """The wanted rate where the device takes it, else its own; mono where it takes that, else two channels."""
    check = sd.check_input_settings if kind == "input" else sd.check_output_settings
    for rate_hz in (wanted_hz, device["rate_hz"]):
        for channels in (1, 2):
            with contextlib.suppress(sd.PortAudioError, ValueError):
                check(device=device["index"], channels=channels, dtype="int16", samplerate=rate_hz)
                return rate_hz, channels
    reason = f"it takes neither {wanted_hz} nor {device['rate_hz']} Hz"
    raise CannotOpen("lost", name=device["name"], reason=reason)


class Watched:
    """A stream that is noticed to stand still. ``turn`` is called by the main thread until it returns ``False``."""

    lost = "it delivers nothing"
    patience = STALLED_TURNS
    turn_s = TURN_S
    block_s = 0.032  # the voice detector's own step: no block waits for a part of the next one; shorter ones cost more

    def __init__(self) -> None:
        self.news = threading.Event()  # a block came or went
        self.gone = threading.Event()
        self._idle = 0
        self._ahead_s, self._moved_at = MOST_AHEAD_S, time.monotonic()  # and pause for two after their first blocks

    def moved(self) -> None:
        """A block came or went. Some servers take seconds of sound at once, and then nothing for as long."""
        now = time.monotonic()
        self._ahead_s = min(max(self._ahead_s - (now - self._moved_at), 0.0) + self.block_s, MOST_AHEAD_S)
        self._moved_at = now

    def finished(self) -> None:
        self.gone.set()
        self.news.set()

    def runs(self) -> bool:
        """Wait a turn for news; whether there was any lately. Raises ``CannotOpen`` when the stream has stood still."""
        came = self.news.wait(self.turn_s)
        self.news.clear()
        if self.gone.is_set():
            raise CannotOpen("lost", reason="it has gone")
        self._idle = 0 if came else self._idle + 1
        if self._idle >= self.patience + self._ahead_s / self.turn_s:
            raise CannotOpen("lost", reason=self.lost)
        return came

    def begins(self) -> None:
        """Wait for the first block."""
        if not any(self.news.wait(TURN_S) for _ in range(START_TURNS)):
            raise CannotOpen("lost", reason=self.lost)

    def block(self, block: Any, frames: int, _time: Any, status: Any) -> None:
        """Called by PortAudio's own thread."""
        raise NotImplementedError

    def turn(self) -> None:
        raise NotImplementedError


class Input(Watched):
    """Blocks go out as they come; where all has been still for a while in pairs, until the next that is not still."""

    def __init__(self, channels: int) -> None:
        super().__init__()
        self._blocks: collections.deque[tuple[bytes, bytes]] = collections.deque(maxlen=1500)
        self._still = 0  # blocks on end

    def block(self, block: Any, frames: int, _time: Any, status: Any) -> None:
        self.moved()
        sound = bytes(block)
        self._blocks.append((b"a" if status else b"A", sound))
        samples = array.array("h", sound)
        self._still = self._still + 1 if max(samples) < STILL_PEAK and min(samples) > -STILL_PEAK else 0
        if self._still < STILL_BLOCKS or self._still % 2:
            self.news.set()

    def turn(self) -> None:
        if not self.runs():
            send(b"T")
        if blocks := [self._blocks.popleft() for _ in range(len(self._blocks))]:
            kinds, sounds = zip(*blocks, strict=True)
            send(b"a" if b"a" in kinds else b"A", b"".join(sounds))


class Output(Watched):
    lost = "it takes nothing"

    def __init__(self, channels: int) -> None:
        super().__init__()
        self._channels = channels
        self._lock = threading.Lock()
        self._blocks = 0
        self._rest()

    def _rest(self) -> None:
        self._sound, self._at, self._number = b"", 0, 0  # bytes
        self.turn_s, self.patience = SILENT_TURN_S, SILENT_TURNS

    def block(self, block: Any, frames: int, _time: Any, status: Any) -> None:
        with self._lock:
            part = self._sound[self._at : self._at + 2 * frames]
            self._at += len(part)
        if self._channels > 1:
            part = b"".join(part[i : i + 2] * self._channels for i in range(0, len(part), 2))
        block[:] = part + bytes(len(block) - len(part))
        self.moved()
        self._blocks += 1
        if self._blocks % (3 if self._number else 9) == 1 or (self._number and self._at >= len(self._sound)):
            self.news.set()

    def play(self, number: int, sound: bytes) -> None:
        with self._lock:
            self._sound, self._at, self._number = sound, 0, number
            self.turn_s, self.patience = TURN_S, STALLED_TURNS

    def halt(self) -> None:
        with self._lock:
            self._sound = self._sound[: self._at]

    def turn(self) -> None:
        self.runs()
        send(b"T")
        with self._lock:
            ended = self._number and self._at >= len(self._sound)
            number, played = self._number, self._at // 2
            if ended:
                self._rest()
        if ended:
            send(b".", PLAYED.pack(number, played))


def obey(stream: Watched | None) -> None:
    """Read what the parent wants; when it is gone, so is this process, whatever the sound system is doing."""
    pipe = sys.stdin.buffer
    while len(header := pipe.read(HEADER.size)) == HEADER.size:
        kind, length = HEADER.unpack(header)
        payload = pipe.read(length)
        if isinstance(stream, Output) and kind == b"P":
            stream.play(int.from_bytes(payload[:4], "little"), payload[4:])
        elif isinstance(stream, Output) and kind == b"H":
            stream.halt()
    os._exit(0)


def opened(sd: Any, kind: str, wanted_hz: int, name: str) -> tuple[Watched, Any]:
    """The stream, running, and what is said of it."""
    device = find(sd, kind, name)
    rate_hz, channels = rate_and_channels(sd, kind, device, wanted_hz)
    watched = (Input if kind == "input" else Output)(channels)
    make = sd.RawInputStream if kind == "input" else sd.RawOutputStream
    try:
        stream = make(
            samplerate=rate_hz,
            device=device["index"],
            channels=channels,
            dtype="int16",
            blocksize=round(watched.block_s * rate_hz),
            latency="low",
            callback=watched.block,
            finished_callback=watched.finished,
        )
        stream.start()
        watched.begins()
    except (sd.PortAudioError, ValueError) as error:
        reason = str(error.args[0]) if error.args else str(error)
        raise CannotOpen("lost", name=device["name"], reason=reason) from None
    except CannotOpen as error:
        raise CannotOpen(**{"name": device["name"], **error.document}) from None
    about = {"name": device["name"], "rate_hz": rate_hz, "channels": channels, "latency_s": float(stream.latency)}
    return watched, (about, stream)


def main() -> int:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the session ends it
    if sys.platform == "linux":
        with contextlib.suppress(OSError, AttributeError):
            ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    kind, *rest = sys.argv[1:]
    try:
        sd = binding()
        if kind == "devices":
            send(b"D", json.dumps({each: devices(sd, each) for each in ("input", "output")}).encode())
            return 0
        watched, kept = opened(sd, kind, int(rest[0]), rest[1])
    except CannotOpen as error:
        send(b"E", json.dumps(error.document).encode())
        return 1
    threading.Thread(target=obey, args=(watched,), daemon=True).start()
    send(b"R", json.dumps(kept[0]).encode())
    try:
        while True:
            watched.turn()
    except CannotOpen as error:
        send(b"F", error.document["reason"].encode())
    except OSError:
        pass  # nobody listens any more
    os._exit(0)  # closing a stream whose device has gone may take for ever


if __name__ == "__main__":
    sys.exit(main())
