"""The sound edges that a command may ask for: the devices, or a recording in their place.

Duty: open one with what the settings and the hearing check say. It must not run anything over it.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from voicefit.audio.live import LiveSound, Speak
    from voicefit.audio.recorded import RecordedSound
    from voicefit.dialogue import Settings
    from voicefit.driver.speaking import Speaking
    from voicefit.recognition import Recogniser


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
