"""The command ``check-hearing``: how well the user is heard, and what to change; the sound of one voice kept,
heard again, or collected as a labelled set.

Duty: options in, the document out; keep what was measured, and what was said where the user agrees. The check itself
is the driver's: it must not measure.
"""

from __future__ import annotations

import contextlib
import sys
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer
from pydantic import BaseModel

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say
from voicefit.errors import BadInput

if TYPE_CHECKING:
    from voicefit.dialogue import Settings
    from voicefit.driver.hearing_again import AgainDocument, Samples
    from voicefit.driver.hearing_check import HearingCheck, HearingDocument
    from voicefit.driver.labelled import ReadAloud
    from voicefit.driver.read_aloud import Sentence
    from voicefit.interpretation import Language
    from voicefit.records import Utterance
    from voicefit.settings import HearingProfile

OWN_WEIGHTS = "the tool's own weights"


class RecordedDocument(BaseModel):
    """A labelled set in ``folder``: sentences of this speaker that are there, and that are still to be read."""

    folder: str
    speaker: str
    recorded: int
    lacking: int


@dataclass(frozen=True, slots=True)
class VoiceCheck:
    """One voice at one microphone. ``model``, ``against``: folders of weights, ``None`` for the tool's own and for no
    comparison. ``source``: a recording instead of the microphone."""

    settings: Settings
    language: Language
    model: str | None = None
    against: str | None = None
    source: Path | None = None

    @property
    def name(self) -> str:
        return self.settings.microphone or "voice"

    def ask(self, sentences: Sequence[Sentence], said: Callable[[Sentence, Utterance], None]) -> HearingCheck:
        """Ask for the sentences one by one, over the devices or from the recording."""
        from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings
        from voicefit.driver import edges
        from voicefit.driver.edges import speaking
        from voicefit.driver.hearing_check import PATIENCE_S, HearingCheck
        from voicefit.driver.loop import drive
        from voicefit.recognition import open_recogniser

        hearing = HearingSettings(quiet_after_s=PATIENCE_S, tentative_after_s=TENTATIVE_AFTER_S)
        recogniser = open_recogniser(model=self.model)
        with speaking(self.settings, lambda text: say(f"voicefit: {text}")) as speak:
            opened = (
                edges.devices(speak, self.settings, hearing)
                if self.source is None
                else edges.recording(self.source, speak, hearing=hearing, tone_volume=self.settings.volume)
            )
            with contextlib.closing(opened) as sound:
                if self.source is None:
                    say("Read each phrase aloud after it is spoken.")
                check = HearingCheck(self.language, sound, say, sentences, said)
                drive(check, sound, recogniser)
                document, _ = check.result("")
                sound.say(" ".join([f"{document.right} of {document.asked} heard right.", *document.advice]))
                sound.wait(60.0)
        return check

    def keep(self, said: Sequence[tuple[ReadAloud, Samples]]) -> int:
        """Keep the phrases; how many."""
        from voicefit.driver.labelled import LabelledSet

        kept = LabelledSet(kept_folder())
        for row, samples in said:
            kept.add(samples, row.speaker, row.kind, row.transcript, row.asked)
        return len(said)

    def kept(self) -> list[tuple[ReadAloud, Samples]]:
        """Phrases of this voice kept before. Raises ``BadInput`` where there are none."""
        from voicefit.audio.files import read_audio
        from voicefit.driver.labelled import LabelledSet

        folder = kept_folder()
        rows = [row for row in LabelledSet(folder).rows if row.speaker == self.name]
        if not rows:
            raise BadInput(f"no phrases of {self.name} are kept in {folder}: read them with check-hearing --keep-voice")
        return [(row, read_audio(folder / row.file)) for row in rows]

    def hear_again(self, said: Sequence[tuple[ReadAloud, Samples]], *, fit: bool) -> AgainDocument:
        """The phrases heard again with both sets of weights, one after the other, and the acceptance fitted to them."""
        from voicefit.driver import hearing_again
        from voicefit.recognition import open_recogniser
        from voicefit.recognition.acceptance import read_acceptance

        name = self.model or OWN_WEIGHTS
        heard = hearing_again.hear_again(open_recogniser(model=self.model), self.language, said)
        document = hearing_again.AgainDocument(heard=hearing_again.counted(name, heard))
        if self.against is not None:
            others = hearing_again.hear_again(open_recogniser(model=self.against), self.language, said)
            document.comparison = hearing_again.compare((name, self.against), heard, others)
        if fit:
            document.fit = hearing_again.fit(heard, read_acceptance())
        return document

    def keep_fit(self, document: AgainDocument) -> None:
        """Later sessions at this microphone take answers by the fitted acceptance."""
        from voicefit.settings import HearingProfile, load_hearing, save_hearing

        if document.fit is not None:
            profile = load_hearing(report=lambda text: None)
            if profile.microphone != self.settings.microphone:
                profile = HearingProfile(microphone=self.settings.microphone)
            save_hearing(replace(profile, acceptance_shift=document.fit.shift))

    def record(self, folder: Path, speaker: str, count: int) -> RecordedDocument:
        """Collect a labelled set; each sentence is kept as it comes, and none is asked for that this speaker has read.

        Which sentences, the speaker's name decides.
        """
        from voicefit.driver.labelled import LabelledSet
        from voicefit.driver.read_aloud import sentences

        speaker = speaker or self.name
        collected = LabelledSet(folder)
        all_of_them = sentences(count, zlib.crc32(speaker.encode()))
        have = {row.transcript for row in collected.rows if row.speaker == speaker}
        wanted = [each for each in all_of_them if each.text not in have]

        def keep(sentence: Sentence, utterance: Utterance) -> None:
            collected.add(utterance.samples, speaker, sentence.kind, sentence.text, sentence.asked)

        if wanted:
            self.ask(wanted, keep)
        have = {row.transcript for row in collected.rows if row.speaker == speaker}
        lacking = sum(each.text not in have for each in all_of_them)
        return RecordedDocument(folder=str(folder), speaker=speaker, recorded=len(have), lacking=lacking)


def kept_folder() -> Path:
    """Where kept phrases are: ``voice`` in the user's data folder."""
    from voicefit.journal.store import default_folder

    return default_folder() / "voice"


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
        from voicefit.cli.check_hearing import VoiceCheck, kept_folder
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
