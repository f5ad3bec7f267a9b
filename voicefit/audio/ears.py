"""Listening: microphone to utterances, on a thread of its own.

Duty: read, cut into utterances, hold back while the tool itself speaks, tell of silence and of a lost device, and take
the device up again when it is back. It must not recognise, and it must not speak.
"""

from __future__ import annotations

import contextlib
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from voicefit.audio.endpointing import Endpointer, EndpointSettings
from voicefit.audio.events import BargedIn, Recorded, SoundEvent, Tentative
from voicefit.audio.voice_activity import Detector
from voicefit.errors import DeviceLost, Missing
from voicefit.records import SAMPLE_RATE_HZ, Quiet, Reason, Refused, Rejection, Trouble, Utterance

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RETRY_S = 0.8
TENTATIVE_AFTER_S = (0.06, 0.22)  # the second for what was not whole at the first


class SoundSource(Protocol):
    name: str

    @property
    def latency_s(self) -> float: ...
    def read(self) -> NDArray[np.float32]:
        """The next block, waited for. Raises ``DeviceLost``."""

    def close(self) -> None: ...


class OwnVoice(Protocol):
    """What the ears must know of the mouth."""

    @property
    def speaking(self) -> bool: ...
    def hush(self) -> None: ...


@dataclass(frozen=True, slots=True)
class HearingSettings:
    """``barge_in`` : listen while speaking; only with a headset, else the tool would hear itself.

    ``quiet_after_s`` : silence is told after so long, and again after each further span of it.
    ``tentative_after_s`` : so far into a pause a ``Tentative`` comes, ahead of the utterance (a session takes
    ``TENTATIVE_AFTER_S``); empty: never.
    ``quietest_dbfs`` : speech below it is somebody else's, by a hearing check of the user's own voice.
    """

    endpoint: EndpointSettings = field(default_factory=EndpointSettings)
    barge_in: bool = False
    quiet_after_s: float = 10.0
    tentative_after_s: tuple[float, ...] = ()
    quietest_dbfs: float | None = None


class Hearing:
    """One stream's way from blocks to events; the clock is the stream itself."""

    def __init__(self, settings: HearingSettings, detector: Detector | None = None) -> None:
        self.settings = settings
        self.endpointer = Endpointer(settings.endpoint, detector)
        self._recording = False
        self._guessed = 0  # in this pause
        self._quiet_from_s = 0.0
        self._quiet_told = 0

    def block(self, samples: NDArray[np.float32]) -> list[SoundEvent]:
        events: list[SoundEvent] = [self._named(utterance) for utterance in self.endpointer.feed(samples)]
        events += self._tentative()
        return events + self._quiet(bool(events) or self.endpointer.speaking)

    def _tentative(self) -> list[SoundEvent]:
        pause_s = self.endpointer.pause_s
        due = 0 if self._recording else sum(pause_s >= after_s for after_s in self.settings.tentative_after_s)
        before, self._guessed = self._guessed, due
        utterance = self.endpointer.so_far() if due > before else None
        return [] if utterance is None else [Tentative(utterance)]

    def miss(self, seconds: float) -> None:
        """Time that was not listened to."""
        self.endpointer.skip(round(seconds * SAMPLE_RATE_HZ))
        self._quiet(True)

    def flush(self) -> list[SoundEvent]:
        return [self._named(utterance) for utterance in self.endpointer.flush()]

    def record(self, longest_s: float, silence_s: float) -> None:
        """The next utterance is a recording: longer, with pauses in it."""
        self._recording = True
        self.endpointer.use(replace(self.settings.endpoint, longest_s=longest_s, hang_over_s=silence_s))

    def _named(self, utterance: Utterance) -> Utterance | Refused | Recorded:
        if self._recording:
            self._recording = False
            self.endpointer.use(self.settings.endpoint)
            return Recorded(utterance)
        quietest, level = self.settings.quietest_dbfs, utterance.level_dbfs
        if utterance.cut:
            return Refused(Rejection("", Reason.TOO_LONG), at_s=self.endpointer.now_s)
        if quietest is not None and level is not None and level < quietest:
            return Refused(Rejection("", Reason.TOO_QUIET, f"{level:.0f} dBFS"), at_s=self.endpointer.now_s)
        return utterance

    def _quiet(self, sound: bool) -> list[SoundEvent]:
        now_s = self.endpointer.now_s
        if sound:
            self._quiet_from_s, self._quiet_told = now_s, 0
            return []
        spans = int((now_s - self._quiet_from_s) / self.settings.quiet_after_s)
        if spans <= self._quiet_told:
            return []
        self._quiet_told = spans
        return [Quiet(spans * self.settings.quiet_after_s, at_s=now_s)]


