"""A conversation's sound in one piece: events in, sentences and tones out; from microphone and speaker.

Duty: join ears and mouth. :mod:`voicefit.audio.recorded` does the same for a recording. Both are used alike:

    with closing(LiveSound(speak)) as sound:
        while not isinstance(event := sound.next(), Ended):
            ...                             # Utterance, Tentative, Refused, Recorded, BargedIn, Quiet, Trouble
            sound.say("Is that inside the nut?")

Neither recognises, and neither chooses words.
"""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from typing import Protocol

from voicefit.audio.ears import Ears, HearingSettings, SoundSource
from voicefit.audio.events import BargedIn, SoundEvent
from voicefit.audio.mouth import CheckedSink, Mouth
from voicefit.audio.tones import tone
from voicefit.audio.voice_activity import Detector
from voicefit.records import Quiet, Refused, Sound, Trouble

Speak = Callable[[str], Sound]
HEARD_AFTER_S = 0.2  # a reply within the pause that people leave each other needs no tone before it


class ConversationSound(Protocol):
    """What the loop uses. ``tone_volume`` : 0..100, from the next tone on.

    An edge that derives from it inherits methods that do nothing, and need name only those that mean something there.
    """

    tone_volume: int

    def next(self, timeout_s: float | None = None) -> SoundEvent | None:
        """The next event, waited for; ``None`` when the time ran out. After the end of a recording always ``Ended``."""

    def say(self, text: str) -> None:
        """Speak a sentence after those before it; returns at once."""
        return

    def tone(self, name: str) -> None:
        return

    def play(self, sound: Sound) -> None:
        """Play a ready sound (a note). Raises ``Missing`` where nothing can sound."""

    def hush(self) -> None:
        """Stop what sounds and forget what waits."""
        return

    def wait(self, timeout_s: float | None = None) -> bool:
        """Until all has sounded; ``False`` when the time ran out."""

    def listen(self, on: bool) -> None:
        return

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        """What is said next comes as ``Recorded``. Raises ``Missing`` where nothing can be recorded."""

    def words_are(self, *, whole: bool | None) -> None:
        """By its words what is being said is at its end, goes on, or may do either: wait less for the rest, longer,
        or as usual."""
        return

    def deciding(self) -> AbstractContextManager[None]:
        """While it is being decided what was heard: where that takes long enough to be felt, "heard" sounds."""

    def use(self, *, microphone: str, speaker: str, barge_in: bool) -> None:
        """Other devices, by name or the defaults, and whether replies may be talked over, from now on."""
        return

    @property
    def pausing(self) -> bool:
        """Whether nobody is speaking at this moment."""

    @property
    def now_s(self) -> float: ...
    def close(self) -> None:
        return


class LiveSound:
    """Microphone and speaker, by name or the system's defaults.

    Raises ``Missing`` without PortAudio or a microphone, ``DeviceLost`` when the microphone cannot be opened. Without a
    speaker a ``Trouble`` is the first event, and the conversation goes on in print. ``open_source`` and ``open_sink``
    stand in for the devices in tests.
    """

    def __init__(
        self,
        speak: Speak,
        *,
        microphone: str = "",
        speaker: str = "",
        settings: HearingSettings | None = None,
        tone_volume: int = 100,
        detector: Detector | None = None,
        open_source: Callable[[], SoundSource] | None = None,
        open_sink: Callable[[], CheckedSink] | None = None,
    ) -> None:
        self._events: queue.SimpleQueue[SoundEvent] = queue.SimpleQueue()
        self._began = time.monotonic()
        self.tone_volume = tone_volume
        self._microphone, self._speaker = microphone, speaker
        if open_source is None or open_sink is None:
            from voicefit.audio.devices import Microphone, Speaker

            open_source = open_source or (lambda: Microphone(self._microphone))
            open_sink = open_sink or (lambda: Speaker(self._speaker))
        self._mouth = Mouth(open_sink, speak, self._emit)
        try:
            self._ears = Ears(open_source, self._emit, self._mouth, settings=settings, detector=detector)
        except BaseException:
            self._mouth.close()
            raise

    def _emit(self, event: SoundEvent) -> None:
        if isinstance(event, Trouble | Quiet | Refused | BargedIn):
            event = replace(event, at_s=self.now_s)
        self._events.put(event)

    def put(self, event: SoundEvent) -> None:
        """An event from elsewhere, a line typed beside the microphone, takes its place among the others."""
        self._events.put(event)

    def next(self, timeout_s: float | None = None) -> SoundEvent | None:
        try:
            return self._events.get(timeout=timeout_s)
        except queue.Empty:
            return None

    def say(self, text: str) -> None:
        self._mouth.say(text)

    def tone(self, name: str) -> None:
        self._mouth.say(tone(name, self.tone_volume))

    def play(self, sound: Sound) -> None:
        self._mouth.say(sound)

    def hush(self) -> None:
        self._mouth.hush()

    def wait(self, timeout_s: float | None = None) -> bool:
        return self._mouth.wait(timeout_s)

    def listen(self, on: bool) -> None:
        self._ears.listen(on)

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        self._ears.record(longest_s, silence_s)

    def words_are(self, *, whole: bool | None) -> None:
        self._ears.words_are(whole=whole)

    def use(self, *, microphone: str, speaker: str, barge_in: bool) -> None:
        self._ears.barge_in = barge_in
        before, self._microphone, self._speaker = (self._microphone, self._speaker), microphone, speaker
        if microphone != before[0]:
            self._ears.reopen()
        if speaker != before[1]:
            self._mouth.reopen()

    @contextmanager
    def deciding(self) -> Iterator[None]:
        """The tone is stopped by the first sentence after it, so that it never delays a reply."""
        timer = threading.Timer(HEARD_AFTER_S, self._mouth.say, (tone("heard", self.tone_volume),), {"gives_way": True})
        timer.daemon = True
        timer.start()
        try:
            yield
        finally:
            timer.cancel()

    @property
    def pausing(self) -> bool:
        return self._ears.pausing

    @property
    def now_s(self) -> float:
        return time.monotonic() - self._began

    def close(self) -> None:
        self._ears.close()
        self._mouth.close()
