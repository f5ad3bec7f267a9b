"""The phone in the place of the sound card: blocks of its microphone in, sounds for its speaker out.

    server's thread   join, receive, played, press, leave      the phone's side
    ears and mouth    PhoneSource.read, PhoneSink.play         the session's side

Duty: stand between both, keep no sound longer than it is needed. It must not know of the network.
"""

from __future__ import annotations

import json
import queue
import threading
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.ears import HearingSettings
from voicefit.audio.live import LiveSound, Speak
from voicefit.audio.voice_activity import Detector
from voicefit.errors import DeviceLost
from voicefit.levels import DcBlocker
from voicefit.records import SAMPLE_RATE_HZ, Sound

STALL_S = 1.0  # a phone sends every 40 ms; radio has gaps that a sound card has not
PATIENCE_S = 2.0  # for the word that a sound has sounded
_WAITING = 250  # blocks, ten seconds
_POLL_S = 0.01
_LET_GO_S = 0.1  # in which the ears notice that the button was let go

Message = str | bytes


class Phone:
    """The one phone that speaks. ``pressed`` is called with the talk button's state."""

    def __init__(self) -> None:
        self.joined = threading.Event()  # once a phone has been here
        self.blocks: queue.Queue[bytes] = queue.Queue(_WAITING)
        self.pressed: Callable[[bool], None] = lambda on: None
        self._send: Callable[[Message], None] | None = None
        self._heard_at = 0.0
        self._number = self.last_played = 0

    # ---- the phone's side ---------------------------------------------------------------------------------

    def join(self, send: Callable[[Message], None]) -> None:
        self._send = send

    def receive(self, block: bytes) -> None:
        """Int16 samples, little-endian, mono, 16 kHz. What nobody takes in ten seconds is dropped."""
        self._heard_at = time.monotonic()
        if not self.blocks.full():
            self.blocks.put_nowait(block)
        self.joined.set()

    def played(self, number: int) -> None:
        self.last_played = max(self.last_played, min(number, self._number))

    def leave(self) -> None:
        self._send = None

    # ---- the session's side -------------------------------------------------------------------------------

    @property
    def is_here(self) -> bool:
        return self._send is not None

    @property
    def is_heard(self) -> bool:
        return self.is_here and time.monotonic() - self._heard_at < STALL_S

    def send(self, message: Message) -> None:
        """Raises ``DeviceLost`` when the phone has gone."""
        if self._send is None:
            raise DeviceLost("the phone", "it is out of reach")
        self._send(message)

    def begin(self, sound: Sound) -> int:
        """Send a sound to be played now; its number."""
        self._number += 1
        head = {"type": "sound", "number": self._number, "rate_hz": sound.rate_hz, "samples": len(sound.samples)}
        self.send(json.dumps(head))
        self.send(sound.samples.astype("<i2").tobytes())
        return self._number


class PhoneSource:
    """Raises ``DeviceLost`` while the phone is not heard."""

    name = "the phone"
    latency_s = 0.0

    def __init__(self, phone: Phone) -> None:
        if not phone.is_heard:
            raise DeviceLost("the phone", "it is out of reach")
        self._phone = phone
        self._dc = DcBlocker(SAMPLE_RATE_HZ)

    def read(self) -> NDArray[np.float32]:
        """The next block, waited for. Raises ``DeviceLost`` when none came for a second."""
        try:
            block = self._phone.blocks.get(timeout=STALL_S)
        except queue.Empty:
            raise DeviceLost("the phone", "it is out of reach") from None
        return self._dc(np.frombuffer(block, "<i2").astype(np.float32) / np.float32(32768))

    def close(self) -> None:
        while not self._phone.blocks.empty():
            self._phone.blocks.get_nowait()  # half a sentence from before the gap is not joined to one after it


class PhoneSink:
    """Raises ``DeviceLost`` while the phone is not here."""

    name = "the phone"

    def __init__(self, phone: Phone) -> None:
        self._phone = phone
        self.check()

    def play(self, sound: Sound, at_s: float, halt: threading.Event | None = None) -> float:
        halt = halt or threading.Event()
        number, began = self._phone.begin(sound), time.monotonic()
        lasts_s = sound.duration_s
        while self._phone.last_played < number and time.monotonic() - began < lasts_s + PATIENCE_S:
            if halt.wait(_POLL_S):
                self._phone.send('{"type":"hush"}')
                return min(lasts_s, time.monotonic() - began)
            self.check()
        return lasts_s

    def check(self) -> None:
        if not self._phone.is_here:
            raise DeviceLost("the phone's speaker", "it is out of reach")

    def close(self) -> None:
        pass


class PhoneSound(LiveSound):
    """The conversation's sound over a phone that has joined."""

    def __init__(
        self,
        speak: Speak,
        phone: Phone,
        *,
        settings: HearingSettings | None = None,
        tone_volume: int = 100,
        detector: Detector | None = None,
    ) -> None:
        super().__init__(
            speak,
            settings=settings,
            tone_volume=tone_volume,
            detector=detector,
            open_source=lambda: PhoneSource(phone),
            open_sink=lambda: PhoneSink(phone),
        )
        self._listens = True
        phone.pressed = self._press

    def listen(self, on: bool) -> None:
        self._listens = on
        super().listen(on)

    def use(self, *, microphone: str, speaker: str, barge_in: bool) -> None:
        """The phone stays both."""
        super().use(microphone="", speaker="", barge_in=barge_in)

    def _press(self, on: bool) -> None:
        """The talk button: let go, what was said is at its end at once."""
        if on:
            super().listen(True)
            return
        super().listen(False)
        if self._listens:
            timer = threading.Timer(_LET_GO_S, super().listen, (True,))
            timer.daemon = True
            timer.start()
