"""The command ``doctor``: what a live session needs, what of it is here, and how to get the rest.

Duty: try each part for real (a device is opened, the recogniser loaded, the voice made to speak) and say so in plain
words. It must not install or change anything.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import typer
from pydantic import BaseModel

from voicefit.cli.common import DONE, JSON_OPTION, MISSING, in_words, print_json
from voicefit.errors import BadInput, Missing, VoicefitError

if TYPE_CHECKING:
    from voicefit.dialogue.settings import Settings

LISTEN_S = 0.5


class CheckDocument(BaseModel):
    """One part. ``needed``: a live session cannot do without. ``remedy``: empty where nothing is to be done."""

    part: str
    present: bool
    needed: bool
    detail: str
    remedy: str = ""


class DoctorDocument(BaseModel):
    """``ready``: nothing that a live session needs is missing."""

    ready: bool
    checks: list[CheckDocument]


@dataclass(frozen=True, slots=True)
class Component:
    """``find`` returns a detail and, where something is amiss though present, a remedy; raises ``VoicefitError``."""

    name: str
    needed: bool
    find: Callable[[], tuple[str, str]]


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit doctor --json")(doctor)


def doctor(json: bool = JSON_OPTION) -> None:
    """Say what is present and what is missing for a live session, and how to get it."""
    document = examine(parts())
    if json:
        print_json(document)
    else:
        for check in document.checks:
            print(f"{'present' if check.present else 'MISSING':9}{check.part}: {check.detail}")
            if check.remedy:
                print(f"{'':9}To do: {check.remedy}.")
        print("Ready for a live session." if document.ready else "Not ready for a live session.")
    raise typer.Exit(DONE if document.ready else MISSING)


def examine(parts: list[Component]) -> DoctorDocument:
    """Try all parts; one that fails does not stop the others."""
    checks = []
    for part in parts:
        present, remedy = False, ""
        try:
            detail, remedy = part.find()
            present = True
        except Missing as error:
            detail, remedy = f"{error.what} is missing", error.remedy
        except (VoicefitError, OSError) as error:
            detail = in_words(error) if isinstance(error, OSError) else str(error)
        checks.append(CheckDocument(part=part.name, present=present, needed=part.needed, detail=detail, remedy=remedy))
    return DoctorDocument(ready=all(check.present or not check.needed for check in checks), checks=checks)


def parts() -> list[Component]:
    """All parts, in the order in which one needs the other."""
    return [
        Component("settings", True, _settings),
        Component("recogniser", True, _recogniser),
        Component("voice detector", True, _detector),
        Component("voice", True, _voice),
        Component("PortAudio", True, _portaudio),
        Component("microphone", True, _microphone),
        Component("speaker", True, _speaker),
        Component("second recogniser", False, _second_recogniser),
        Component("journal", True, _journal),
        Component("the phone's page", False, _page),
    ]


def _stored() -> Settings:
    from voicefit.settings import load_settings

    try:
        return load_settings(report=lambda text: None)
    except VoicefitError:
        from voicefit.dialogue.settings import Settings

        return Settings()  # what is wrong with the file is told once, by its own check


def _settings() -> tuple[str, str]:
    from voicefit.settings import load_hearing, load_settings, settings_file

    odd: list[str] = []
    load_settings(report=odd.append)
    profile = load_hearing(report=lambda text: None)
    path = settings_file()
    remedy = "; ".join(odd)
    if profile.asked == 0:
        remedy = "; ".join(filter(None, [remedy, "run voicefit check-hearing once with your own voice"]))
    return (str(path) if path.exists() else f"none stored yet ({path})"), remedy


def _recogniser() -> tuple[str, str]:
    from voicefit.recognition import open_recogniser

    began = time.perf_counter()
    engine = open_recogniser()
    return f"{engine.name}, loaded in {time.perf_counter() - began:.1f} s", ""


def _second_recogniser() -> tuple[str, str]:
    import importlib.util

    if importlib.util.find_spec("vosk") is None:
        raise Missing("vosk (a session does without)", "pip install 'voicefit[vosk]', and name a model folder")
    return "vosk is installed; it needs a model folder (--engine vosk --model FOLDER)", ""


def _detector() -> tuple[str, str]:
    from voicefit.audio.voice_activity import NeuralDetector

    NeuralDetector()
    return "finds speech in noise", ""


def _voice() -> tuple[str, str]:
    from voicefit.synthesis import VoiceSettings, open_voice

    with open_voice() as voice:
        speech = voice.speak("Ready.", VoiceSettings(name=_stored().voice))
        if len(speech.samples) == 0:
            raise Missing(f"sound from the voice {voice.name}", "install voicefit again")
        return voice.name, ""


def _portaudio() -> tuple[str, str]:
    from voicefit.audio.devices import devices

    inputs, outputs = (len({device.name for device in devices(kind)}) for kind in ("input", "output"))
    return f"sees {inputs} to record with and {outputs} to play on", ""


def _microphone() -> tuple[str, str]:
    import numpy as np

    from voicefit.audio.devices import Microphone
    from voicefit.levels import dbfs
    from voicefit.records import SAMPLE_RATE_HZ

    microphone = Microphone(_stored().microphone)
    try:
        blocks: list[np.ndarray] = []
        while sum(map(len, blocks)) < LISTEN_S * SAMPLE_RATE_HZ:
            blocks.append(microphone.read())
    finally:
        microphone.close()
    sound = np.concatenate(blocks)
    if not np.any(sound):
        return f"{microphone.name}, silent", "it delivers nothing but silence: see whether it is muted"
    return f"{microphone.name}, room at {dbfs(sound):.0f} dBFS", ""


def _speaker() -> tuple[str, str]:
    from voicefit.audio.devices import Speaker
    from voicefit.audio.tones import tone

    speaker = Speaker(_stored().speaker)
    try:
        speaker.play(tone("heard", _stored().volume), 0.0)
    finally:
        speaker.close()
    return f"{speaker.name}, played a tone", ""


def _journal() -> tuple[str, str]:
    import shutil

    from voicefit.journal.store import default_folder

    folder = default_folder()
    there = next(place for place in (folder, *folder.parents) if place.exists())
    if not os.access(there, os.W_OK):
        raise BadInput(f"{folder}: you may not write there")
    free_mb = shutil.disk_usage(there).free // 1_000_000
    return f"{folder}, {free_mb} MB free", "make room on the disk" if free_mb < 100 else ""


def _page() -> tuple[str, str]:
    try:
        import voicefit.phone.hosting  # noqa: F401  # whether it can be imported is all that is asked
    except ImportError:
        raise Missing("its server (a session does without)", "pip install 'voicefit[phone]'") from None
    return "can be served: voicefit talk --phone, or --glance", ""
