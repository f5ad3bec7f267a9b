"""The real engine on real sound: synthesised here, and human where recordings exist."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable

import numpy as np
import pytest
import soundfile

from benchmarks.census import Census, context_of, flatten
from tests.recognition.conftest import human_corpus
from voicefit.errors import BadAudio
from voicefit.interpretation import Language
from voicefit.recognition import neural
from voicefit.recognition.beam import Found, Hypothesis
from voicefit.recognition.constraint import Constraint, Prefix
from voicefit.recognition.neural import MARGIN, NeuralRecogniser, _all, _tells_more
from voicefit.recognition.vocabulary import END, Vocabulary, read_vocabulary
from voicefit.recognition.weights import TOKENS, find_weights
from voicefit.records import SAMPLE_RATE_HZ, Context, Meaning, Measurand, Reason, Transcript, Utterance, item_key

Spoken = Callable[[str], Utterance]
REFERENCE = "outside nineteen thirty-seconds, nineteen pitch, thirty degrees"


def best(transcript: Transcript, language: Language, context: Context = Context()) -> Meaning:  # noqa: B008  # frozen
    return language.interpret(transcript.text, context)[0]


def same(language: Language, transcript: Transcript, text: str) -> bool:
    """Whether the best alternative means what ``text`` means: each has the other's meanings."""
    texts = (transcript.text, text)
    heard, said = ({tuple(map(item_key, meaning.items)) for meaning in language.interpret(each)} for each in texts)
    return heard == said


@pytest.mark.parametrize(
    "text",
    [
        REFERENCE,
        "fifteen millimeters outside",
        "thirty seven degree flare",
        "nineteen threads per inch",
        "can't tell",
        "start over",
        "yes",
    ],
)
def test_sentences_of_the_trade_are_heard(
    engine: NeuralRecogniser, language: Language, spoken: Spoken, text: str
) -> None:
    transcript = engine.recognise(spoken(text), language, Context())
    assert transcript.engine == "neural"
    assert same(language, transcript, text), transcript
    assert math.fsum(math.exp(each.log_probability) for each in transcript.alternatives) == pytest.approx(1.0)


@pytest.mark.parametrize("seconds", [9.3, 15.0, 29.0])
def test_a_long_utterance_is_heard_like_a_short_one(
    engine: NeuralRecogniser, language: Language, spoken: Spoken, seconds: float
) -> None:
    utterance = spoken(REFERENCE)
    quiet = np.zeros(round(seconds * SAMPLE_RATE_HZ) - len(utterance.samples), np.float32)
    transcript = engine.recognise(Utterance(np.concatenate([utterance.samples, quiet])), language, Context())
    assert transcript.engine == "neural"
    assert transcript.rejection is not None or same(language, transcript, REFERENCE), transcript


def test_what_is_expected_is_compiled_before_it_is_heard(
    engine: NeuralRecogniser, language: Language, spoken: Spoken, monkeypatch: pytest.MonkeyPatch
) -> None:
    compiled: list[str] = []

    class Counted(Constraint):
        def __init__(self, vocabulary: Vocabulary, grammar: str) -> None:
            compiled.append(grammar)
            super().__init__(vocabulary, grammar)

    monkeypatch.setattr(neural, "Constraint", Counted)
    context = Context(expected=(Measurand.LENGTH,))
    for _ in range(3):
        engine.expect(language, context)
    transcript = engine.recognise(spoken("twelve millimeters"), language, context)
    assert compiled.count(language.constraint(context)) == 1
    assert same(language, transcript, "twelve millimeters"), transcript


def test_nothing_outside_the_language_is_ever_returned(
    engine: NeuralRecogniser, language: Language, spoken: Spoken
) -> None:
    constraint = Constraint(read_vocabulary(find_weights() / TOKENS), language.constraint(Context()))
    for text in (REFERENCE, "the delivery is late because of the snow", "fifty fifteen", "one two three four"):
        for alternative in engine.recognise(spoken(text), language, Context()).alternatives:
            assert END in constraint.allowed(Prefix(alternative.text.encode())), alternative


def test_a_question_is_a_prior_and_no_wall(engine: NeuralRecogniser, language: Language, spoken: Spoken) -> None:
    asked = Context(expected=(Measurand.PITCH,))
    assert same(language, engine.recognise(spoken("nineteen threads per inch"), language, asked), "nineteen pitch")
    for text in ("fifteen millimeters outside", "start over"):
        assert same(language, engine.recognise(spoken(text), language, asked), text)


@pytest.mark.parametrize(
    "text", ["did you lock the gate last night", "my brother is coming over on sunday", "we watched a film"]
)
def test_talk_to_somebody_else_is_refused(
    engine: NeuralRecogniser, language: Language, spoken: Spoken, text: str
) -> None:
    transcript = engine.recognise(spoken(text), language, Context())
    assert transcript.rejection is not None, transcript
    assert transcript.rejection.reason in (Reason.OUT_OF_GRAMMAR, Reason.LOW_CONFIDENCE, Reason.NOISE)  # or as nothing
    if transcript.rejection.reason is Reason.OUT_OF_GRAMMAR:
        assert not transcript.alternatives


def test_speech_backwards_is_refused(engine: NeuralRecogniser, language: Language, spoken: Spoken) -> None:
    backwards = Utterance(spoken(REFERENCE).samples[::-1].copy())
    assert engine.recognise(backwards, language, Context()).rejection is not None


