"""The second engine: Vosk with a model of the user's own choice.

Duty: hold Vosk to the language's words, parse its results again, and judge them by its word confidences. It must not
bring or download a model.

Vosk turns a list of phrases into a bigram over their words, so its results need not be sentences of the language:
what has no meaning for ``language.interpret`` is dropped. Words a model lacks would be left out
silently; here they are listed at load, with the rephrasing used instead.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from voicefit.errors import Missing
from voicefit.recognition.protocol import SpokenLanguage, always
from voicefit.recognition.shares import weigh
from voicefit.recognition.signal import prepare
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Reason, Rejection, Transcript, Utterance

_LOG = logging.getLogger(__name__)
ALTERNATIVES = 8
UNKNOWN = "[unk]"  # only some models have it
ACCEPT_FROM = 0.8  # mean word confidence; the model's own scale, not fitted: set it from a hearing check
# Words that small English models are known to lack, said in words that they have.
REPHRASINGS: Mapping[str, tuple[str, ...]] = {
    "thirty-seconds": ("thirty seconds",),
    "sixty-fourths": ("sixty fourths",),
    "millimetre": ("millimeter", "mill a meter"),
    "millimetres": ("millimeters", "mill a meters"),
    "centimetres": ("centimeters",),
    "bspp": ("b s p p",),
    "bspt": ("b s p t",),
    "npt": ("n p t",),
    "nptf": ("n p t f",),
    "npsm": ("n p s m",),
    "jic": ("j i c",),
    "orfs": ("o r f s",),
    "unf": ("u n f",),
    "o-ring": ("o ring", "oh ring"),
}


class KnownWords:
    """The language's words as the model can hear them: ``spoken`` maps the model's words back to the language's.

    ``rephrased`` : words said in other words that the model has; ``lacking`` : those that it cannot hear at all.
    """

    def __init__(self, model: Any, words: Iterable[str]) -> None:
        self.spoken: dict[str, str] = {}
        self.rephrased: dict[str, str] = {}
        self.lacking: list[str] = []
        for word in sorted(words):
            forms = (word, *REPHRASINGS.get(word, ()))
            form = next((form for form in forms if _knows(model, form)), None)
            if form is None:
                self.lacking.append(word)
                continue
            self.spoken[form] = word
            if form != word:
                self.rephrased[word] = form
        self.has_unknown = _knows(model, UNKNOWN)

    @property
    def phrases(self) -> list[str]:
        """What the recogniser is given."""
        return sorted(self.spoken) + ([UNKNOWN] if self.has_unknown else [])

    def restore(self, text: str) -> str:
        """The language's words for what the model wrote; longer rephrasings first."""
        for word, form in sorted(self.rephrased.items(), key=lambda pair: -len(pair[1])):
            text = f" {text} ".replace(f" {form} ", f" {word} ").strip()
        return text

    def tell(self) -> None:
        """Log what this model cannot hear, and what is said for what it hears otherwise."""
        if self.lacking:
            _LOG.warning("The Vosk model cannot hear: %s", ", ".join(self.lacking))
        if self.rephrased:
            pairs = (f"{word} as {form}" for word, form in self.rephrased.items())
            _LOG.warning("The Vosk model hears: %s", ", ".join(pairs))


def _knows(model: Any, form: str) -> bool:
    return all(model.vosk_model_find_word(word) >= 0 for word in form.split())


