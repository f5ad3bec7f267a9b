"""A session without sound: lines are typed, replies are printed.

Duty: stand where microphone and speaker stand in :class:`voicefit.talking.Talk`. It must not read the lines itself.
"""

from __future__ import annotations

import time
from contextlib import AbstractContextManager, nullcontext
from typing import TYPE_CHECKING

from voicefit.audio.ears import Ended, SoundEvent
from voicefit.records import Trouble

if TYPE_CHECKING:
    from voicefit.audio.sinks import Sound
    from voicefit.talking import TypedLines

LOOK_S = 0.02


class TypedSound:
    """No sound at all. It ends with the typed lines; nobody is told that it is quiet, for nobody listens."""

    tone_volume = 0

    def __init__(self, lines: TypedLines) -> None:
        self._lines = lines
        self._start = time.monotonic()
        self._trouble: Trouble | None = None

    def next(self, timeout_s: float | None = None) -> SoundEvent | None:
        trouble, self._trouble = self._trouble, None
        if trouble is not None:
            return trouble
        if self._lines.ended:
            return Ended(self.now_s)
        time.sleep(LOOK_S if timeout_s is None else min(timeout_s, LOOK_S))
        return None

    def say(self, text: str) -> None:
        """Nothing: replies are shown."""

    def tone(self, name: str) -> None:
        """Nothing."""

    def play(self, sound: Sound) -> None:
        self._trouble = Trouble("note", "there is no speaker in a typed session", at_s=self.now_s)

    def hush(self) -> None:
        """Nothing sounds."""

    def wait(self, timeout_s: float | None = None) -> bool:
        return True

    def listen(self, on: bool) -> None:
        """Nothing listens."""

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        self._trouble = Trouble("note", "there is no microphone in a typed session", at_s=self.now_s)

    def words_are(self, *, whole: bool | None) -> None:
        """A line is at its end."""

    def use(self, *, microphone: str, speaker: str, barge_in: bool) -> None:
        """No device is used."""

    def deciding(self) -> AbstractContextManager[None]:
        return nullcontext()

    @property
    def pausing(self) -> bool:
        return True

    @property
    def now_s(self) -> float:
        return time.monotonic() - self._start

    def close(self) -> None:
        """Nothing is open."""
