"""Voices behind one protocol, each engine in a supervised child process.

How it works. An engine runs in a child process that is given a text on its input and writes sound on its output
(``worker_espeak``, ``worker_platform``). The parent waits so long as the text may take, kills a child that hangs or
dies, starts another and says the text once more (``supervised``).

Duty: words in, sound out. It must not play the sound, nor choose the words; text is never taken as markup.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from voicefit.errors import BadInput, Missing
from voicefit.synthesis.protocol import Voice, VoiceSettings
from voicefit.synthesis.supervised import SupervisedVoice

_HERE = Path(__file__).resolve().parent


def _espeak() -> SupervisedVoice:
    remedy = "install the package espeakng-loader"
    try:
        import espeakng_loader
    except ImportError:
        raise Missing("the voice espeak", remedy) from None
    library, data = espeakng_loader.get_library_path(), espeakng_loader.get_data_path()
    worker = str(_HERE / "worker_espeak.py")
    return SupervisedVoice("espeak", (sys.executable, "-I", worker, library, data), remedy=remedy)


def _platform() -> SupervisedVoice:
    # The platform's engine writes a whole sentence before it gives any of it away, so it gets more time.
    worker = str(_HERE / "worker_platform.py")
    remedy = "install a voice in the system's speech settings"
    return SupervisedVoice("platform", (sys.executable, "-I", worker), silence_s=5.0, remedy=remedy)


VOICES: dict[str, Callable[[], SupervisedVoice]] = {"espeak": _espeak, "platform": _platform}
DEFAULT = "platform" if sys.platform in ("win32", "darwin") else "espeak"


def open_voice(name: str | None = None) -> SupervisedVoice:
    """The voice of that name (default: espeak; the platform's own on Windows and macOS, espeak where that fails).

    Raises ``Missing`` when it cannot be started, ``BadInput`` for an unknown name. A caller without a voice prints.
    """
    if name is None:
        if DEFAULT != "espeak":
            try:
                return VOICES[DEFAULT]()
            except Missing:
                pass  # a machine without a platform voice still has the bundled one
        return VOICES["espeak"]()
    if name not in VOICES:
        raise BadInput(f"there is no voice engine named {name}; choose from {', '.join(VOICES)}")
    return VOICES[name]()


__all__ = ["DEFAULT", "VOICES", "SupervisedVoice", "Voice", "VoiceSettings", "open_voice"]
