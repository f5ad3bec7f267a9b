"""The user's settings as the session knows them: frozen values and the limits they keep.

Duty: the type and its limits. It must not load or store them (that is :mod:`voicefit.settings`).
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

from voicefit.errors import BadInput

REPLIES = ("full", "short")
LISTENING = ("open", "attention", "push")
LENGTH_UNITS = ("", "in", "mm")
INSTRUMENTS = ("", "fraction", "dial", "digital")
ATTENTION_WORDS = ("hello gauge", "hello bench", "hello fitter")

_CHOICES = {
    "replies": REPLIES,
    "listening": LISTENING,
    "length_unit": LENGTH_UNITS,
    "instrument": INSTRUMENTS,
    "attention_word": ATTENTION_WORDS,
}
_LIMITS = {"words_per_minute": (80, 400), "pitch": (0, 100), "volume": (10, 100)}


@dataclass(frozen=True, slots=True)
class Settings:
    """What lasts from one session to the next.

    ``replies`` : length of replies. ``length_unit`` : unit of a length said without one; empty: no habit.
    ``instrument`` : what the caliper shows; empty: not said. ``voice``, ``microphone``, ``speaker`` : by name;
    empty: the system's own. ``volume`` : 10..100, never silent. ``listening`` : always, after the attention word,
    or while the key or pedal is down. ``barge_in`` : a headset is worn, so the user may talk over the voice.
    ``keep_speech`` : the sound of all that is said is kept beside the job, not only voice notes.
    """

    replies: str = "full"
    length_unit: str = ""
    instrument: str = ""
    voice: str = ""
    words_per_minute: int = 165
    pitch: int = 50
    volume: int = 100
    microphone: str = ""
    speaker: str = ""
    listening: str = "open"
    attention_word: str = ATTENTION_WORDS[0]
    barge_in: bool = False
    keep_speech: bool = False

    def __post_init__(self) -> None:
        for name, choices in _CHOICES.items():
            if getattr(self, name) not in choices:
                raise BadInput(f"setting {name}: {getattr(self, name)!r} is none of {', '.join(map(repr, choices))}")
        for name, (least, greatest) in _LIMITS.items():
            if not least <= getattr(self, name) <= greatest:
                raise BadInput(f"setting {name}: {getattr(self, name)} is not between {least} and {greatest}")

    @property
    def short(self) -> bool:
        return self.replies == "short"

    def changed(self, name: str, value: Any) -> Settings:
        """A copy with one setting changed. Raises ``BadInput`` for an unknown name or a bad value."""
        if name not in {field.name for field in fields(self)}:
            raise BadInput(f"there is no setting {name!r}")
        return replace(self, **{name: value})

    def stepped(self, name: str, step: int) -> Settings:
        """A copy with a number moved by ``step``, held at its limit.

        >>> Settings(volume=95).stepped("volume", 10).volume
        100
        """
        least, greatest = _LIMITS[name]
        return self.changed(name, min(max(getattr(self, name) + step, least), greatest))