class VoskRecogniser:
    name = "vosk"

    def __init__(self, model: str | None = None) -> None:
        """Load ``model``: a folder, or a name as Vosk itself resolves it.

        Raises ``Missing`` without the package, without a model, or when the folder holds none.
        """
        try:
            import vosk
        except ImportError as error:
            raise Missing("Vosk", "pip install 'voicefit[vosk]'") from error
        if model is None:
            raise Missing("the Vosk model", "name its folder, or a model in one of Vosk's own folders")
        vosk.SetLogLevel(-1)
        self._vosk = vosk
        self._model = _load(vosk, model)
        self._vocabularies: dict[frozenset[str], KnownWords] = {}

    def vocabulary(self, language: SpokenLanguage) -> KnownWords:
        """The language's words against the model's; what differs is logged once.

        Raises ``Missing`` when the model knows no word of the language.
        """
        words = language.vocabulary()
        if words not in self._vocabularies:
            vocabulary = KnownWords(self._model, words)
            if not vocabulary.spoken:
                raise Missing("every word of the language in this Vosk model", "name a model of the language you speak")
            vocabulary.tell()
            self._vocabularies[words] = vocabulary
        return self._vocabularies[words]

    def expect(self, language: SpokenLanguage, context: Context) -> None:
        """As the protocol says: the vocabulary is checked. The context only weighs what was heard."""
        self.vocabulary(language)

    def recognise(
        self, utterance: Utterance, language: SpokenLanguage, context: Context, wanted: Callable[[], bool] = always
    ) -> Transcript:
        """As :class:`~voicefit.recognition.protocol.Recogniser` says.

        Raises ``BadAudio`` for samples that are no sound.
        """
        prepared = prepare(utterance)
        if isinstance(prepared, Rejection):
            return Transcript((), self.name, prepared)
        vocabulary = self.vocabulary(language)
        pcm = (np.clip(prepared.samples, -1, 1) * 32767).astype(np.int16).tobytes()
        sure = self._hear(vocabulary, pcm, alternatives=0)
        several = self._hear(vocabulary, pcm, alternatives=ALTERNATIVES)
        return transcript(sure, several, vocabulary, language, context)

    def _hear(self, vocabulary: KnownWords, pcm: bytes, alternatives: int) -> dict[str, Any]:
        """One pass; Vosk gives word confidences only for the single best, and the n-best only without them."""
        recogniser = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE_HZ, json.dumps(vocabulary.phrases))
        recogniser.SetWords(True)
        recogniser.SetMaxAlternatives(alternatives)
        recogniser.AcceptWaveform(pcm)
        result: dict[str, Any] = json.loads(recogniser.FinalResult())
        return result


def transcript(
    sure: Mapping[str, Any],
    several: Mapping[str, Any],
    vocabulary: KnownWords,
    language: SpokenLanguage,
    context: Context,
) -> Transcript:
    """Vosk's two results as a transcript.

    ``sure`` : the best text with ``result``, words with ``conf``. ``several`` : ``alternatives`` with ``text`` and
    ``confidence``, a log-likelihood.
    """
    words = sure.get("result", [])
    heard = vocabulary.restore(str(sure.get("text", "")))
    if not words:
        return Transcript((), VoskRecogniser.name, Rejection("", Reason.NOISE))
    confidence = sum(float(word["conf"]) for word in words) / len(words)
    scores = {"confidence": confidence, "least_word_confidence": min(float(word["conf"]) for word in words)}
    if any(word["word"] == UNKNOWN for word in words):
        return Transcript((), VoskRecogniser.name, Rejection(heard, Reason.OUT_OF_GRAMMAR, UNKNOWN), scores)
    found = [(vocabulary.restore(str(each["text"])), float(each["confidence"])) for each in several["alternatives"]]
    top = max((score for _, score in found), default=0.0)
    alternatives = [Alternative(text, score - top) for text, score in found if text]
    weighed = weigh(alternatives, language, context)
    if not weighed.shares:
        return Transcript((), VoskRecogniser.name, Rejection(heard, Reason.OUT_OF_GRAMMAR), scores)
    verdict = None if confidence >= ACCEPT_FROM else Rejection(heard, Reason.LOW_CONFIDENCE)
    return Transcript(weighed.likeliest, VoskRecogniser.name, verdict, scores, weighed.likeliest_meanings())


def _load(vosk: Any, model: str) -> Any:
    folder = _folder(vosk, model)
    if not (folder / "am" / "final.mdl").is_file() and not (folder / "final.mdl").is_file():
        raise Missing(f"a Vosk model in {folder}", "name the folder that holds am/, conf/ and graph/")
    try:
        return vosk.Model(str(folder))
    except Exception as error:  # Vosk raises a bare Exception for any model it cannot read
        raise Missing(f"a readable Vosk model in {folder}", "unpack the model again") from error


def _folder(vosk: Any, model: str) -> Path:
    """The folder that ``model`` names: a path, or a name in one of Vosk's own folders. Vosk would download the rest."""
    places = [Path(place) for place in vosk.MODEL_DIRS if place is not None]
    for folder in (Path(model).expanduser(), *(place / model for place in places)):
        if folder.is_dir():
            return folder
    raise Missing(f"the Vosk model {model}", f"unpack it into {' or '.join(map(str, places))}, or name its folder")
