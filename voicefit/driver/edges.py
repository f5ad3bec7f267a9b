"""What a command may open: the sound edges, which are the devices or a recording in their place; the recogniser; the
voice with the settings that hold now, and what stands in where there is none.

Duty: open one with what the settings and the hearing check say; speak a sentence in the user's manner, or have it
ready. It must not run anything over them, and must not play.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings
from voicefit.audio.live import LiveSound, Speak
from voicefit.audio.recorded import RecordedSound
from voicefit.dialogue import Settings
from voicefit.errors import BadInput, Missing
from voicefit.recognition import Recogniser
from voicefit.records import Sound
from voicefit.synthesis import Voice, VoiceSettings, open_voice


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


def devices(speak: Speak, settings: Settings, hearing: HearingSettings | None = None) -> LiveSound:
    """Microphone and speaker as the settings name them, judged by the hearing check that was made with them.

    Raises ``Missing`` or ``DeviceLost`` as :class:`~voicefit.audio.live.LiveSound` does.
    """
    from voicefit.audio.live import LiveSound
    from voicefit.settings import load_hearing

    if hearing is None:
        profile = load_hearing(report=lambda text: None)  # the settings beside it were loaded, and reported on, before
        hearing = HearingSettings(
            barge_in=settings.barge_in,
            tentative_after_s=TENTATIVE_AFTER_S,
            quietest_dbfs=profile.quietest_dbfs if profile.microphone == settings.microphone else None,
        )
    return LiveSound(
        speak,
        microphone=settings.microphone,
        speaker=settings.speaker,
        settings=hearing,
        tone_volume=settings.volume,
    )


def recording(
    source: Path | Iterable[NDArray[np.float32]],
    speak: Speak | None = None,
    *,
    to: Path | None = None,
    gaps: bool = True,
    tone_volume: int = 100,
    hearing: HearingSettings | None = None,
) -> RecordedSound:
    """A sound file or its blocks, heard as the devices are: with its utterances ended by their words.

    Raises ``BadAudio`` and ``BadInput`` as :class:`~voicefit.audio.recorded.RecordedSound` does.
    """
    from voicefit.audio.recorded import RecordedSound

    hearing = hearing or HearingSettings(tentative_after_s=TENTATIVE_AFTER_S)
    return RecordedSound(source, speak, to=to, gaps=gaps, settings=hearing, tone_volume=tone_volume)


def recogniser_for(settings: Settings, engine: str, model: str | None) -> Recogniser:
    """The engine, with its acceptance as the hearing check fitted it to the voice at the settings' microphone."""
    from voicefit.recognition import open_recogniser
    from voicefit.settings import load_hearing

    profile = load_hearing(report=lambda text: None)
    fitted = profile.microphone == settings.microphone
    return open_recogniser(engine, model, profile.acceptance_shift if fitted else 0.0)


def names_of(what: str, speaking: Speaking) -> list[str]:
    """What there is to choose from: the voices, or the devices (``microphone``, ``speaker``), each once."""
    from voicefit.audio.devices import devices as those_of
    from voicefit.synthesis import SupervisedVoice

    if what == "voice":
        return list(voice.voices()) if isinstance(voice := speaking.voice, SupervisedVoice) else []
    found = those_of("input" if what == "microphone" else "output")
    return list(dict.fromkeys(device.name for device in found))
