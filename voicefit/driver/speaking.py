"""The voice with the settings that hold now, and what stands in where there is none.

Duty: speak a sentence in the user's manner, or have it ready. It must not play it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from voicefit.errors import BadInput, Missing
from voicefit.synthesis import VoiceSettings, open_voice

if TYPE_CHECKING:
    from voicefit.dialogue import Settings
    from voicefit.records import Sound
    from voicefit.synthesis import Voice


class Speaking:
    """What the sound edge calls for each sentence."""

    def __init__(self, voice: Voice, settings: Settings) -> None:
        self.voice, self.settings = voice, settings
        self._ready: tuple[str, VoiceSettings, Sound] | None = None

    def __call__(self, text: str) -> Sound:
        ready = self._ready
        return ready[2] if ready is not None and ready[:2] == (text, self._manner) else self._speak(text)

    def prepare(self, text: str) -> None:
        """Speak it in silence: it is soon to be heard. A voice that cannot is told of when it is its turn."""
        with contextlib.suppress(Missing, BadInput):
            self._ready = (text, self._manner, self._speak(text))

    def _speak(self, text: str) -> Sound:
        return self.voice.speak(text, self._manner)

    @property
    def _manner(self) -> VoiceSettings:
        s = self.settings
        return VoiceSettings(s.words_per_minute, s.pitch, s.volume, s.voice)


class NoVoice:
    """Stands in where no voice can be had: replies are printed, and the session is told."""

    name = "none"

    def __init__(self, error: Exception) -> None:
        self._error = error

    def speak(self, text: str, settings: VoiceSettings) -> Sound:
        raise self._error

    def close(self) -> None:
        pass


@contextlib.contextmanager
def speaking(settings: Settings, tell: Callable[[str], None]) -> Iterator[Speaking]:
    """The machine's best voice; where there is none, ``tell`` is told and every sentence raises ``Missing``."""
    try:
        voice: Voice = open_voice(None)
    except Missing as error:
        tell(f"{error}. Replies are printed.")
        voice = NoVoice(error)
    try:
        yield Speaking(voice, settings)
    finally:
        voice.close()
