"""A conversation's sound from a recording, on the session's own clock, as fast as the machine can.

Duty: the same as :class:`voicefit.audio.live.LiveSound`, without devices, threads or waiting.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from voicefit.audio.ears import Hearing, HearingSettings
from voicefit.audio.events import Ended, Recorded, SoundEvent, Tentative
from voicefit.audio.files import audio_blocks
from voicefit.audio.live import ConversationSound, Speak
from voicefit.audio.sinks import NullSink, Sink, WavSink
from voicefit.audio.tones import tone
from voicefit.audio.voice_activity import Detector
from voicefit.errors import BadInput, Missing
from voicefit.records import SAMPLE_RATE_HZ, Sound, Trouble, Utterance

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_BLOCK = 320  # samples, 20 ms


class RecordedSound(ConversationSound):
    """A recording in, a WAV out (or nothing), without devices and without waiting.

    While a reply is spoken the recording stands still, as a polite speaker would: session time is the recording's time
    plus that of the replies, and each reply lies in the output where it was spoken. Without ``speak`` nothing is spoken
    and no time passes for it; without ``gaps`` the output holds the sounds alone, one after the other. Raises
    ``BadAudio`` for a recording that cannot be used, ``BadInput`` for an output that cannot be written.
    """

    def __init__(
        self,
        source: str | Path | Iterable[NDArray[np.float32]],
        speak: Speak | None = None,
        *,
        to: str | Path | None = None,
        gaps: bool = True,
        settings: HearingSettings | None = None,
        tone_volume: int = 100,
        detector: Detector | None = None,
    ) -> None:
        self._hearing = Hearing(settings or HearingSettings(), detector)
        self._blocks: Iterator[NDArray[np.float32]] = _small(
            audio_blocks(source) if isinstance(source, str | Path) else source
        )
        self._first: NDArray[np.float32] | None = next(self._blocks, None)  # a bad file is told now
        self._sink: Sink = WavSink(to, gaps=gaps) if to is not None else NullSink()
        self._speak = speak
        self._spoken_s = 0.0
        self._listening = True
        self._events: deque[SoundEvent] = deque()
        self._voice_is_gone = False
        self._ended = False
        self.tone_volume = tone_volume

    def next(self, timeout_s: float | None = None) -> SoundEvent | None:
        """The next event; the timeout is in the session's seconds."""
        until_s = float("inf") if timeout_s is None else self.now_s + timeout_s
        while not self._events:
            if self._ended:
                return Ended(self.now_s)
            if self.now_s >= until_s:
                return None
            block = self._first if self._first is not None else next(self._blocks, None)
            self._first = None
            if block is None:
                self._ended = True
                self._add(self._hearing.flush())
            elif self._listening:
                self._add(self._hearing.block(block))
            else:
                self._hearing.miss(len(block) / SAMPLE_RATE_HZ)
        return self._events.popleft()

    def _add(self, events: list[SoundEvent]) -> None:
        for event in events:
            if isinstance(event, Utterance):
                event = replace(event, start_s=event.start_s + self._spoken_s)
            elif isinstance(event, Recorded | Tentative):
                moved = replace(event.utterance, start_s=event.utterance.start_s + self._spoken_s)
                event = replace(event, utterance=moved)
            else:
                event = replace(event, at_s=event.at_s + self._spoken_s)
            self._events.append(event)

    def say(self, text: str) -> None:
        if self._speak is None:
            return
        try:
            sound = self._speak(text)
        except (Missing, BadInput) as error:
            if not self._voice_is_gone:
                self._voice_is_gone = True
                self._events.append(Trouble("voice", str(error), at_s=self.now_s))
            return
        if self._voice_is_gone:
            self._voice_is_gone = False
            self._events.append(Trouble("voice", back=True, at_s=self.now_s))
        self.play(sound)

    def tone(self, name: str) -> None:
        self.play(tone(name, self.tone_volume))

    def play(self, sound: Sound) -> None:
        self._spoken_s += self._sink.play(sound, self.now_s)

    def wait(self, timeout_s: float | None = None) -> bool:
        return True

    def listen(self, on: bool) -> None:
        if self._listening and not on:
            self._add(self._hearing.flush())
        self._listening = on

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        self._hearing.record(longest_s, silence_s)

    def words_are(self, *, whole: bool | None) -> None:
        self._hearing.endpointer.words_are(whole=whole)

    def deciding(self) -> AbstractContextManager[None]:
        return nullcontext()  # the recording stands still meanwhile

    @property
    def pausing(self) -> bool:
        return True  # the recording stands still meanwhile

    @property
    def now_s(self) -> float:
        return self._hearing.endpointer.now_s + self._spoken_s

    def close(self) -> None:
        if isinstance(self._sink, WavSink):
            self._sink.end_at(self.now_s)
        self._sink.close()


def _small(blocks: Iterable[NDArray[np.float32]]) -> Iterator[NDArray[np.float32]]:
    """Blocks of 20 ms, so that a reply comes right after the utterance it answers."""
    for block in blocks:
        for start in range(0, len(block), _BLOCK):
            yield block[start : start + _BLOCK]
