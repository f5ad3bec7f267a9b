"""What every voice offers. Voices are looked up by name in :mod:`voicefit.synthesis`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from voicefit.records import Sound


@dataclass(frozen=True, slots=True)
class VoiceSettings:
    """``words_per_minute`` 80..400, ``pitch`` 0..100, ``volume`` 0..100, ``name`` of a voice or empty."""

    words_per_minute: int = 165
    pitch: int = 50
    volume: int = 100
    name: str = ""


class Voice(Protocol):
    name: str

    def speak(self, text: str, settings: VoiceSettings) -> Sound:
        """The whole sentence as sound. ``text`` is words only. Raises ``Missing`` when the engine died."""

    def close(self) -> None:
        """Give back the engine."""