def test_silence_and_noise_are_refused(engine: NeuralRecogniser, language: Language) -> None:
    draw = np.random.default_rng(5)
    silence = engine.recognise(Utterance(np.zeros(SAMPLE_RATE_HZ, np.float32)), language, Context())
    assert silence.rejection is not None and silence.rejection.reason is Reason.SILENCE
    for level in (0.001, 0.01, 0.1):
        for seconds in (0.3, 1.0, 2.5):
            white = (level * draw.standard_normal(int(seconds * SAMPLE_RATE_HZ))).astype(np.float32)
            pink = np.cumsum(white - white.mean()).astype(np.float32) * np.float32(0.05)
            for samples in (white, pink):
                transcript = engine.recognise(Utterance(samples), language, Context())
                assert transcript.rejection is not None, (level, seconds, transcript)


def test_what_is_no_sound_is_named_and_the_next_utterance_is_heard(
    engine: NeuralRecogniser, language: Language, spoken: Spoken
) -> None:
    broken = spoken("yes").samples.copy()
    broken[100] = np.nan
    with pytest.raises(BadAudio, match=r"1 of .* samples are not numbers"):
        engine.recognise(Utterance(broken), language, Context())
    assert same(language, engine.recognise(spoken("yes"), language, Context()), "yes")


def test_level_and_offset_do_not_matter(engine: NeuralRecogniser, language: Language, spoken: Spoken) -> None:
    samples = spoken("fifteen millimeters outside").samples
    for changed in (samples * np.float32(0.05), samples * np.float32(0.5) + np.float32(0.2)):
        transcript = engine.recognise(Utterance(changed.astype(np.float32)), language, Context())
        assert same(language, transcript, "fifteen millimeters outside")


def test_a_doubtful_answer_in_clipped_sound_says_too_loud(
    engine: NeuralRecogniser, language: Language, spoken: Spoken
) -> None:
    samples = spoken("the delivery is late because of the snow").samples
    crushed = np.clip(samples * 60, -1, 1).astype(np.float32)
    rejection = engine.recognise(Utterance(crushed), language, Context()).rejection
    assert rejection is not None and rejection.reason is Reason.TOO_LOUD


def test_human_speech() -> None:
    """Some of the human corpus, where it is at hand: digits, control words and dates, each under its question."""
    corpus = human_corpus()
    if corpus is None:
        return
    engine = NeuralRecogniser()
    with (corpus / "manifest.tsv").open(encoding="utf-8", newline="") as lines:
        rows = [row for row in csv.DictReader(lines, delimiter="\t") if row["kind"] != "spelled"]
    right = accepted = wrong = 0
    asked = {"cen3": "house", "cen6": "postal", "cen7": "telephone", "cen8": "birth"}
    chosen = rows[::16]
    for row in chosen:
        samples, _ = soundfile.read(corpus / row["file"], dtype="float32")
        language = Census("dates" if row["kind"] == "date" else "numbers")
        context = context_of(asked.get(row["file"].partition("-")[0], "control"))
        transcript = engine.recognise(Utterance(samples), language, context)
        good = flatten(transcript.text) == flatten(row["transcript"])
        right += good
        accepted += transcript.rejection is None
        wrong += transcript.rejection is None and not good
    assert (right, wrong) == (len(chosen), 0)
    assert accepted >= 0.9 * len(chosen)


def test_what_a_beam_found_far_below_its_best_is_not_asked_about() -> None:
    asked = (Hypothesis((5,), -20.0), Hypothesis((6,), -20.0 - MARGIN), Hypothesis((7,), -20.1 - MARGIN))
    anything = (Hypothesis((8,), -1.0), Hypothesis((5,), -20.0))
    kept = [each.tokens for each in _all(Found((asked, (), anything), Hypothesis()))]
    assert kept == [(5,), (6,), (8,)], "each beam has a best of its own: what was asked for may be less likely"


def test_what_the_constraint_has_not_got_is_heard_where_the_language_takes_it(
    engine: NeuralRecogniser, language: Language, spoken: Spoken
) -> None:
    told, talk = "it pokes out", "we should paint the fence on Friday"
    heard = engine.recognise(spoken(told), language, Context())
    assert heard.rejection is None and same(language, heard, told), heard
    assert heard.text[-1].isalpha()  # no stop: what goes on is told by the last word
    assert engine.recognise(spoken(talk), language, Context()).rejection is not None


@pytest.mark.parametrize(
    ("free", "ended", "counts"),
    [
        ("It pokes out.", True, True),
        ("It pokes", False, False),  # it was outdone before it had ended
        ("Outside, nineteen!", True, False),  # found in the language as well
        ("It's not a flare, Ron.", True, False),  # a word passed over: what was said there?
        ("Two millimeter leaf one t go in", True, False),
        ("Have you seen my calendar", True, False),  # a command is understood of many words
        ("Could you say that once more", True, True),
        ("Bin the lot and start over", True, False),  # it costs too much
        ("There's a sort of a groove, and a cone that is standing out of it", True, True),
        ("The boys are back at work now", True, False),
        ("Oil is spraying out", True, True),
        ("", True, False),
    ],
)
def test_a_free_text_counts_if_it_is_whole_and_told_to_the_tool(
    language: Language, free: str, ended: bool, counts: bool
) -> None:
    constrained = [Hypothesis((1,), -9.0, Prefix(b" outside nineteen"))]
    found = Found((tuple(constrained),), Hypothesis((2,), -2.0), ended)
    assert _tells_more(found, free, constrained, language, Context()) is counts
    likelier = [Hypothesis((1,), -1.0, Prefix(b" outside nineteen"))]
    assert _tells_more(found, free, likelier, language, Context()) is counts, "a rival, which tells of doubt"
    far = Found(found.constrained, Hypothesis((2,), -1.1 - MARGIN), ended)
    assert not _tells_more(far, free, likelier, language, Context())
