"""The hearing check asks ten phrases of the tool's own language, measures, advises, and keeps what it found."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import soxr
from typer.testing import CliRunner

from tests.audio.fakes import sound
from voicefit.audio.ears import HearingSettings
from voicefit.audio.files import resample, write_wav
from voicefit.audio.recorded import RecordedSound
from voicefit.cli import build
from voicefit.driver import open_knowledge
from voicefit.driver.hearing_check import PATIENCE_S, PHRASES, HearingCheck, HearingDocument, advice, same_meaning
from voicefit.driver.loop import drive
from voicefit.interpretation.language import Language
from voicefit.levels import is_narrow_band
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Reason, Rejection, Transcript
from voicefit.settings import HearingProfile
from voicefit.synthesis import VoiceSettings, open_voice


@pytest.fixture(scope="module")
def language() -> Language:
    return open_knowledge().language


@pytest.fixture(scope="module")
def read_aloud() -> np.ndarray:
    """The ten phrases in the bundled voice, with pauses and a little hiss."""
    parts = [np.zeros(SAMPLE_RATE_HZ, np.float32)]
    with open_voice("espeak") as voice:
        for phrase in PHRASES:
            speech = voice.speak(phrase, VoiceSettings())
            parts.append(resample(speech.samples.astype(np.float32) / 32768, speech.rate_hz, SAMPLE_RATE_HZ))
            parts.append(np.zeros(round(1.5 * SAMPLE_RATE_HZ), np.float32))
    whole = np.concatenate(parts)
    return whole + np.random.default_rng(1).normal(0, 0.001, len(whole)).astype(np.float32)


class Script:
    """A recogniser that hears what the test says."""

    name = "script"

    def __init__(self, answers: Sequence[str | Reason]) -> None:
        self._answers = iter(answers)

    def recognise(self, utterance: object, language: Language, context: Context, wanted: object = None) -> Transcript:
        answer = next(self._answers)
        if isinstance(answer, Reason):
            return Transcript((), self.name, Rejection("", answer))
        return Transcript((Alternative(answer, 0.0),), self.name, meanings=language.interpret(answer, context))

    def expect(self, language: object, context: object) -> None:
        pass


def checked(
    blocks: np.ndarray, answers: Sequence[str | Reason], language: Language
) -> tuple[HearingDocument, HearingProfile]:
    hearing = HearingSettings(quiet_after_s=PATIENCE_S)
    with closing(RecordedSound([blocks], lambda text: sound(0.5), settings=hearing)) as recorded:
        check = HearingCheck(language, recorded, lambda text: None)
        drive(check, recorded, Script(answers))
        return check.result("bench microphone")


def test_every_phrase_is_of_the_language_and_means_one_thing(language: Language) -> None:
    for phrase in PHRASES:
        meaning = language.interpret(phrase)[0]
        assert not any(isinstance(item, Rejection) for item in meaning.items), phrase
        assert same_meaning(language, phrase, language.interpret(phrase))
    assert len(PHRASES) == 10 and len(set(PHRASES)) == 10


def test_the_same_in_other_words_is_right_and_a_near_miss_is_not(language: Language) -> None:
    assert same_meaning(language, "outside nineteen thirty-seconds", language.interpret("outside 19 thirty seconds"))
    assert not same_meaning(language, "thirty degrees", language.interpret("thirteen degrees"))


def test_all_right(language: Language, read_aloud: np.ndarray) -> None:
    document, profile = checked(read_aloud, PHRASES, language)
    assert (document.asked, document.right) == (10, 10)
    assert document.advice == ["Nothing needs changing."]
    assert document.level_dbfs is not None and document.noise_dbfs is not None
    assert document.noise_dbfs == pytest.approx(-60, abs=3) and document.level_dbfs > -30
    assert not document.narrow_band and not document.clipped
    assert profile.quietest_dbfs is not None and profile.quietest_dbfs < document.level_dbfs - 14
    assert (profile.right, profile.asked, profile.microphone) == (10, 10, "bench microphone")


def test_wrong_and_refused_phrases_are_counted_and_named(language: Language, read_aloud: np.ndarray) -> None:
    answers: list[str | Reason] = list(PHRASES)
    answers[2], answers[5] = "thirteen degrees", Reason.LOW_CONFIDENCE
    document, _ = checked(read_aloud, answers, language)
    assert document.right == 8
    assert document.phrases[2].heard == "thirteen degrees" and not document.phrases[2].right
    assert document.phrases[5].reason == "low_confidence"
    assert "not heard right" in document.advice[0]


def test_silence_is_no_loop_and_a_short_recording_ends_early(language: Language, read_aloud: np.ndarray) -> None:
    document, _ = checked(np.zeros(60 * SAMPLE_RATE_HZ, np.float32), [], language)
    assert document.right == 0 and document.level_dbfs is None and "Nothing was heard" in document.advice[0]
    assert all(item.reason == "silence" for item in document.phrases)
    assert checked(read_aloud[: 5 * SAMPLE_RATE_HZ], PHRASES, language)[0].asked < 5


def test_a_telephone_band_and_a_loud_room_and_clipping_are_noticed(language: Language, read_aloud: np.ndarray) -> None:
    narrow = soxr.resample(soxr.resample(read_aloud, 16_000, 8_000), 8_000, 16_000)
    assert is_narrow_band(narrow) and not is_narrow_band(read_aloud)
    assert any("telephone" in line for line in checked(narrow, PHRASES, language)[0].advice)
    loud = np.clip(read_aloud * 30, -1, 1)
    assert any("too loud" in line for line in checked(loud, PHRASES, language)[0].advice)


def test_advice_names_each_fault() -> None:
    document = HearingDocument(
        microphone="bench microphone",
        asked=10,
        right=10,
        phrases=[],
        level_dbfs=-50,
        noise_dbfs=-55,
        narrow_band=False,
        clipped=False,
        advice=[],
    )
    assert [line.split(":")[0] for line in advice(document)] == [
        "Your voice is too quiet",
        "The room is nearly as loud as you",
    ]


def test_the_command_on_a_recording_with_the_real_engine(
    tmp_path: Path, read_aloud: np.ndarray, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    write_wav(tmp_path / "ten.wav", read_aloud, SAMPLE_RATE_HZ)
    ended = CliRunner().invoke(build(), ["check-hearing", "--from", str(tmp_path / "ten.wav"), "--json"])
    document = HearingDocument.model_validate(json.loads(ended.stdout))
    assert document.asked == 10 and not document.stored  # a formant voice: how many are right says little
    assert ended.exit_code == (0 if document.right else 1)
    assert CliRunner().invoke(build(), ["check-hearing", "--from", str(tmp_path / "none.wav")]).exit_code == 2