class Ears:
    """Runs until closed. ``emit`` gets every event, on the ears' thread.

    ``open_source`` opens the microphone (``Missing`` or ``DeviceLost`` where it cannot). The first opening
    happens in the constructor, and its errors are the caller's.
    """

    def __init__(
        self,
        open_source: Callable[[], SoundSource],
        emit: Callable[[SoundEvent], None],
        own_voice: OwnVoice,
        *,
        settings: HearingSettings | None = None,
        detector: Detector | None = None,
    ) -> None:
        self._open_source = open_source
        self._emit = emit
        self._own_voice = own_voice
        self._settings = settings or HearingSettings()
        self._hearing = Hearing(self._settings, detector)
        self._closed = threading.Event()
        self._open = threading.Event()  # set while listening
        self._open.set()
        self.barge_in = self._settings.barge_in
        self._asked: queue.SimpleQueue[Callable[[], None]] = queue.SimpleQueue()  # done on the thread
        self._source: SoundSource | None = open_source()
        self._thread = threading.Thread(target=self._run, name="ears", daemon=True)
        self._thread.start()

    # ---- from other threads -----------------------------------------------------------------------------

    def listen(self, on: bool) -> None:
        """Push-to-talk: ``False`` ends an utterance at once and stops listening, ``True`` listens."""
        if on:
            self._open.set()
        else:
            self._open.clear()

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        """What is said next comes as ``Recorded``, pauses up to ``silence_s`` and all."""
        self._asked.put(lambda: self._hearing.record(longest_s, silence_s))

    def reopen(self) -> None:
        """The microphone may be another one now: let go of this one and open it; where it cannot, as when lost."""
        self._asked.put(self._reopen)

    def words_are(self, *, whole: bool | None) -> None:
        """By its words what is being said is at its end, goes on, or may do either: wait less for the rest, longer,
        or as usual."""
        self._hearing.endpointer.words_are(whole=whole)

    @property
    def pausing(self) -> bool:
        """Whether nobody is speaking at this moment."""
        return not self._hearing.endpointer.speaking or self._hearing.endpointer.pause_s > 0

    def close(self) -> None:
        self._closed.set()
        self._thread.join(timeout=5.0)

    # ---- the thread -------------------------------------------------------------------------------------

    def _run(self) -> None:
        was_open = True
        while not self._closed.is_set():
            try:
                while not self._asked.empty():
                    self._asked.get()()
                assert self._source is not None
                block = self._source.read()
            except (DeviceLost, Missing) as error:
                self._regain(error)
                continue
            if len(block) == 0:
                continue
            is_open = self._open.is_set()
            if was_open and not is_open:
                self._tell(self._hearing.flush())
            was_open = is_open
            seconds = len(block) / SAMPLE_RATE_HZ
            if not is_open or (self._own_voice.speaking and not self.barge_in):
                self._hearing.miss(seconds)
                continue
            silent_before = not self._hearing.endpointer.stirring
            self._tell(self._hearing.block(block))
            if silent_before and self._hearing.endpointer.stirring and self._own_voice.speaking:
                self._own_voice.hush()
                self._emit(BargedIn(self._hearing.endpointer.now_s))
        if self._source is not None:
            self._source.close()

    def _tell(self, events: list[SoundEvent]) -> None:
        for event in events:
            self._emit(event)

    def _reopen(self) -> None:
        self._tell(self._hearing.flush())
        if self._source is not None:
            self._source.close()
            self._source = None
        self._source = self._open_source()

    def _regain(self, error: DeviceLost | Missing) -> None:
        """Tell of the loss, then try until the device is there again."""
        hearing = self._hearing
        self._tell(hearing.flush())  # what was half said is not lost
        self._emit(Trouble("microphone", str(error), at_s=hearing.endpointer.now_s))
        if self._source is not None:
            self._source.close()
            self._source = None
        while not self._closed.wait(RETRY_S):
            hearing.miss(RETRY_S)
            with contextlib.suppress(DeviceLost, Missing):
                self._source = self._open_source()
                self._emit(Trouble("microphone", self._source.name, back=True, at_s=hearing.endpointer.now_s))
                return
