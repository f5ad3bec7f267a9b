"""Sound devices by name. The only file that imports PortAudio's binding, and only when a device is wanted.

Duty: list devices, find one by name, open streams, read the list anew when something was plugged in or out. A device is
named, never numbered: its number changes when another one comes or goes.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, Protocol

from voicefit.errors import DeviceLost, Missing

Kind = Literal["input", "output"]
_WORDS: dict[Kind, str] = {"input": "microphone", "output": "speaker"}
BLOCK_S = 0.02


@dataclass(frozen=True, slots=True)
class Device:
    name: str
    index: int
    channels: int
    rate_hz: int  # the device's own
    is_default: bool = False


class Stream(Protocol):
    """What is used of a PortAudio stream."""

    @property
    def active(self) -> bool: ...
    @property
    def latency(self) -> float: ...
    def start(self) -> None: ...
    def abort(self) -> None: ...
    def close(self) -> None: ...


class Suspendable(Protocol):
    """Whatever holds a stream open; closed and opened again around a fresh look at the devices."""

    def suspend(self) -> None: ...
    def resume(self) -> None: ...


class Host:
    """PortAudio, as far as it is needed. Raises ``Missing`` where the library is not installed.

    ``busy`` : held while sound is being played, so that nobody closes the devices meanwhile.
    """

    def __init__(self) -> None:
        os.environ.setdefault("JACK_NO_START_SERVER", "1")  # looking for devices must not start a sound server
        _hush_alsa()
        try:
            import sounddevice
        except (ImportError, OSError) as error:
            raise Missing(
                "PortAudio", f"install it: on Debian and Ubuntu, sudo apt-get install libportaudio2 ({error})"
            ) from None
        self._sd: Any = sounddevice
        self.busy = threading.RLock()
        self._holders: list[Suspendable] = []

    def devices(self, kind: Kind) -> tuple[Device, ...]:
        """All devices of a kind, the default one first."""
        channels = f"max_{kind}_channels"
        default = self._default_index(kind)
        found = [
            Device(
                str(entry["name"]),
                index,
                int(entry[channels]),
                round(entry["default_samplerate"]),
                index == default,
            )
            for index, entry in enumerate(self._sd.query_devices())
            if entry[channels] > 0
        ]
        return tuple(sorted(found, key=lambda device: not device.is_default))

    def find(self, kind: Kind, name: str = "") -> Device:
        """The default device, or the one so named: in full, else as a part of one's name. Raises ``Missing``."""
        found = self.devices(kind)
        if not found:
            raise Missing(f"a {_WORDS[kind]}", "plug one in, and check that the system's sound settings show it")
        if not name:
            return found[0]
        wanted = name.casefold()
        for device in found:
            if device.name.casefold() == wanted:
                return device
        for device in found:
            if wanted in device.name.casefold():
                return device
        there = ", ".join(dict.fromkeys(device.name for device in found))
        raise Missing(f"the {_WORDS[kind]} {name}", f"plug it in, or choose one of these: {there}")

    def open(
        self,
        kind: Kind,
        device: Device,
        rate_hz: int,
        channels: int,
        callback: Callable[..., None],
        finished: Callable[[], None],
    ) -> Stream:
        """An int16 stream in blocks of 20 ms, running. Raises ``DeviceLost`` where it cannot be opened."""
        kind_of_stream = self._sd.RawInputStream if kind == "input" else self._sd.RawOutputStream
        try:
            stream: Stream = kind_of_stream(
                samplerate=rate_hz,
                device=device.index,
                channels=channels,
                dtype="int16",
                blocksize=round(BLOCK_S * rate_hz),
                latency="low",
                callback=callback,
                finished_callback=finished,
            )
            stream.start()
        except (self._sd.PortAudioError, ValueError) as error:
            raise DeviceLost(f"the {_WORDS[kind]} {device.name}", _plain(error)) from None
        return stream

    def accepts(self, kind: Kind, device: Device, rate_hz: int, channels: int) -> bool:
        check = self._sd.check_input_settings if kind == "input" else self._sd.check_output_settings
        try:
            check(device=device.index, channels=channels, dtype="int16", samplerate=rate_hz)
        except (self._sd.PortAudioError, ValueError):
            return False
        return True

    def rate_and_channels(self, kind: Kind, device: Device, wanted_hz: int) -> tuple[int, int]:
        """The wanted rate where the device takes it, else its own; mono where it takes that, else two channels."""
        for rate_hz in (wanted_hz, device.rate_hz):
            for channels in (1, 2):
                if self.accepts(kind, device, rate_hz, channels):
                    return rate_hz, channels
        reason = f"it takes neither {wanted_hz} nor {device.rate_hz} Hz"
        raise DeviceLost(f"the {_WORDS[kind]} {device.name}", reason)

    # ---- coming and going -------------------------------------------------------------------------------

    def hold(self, holder: Suspendable) -> None:
        self._holders.append(holder)

    def release(self, holder: Suspendable) -> None:
        with contextlib.suppress(ValueError):
            self._holders.remove(holder)

    def refresh(self) -> None:
        """Look at the devices anew. PortAudio does so only when it starts, so all streams are closed meanwhile."""
        with self.busy:
            for holder in self._holders:
                holder.suspend()
            with contextlib.suppress(self._sd.PortAudioError):
                self._sd._terminate()
            self._sd._initialize()
            for holder in self._holders:
                holder.resume()

    def _default_index(self, kind: Kind) -> int:
        try:
            return int(self._sd.default.device[0 if kind == "input" else 1])
        except (self._sd.PortAudioError, ValueError, TypeError):
            return -1


def close_stream(stream: Stream | None) -> None:
    """Close, whatever state the device is in: one that is gone fails in as many ways as there are drivers."""
    if stream is not None:
        for step in (stream.abort, stream.close):
            with contextlib.suppress(Exception):
                step()


def _plain(error: Exception) -> str:
    return str(error.args[0]) if error.args else str(error)


_ALSA_HANDLER = ctypes.CFUNCTYPE(None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p)
_SILENT = _ALSA_HANDLER(lambda *_: None)  # kept alive: the library holds only its address


def _hush_alsa() -> None:
    """ALSA writes a page of messages while PortAudio tries every device; they mean nothing to the person."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libasound.so.2").snd_lib_error_set_handler(_SILENT)
