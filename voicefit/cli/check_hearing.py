"""The command ``check-hearing``: how well the user is heard, and what to change.

Duty: options in, the document out; keep what was measured. The check itself is the driver's.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say

if TYPE_CHECKING:
    from voicefit.driver.hearing_check import HearingDocument


def register(app: typer.Typer) -> None:
    app.command("check-hearing", epilog="Example: voicefit check-hearing")(check_hearing)


def check_hearing(
    source: Path | None = typer.Option(None, "--from", help="A recording of the ten phrases, instead of a microphone."),
    keep: bool = typer.Option(True, help="Keep what was measured for later sessions."),
    json: bool = JSON_OPTION,
) -> None:
    """Read ten phrases aloud: how many are heard right, how loud you and the room are, and what to change."""
    from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings
    from voicefit.driver import edges, open_knowledge
    from voicefit.driver.hearing_check import PATIENCE_S, HearingCheck
    from voicefit.driver.loop import drive
    from voicefit.driver.speaking import speaking
    from voicefit.recognition import open_recogniser
    from voicefit.settings import load_settings, save_hearing

    with errors_as_exit_codes():
        settings = load_settings()
        hearing = HearingSettings(quiet_after_s=PATIENCE_S, tentative_after_s=TENTATIVE_AFTER_S)
        with speaking(settings, lambda text: say(f"voicefit: {text}")) as speak:
            opened = (
                edges.devices(speak, settings, hearing)
                if source is None
                else edges.recording(source, speak, hearing=hearing, tone_volume=settings.volume)
            )
            with contextlib.closing(opened) as sound:
                if source is None:
                    say("Read each phrase aloud after it is spoken.")
                check = HearingCheck(open_knowledge().language, sound, say)
                drive(check, sound, open_recogniser(), speak.prepare)
                document, profile = check.result(settings.microphone if source is None else source.name)
                if keep and source is None and profile.asked:
                    save_hearing(profile)
                    document.stored = True
                if json:
                    print_json(document)
                else:
                    _show(document)
                sound.say(" ".join([f"{document.right} of {document.asked} heard right.", *document.advice]))
                sound.wait(60.0)
        raise typer.Exit(DONE if document.right else NOTHING)


def _show(document: HearingDocument) -> None:
    for item in document.phrases:
        reason = f" ({item.reason})" if item.reason else ""
        print(f"{'right' if item.right else 'WRONG':7}{item.phrase}: heard {item.heard or 'nothing'}{reason}")
    print(f"{document.right} of {document.asked} heard right.")
    if document.level_dbfs is not None:
        noise = "" if document.noise_dbfs is None else f", the room at {document.noise_dbfs:.0f} dBFS"
        print(f"Your voice is at {document.level_dbfs:.0f} dBFS{noise}.")
    for sentence in document.advice:
        print(sentence)
