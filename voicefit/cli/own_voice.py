"""What ``check-hearing`` does with the sound of one voice: keep it, hear it again, collect a labelled set.

Duty: where kept phrases are, and which weights hear them; what is found goes back as documents. It must not measure.
"""

from __future__ import annotations

import contextlib
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import BaseModel

from voicefit.cli.common import say
from voicefit.errors import BadInput

if TYPE_CHECKING:
    from voicefit.dialogue import Settings
    from voicefit.driver.hearing_again import AgainDocument, Samples
    from voicefit.driver.hearing_check import HearingCheck
    from voicefit.driver.labelled import ReadAloud
    from voicefit.driver.read_aloud import Sentence
    from voicefit.interpretation import Language
    from voicefit.records import Utterance

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
        from voicefit.driver.hearing_check import PATIENCE_S, HearingCheck
        from voicefit.driver.loop import drive
        from voicefit.driver.speaking import speaking
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
                drive(check, sound, recogniser, speak.prepare)
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
