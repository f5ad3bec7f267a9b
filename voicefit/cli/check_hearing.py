"""The command ``check-hearing``: how well the user is heard, and what to change.

Duty: options in, the document out; keep what was measured, and what was said where the user agrees. The check itself
is the driver's.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json

if TYPE_CHECKING:
    from pydantic import BaseModel

    from voicefit.cli.own_voice import VoiceCheck
    from voicefit.driver.hearing_again import Samples
    from voicefit.driver.hearing_check import HearingDocument
    from voicefit.driver.labelled import ReadAloud
    from voicefit.driver.read_aloud import Sentence
    from voicefit.records import Utterance
    from voicefit.settings import HearingProfile

_CONSENT = (
    "Keep the sound of these phrases on this machine, so that weights can be compared and the acceptance fitted "
    "without reading them again? (check-hearing --forget removes it)"
)


def register(app: typer.Typer) -> None:
    app.command("check-hearing", epilog="Example: voicefit check-hearing")(check_hearing)


def check_hearing(
    source: Path | None = typer.Option(None, "--from", help="A recording of what is read, instead of a microphone."),
    keep: bool = typer.Option(True, help="Keep what was measured for later sessions."),
    keep_voice: bool | None = typer.Option(None, help="Keep the sound of the phrases too; asked if not said."),
    kept: bool = typer.Option(False, "--kept", help="Hear the kept phrases again; nothing is read aloud."),
    forget: bool = typer.Option(False, "--forget", help="Remove all kept phrases."),
    model: str | None = typer.Option(None, metavar="DIR", help="Weights to hear with; default: those of the tool."),
    against: str | None = typer.Option(None, metavar="DIR", help="Say which hears this voice better: these or those."),
    fit: bool = typer.Option(False, "--fit", help="Fit to this voice when an answer is taken without asking."),
    record: Path | None = typer.Option(None, metavar="DIR", help="Collect a labelled set of sentences in that folder."),
    sentences: int = typer.Option(60, min=1, help="With --record: how many sentences."),
    speaker: str = typer.Option("", help="With --record: who speaks; default: the microphone's name."),
    json: bool = JSON_OPTION,
) -> None:
    """Read ten phrases aloud: how many are heard right, how loud you and the room are, and what to change."""
    with errors_as_exit_codes():
        _refuse_what_does_not_go_together(source, kept, forget, fit, record)
        from voicefit.cli.own_voice import VoiceCheck, kept_folder
        from voicefit.driver import open_knowledge
        from voicefit.driver.labelled import LabelledSet
        from voicefit.recognition.weights import find_weights
        from voicefit.settings import load_settings

        if forget:
            count = LabelledSet(kept_folder()).remove_all()
            print_json({"removed": count}) if json else print(f"{count} kept phrases removed.")
            return
        for folder in (model, against):
            find_weights(folder)  # before anything is read aloud
        voice = VoiceCheck(load_settings(), open_knowledge().language, model, against, source)
        if record is not None:
            recorded = voice.record(record, speaker, sentences)
            to_go = f" {recorded.lacking} to go: run it again." if recorded.lacking else ""
            text = f"{recorded.recorded} sentences of {recorded.speaker} in {record}.{to_go}"
            _tell(recorded, [text], json)
            raise typer.Exit(DONE if recorded.recorded else NOTHING)
        if kept:
            again = voice.hear_again(voice.kept(), fit=fit)
            if keep:
                voice.keep_fit(again)
            _tell(again, again.lines(), json)
            raise typer.Exit(DONE if again.heard.right else NOTHING)
        document = _read(voice, keep, keep_voice, fit, json)
        _tell(document, _lines(document), json)
        raise typer.Exit(DONE if document.right else NOTHING)


def _refuse_what_does_not_go_together(
    source: Path | None, kept: bool, forget: bool, fit: bool, record: Path | None
) -> None:
    from voicefit.errors import BadInput

    chosen = [name for name, on in (("--kept", kept), ("--forget", forget), ("--record", record is not None)) if on]
    if len(chosen) > 1:
        raise BadInput(f"{' and '.join(chosen)} do not go together")
    if source is not None and (kept or forget):
        raise BadInput(f"--from and {chosen[0]} do not go together: nothing is read aloud")
    if fit and (record is not None or forget):
        raise BadInput(f"--fit and {chosen[0]} do not go together")


def _read(voice: VoiceCheck, keep: bool, keep_voice: bool | None, fit: bool, json: bool) -> HearingDocument:
    """The ten phrases, and what was asked for beside. Of a recording nothing is kept but on request."""
    from voicefit.driver.hearing_check import THE_TEN
    from voicefit.driver.labelled import ReadAloud
    from voicefit.settings import save_hearing

    said: list[tuple[ReadAloud, Samples]] = []

    def note(sentence: Sentence, utterance: Utterance) -> None:
        said.append((ReadAloud("", voice.name, sentence.kind, sentence.text), utterance.samples))

    live = voice.source is None
    check = voice.ask(THE_TEN, note)
    document, profile = check.result(voice.settings.microphone if voice.source is None else voice.source.name)
    if said and (keep_voice or (keep_voice is None and live and _agrees(json))):
        document.phrases_kept = voice.keep(said)
    if keep and live and profile.asked:
        save_hearing(_with_the_fit_before(profile))
        document.stored = True
    if said and (fit or voice.against is not None):
        document.again = voice.hear_again(said, fit=fit)
        if keep and live:
            voice.keep_fit(document.again)
    return document


def _agrees(json: bool) -> bool:
    """Whether the user, asked, wants the sound kept. Who cannot be asked has not agreed."""
    return not json and sys.stdin.isatty() and sys.stderr.isatty() and typer.confirm(_CONSENT, err=True)


def _with_the_fit_before(profile: HearingProfile) -> HearingProfile:
    """What was measured now, with what was fitted before to the voice at the same microphone."""
    from voicefit.settings import load_hearing

    before = load_hearing(report=lambda text: None)
    same = before.microphone == profile.microphone
    return replace(profile, acceptance_shift=before.acceptance_shift) if same else profile


def _tell(document: BaseModel, lines: list[str], json: bool) -> None:
    if json:
        print_json(document)
    else:
        print("\n".join(lines))


def _lines(document: HearingDocument) -> list[str]:
    found = []
    for item in document.phrases:
        reason = f" ({item.reason})" if item.reason else ""
        found.append(f"{'right' if item.right else 'WRONG':7}{item.phrase}: heard {item.heard or 'nothing'}{reason}")
    found.append(f"{document.right} of {document.asked} heard right.")
    if document.level_dbfs is not None:
        noise = "" if document.noise_dbfs is None else f", the room at {document.noise_dbfs:.0f} dBFS"
        found.append(f"Your voice is at {document.level_dbfs:.0f} dBFS{noise}.")
    found += document.advice
    if document.phrases_kept:
        found.append(f"The sound of {document.phrases_kept} phrases was kept; check-hearing --forget removes it.")
    return found + (document.again.lines() if document.again else [])
