"""The hearing benchmark counts, mixes and fits as it says."""

from __future__ import annotations

import json
from functools import partial
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks import __main__ as bench
from benchmarks import hearing_dump, hearing_report
from benchmarks.census import QUESTIONS, Census, context_of, flatten
from benchmarks.hearing_corpus import Noise, active_level, part_of, with_backwards
from benchmarks.hearing_dump import Heard
from benchmarks.hearing_fit import fit, logistic, lowest_threshold, read_acceptance, write
from benchmarks.hearing_languages import product
from benchmarks.hearing_picture import SNRS_DB, Point, draw
from voicefit.audio.files import read_audio, write_wav
from voicefit.driver.labelled import ReadAloud, read_manifest
from voicefit.driver.read_aloud import sentences
from voicefit.errors import BadInput
from voicefit.interpretation.spelling import say_number
from voicefit.recognition.constraint import Constraint, Prefix
from voicefit.recognition.shares import weigh
from voicefit.recognition.vocabulary import END, read_vocabulary
from voicefit.recognition.weights import TOKENS, find_weights
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context
from voicefit.synthesis import VoiceSettings, open_voice


@given(st.lists(st.integers(0, 99), min_size=1, max_size=5))
@settings(max_examples=60)
def test_numbers_in_words_and_in_digits_are_one_meaning(numbers: list[int]) -> None:
    assert flatten(" ".join(say_number(number) for number in numbers)) == "".join(map(str, numbers)) or any(
        tens % 10 == 0 and tens >= 20 and 0 < ones < 10 for tens, ones in pairwise(numbers)
    )
    assert flatten(" ".join(map(str, numbers))) == "".join(map(str, numbers))


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("one hundred", "100"),
        ("eight hundred and twenty three", "823"),
        ("enter oh six", "enter 06"),
        ("march 3rd, 1928", "march 3 1928"),
        ("seven may nineteen forty four", "may 7 1944"),
        ("2-6-8-3-0-2-7", "2683027"),
        ("stop", "stop"),
    ],
)
def test_flattened(text: str, meaning: str) -> None:
    assert flatten(text) == meaning


@pytest.mark.parametrize(
    ("question", "said", "not_said"),
    [
        ("postal", "one five two one seven", "one five two one"),
        ("telephone", "four one two two six eight four four seven four", "four one two two six"),
        ("birth", "twelve nine of sixty", "forty forty forty"),
        ("house", "fourteen fourteen", "yes"),
        ("control", "enter two oh five", "two oh five"),
    ],
)
def test_a_question_narrows_the_grammar_and_the_prior(question: str, said: str, not_said: str) -> None:
    language = Census("numbers")
    context = context_of(question)
    constraint = Constraint(read_vocabulary(find_weights() / TOKENS), language.constraint(context))
    assert END in constraint.allowed(Prefix(said.encode())) and END not in constraint.allowed(Prefix(not_said.encode()))
    fits, foreign = (language.interpret(text, context)[0] for text in (said, not_said))
    assert language.log_prior(fits, context) == 0.0 > language.log_prior(foreign, context)
    assert question in QUESTIONS


def tone(seconds: float, level: float) -> np.ndarray:
    return (level * np.sin(np.arange(int(seconds * SAMPLE_RATE_HZ)) * 0.3)).astype(np.float32)


def test_the_active_level_leaves_pauses_out() -> None:
    speech = np.concatenate([tone(1, 0.2), tone(3, 1e-4), tone(1, 0.2)])
    assert active_level(speech) == pytest.approx(0.2 / np.sqrt(2), rel=0.02)


@pytest.fixture
def noise_file(tmp_path: Path) -> Path:
    draw = np.random.default_rng(0)
    path = tmp_path / "noise.wav"
    parts = [0.05 * draw.standard_normal(6 * SAMPLE_RATE_HZ), 0.2 * draw.standard_normal(6 * SAMPLE_RATE_HZ)]
    write_wav(path, np.concatenate(parts).astype(np.float32), SAMPLE_RATE_HZ)
    return path


def test_noise_is_as_far_below_the_speech_as_asked(noise_file: Path) -> None:
    speech = np.concatenate([tone(1, 0.2), np.zeros(SAMPLE_RATE_HZ, np.float32)])
    for snr in (0.0, 10.0):
        added = Noise(noise_file, snr, tuning=False).under(speech, "a") - speech
        assert 20 * np.log10(active_level(speech) / np.sqrt(np.mean(added**2))) == pytest.approx(snr, abs=0.1)
    again = Noise(noise_file, 10.0, tuning=False)
    assert np.array_equal(again.under(speech, "a"), again.under(speech, "a"))
    assert not np.array_equal(again.under(speech, "a"), again.under(speech, "b"))


def test_fitting_and_reporting_use_different_noise_and_speakers(noise_file: Path) -> None:
    halves = [Noise(noise_file, 10.0, tuning=tuning)._recording for tuning in (True, False)]
    assert np.sqrt(np.mean(halves[0] ** 2)) < 0.1 < np.sqrt(np.mean(halves[1] ** 2))
    rows = [ReadAloud(f"{n}.wav", f"speaker{n % 20}", "date", "may") for n in range(40)]
    parts = [{row.speaker for row in part_of(rows, part)} for part in ("training", "fitting", "reporting")]
    assert all(parts) and sum(map(len, parts)) == len(set().union(*parts)) == 20
    assert sum(len(part_of(rows, part)) for part in ("training", "fitting", "reporting")) == len(rows)


def test_short_words_are_not_played_backwards() -> None:
    rows = [
        ReadAloud("a.wav", "s", "number-or-command", "no"),
        ReadAloud("b.wav", "s", "number-or-command", "one two three"),
    ]
    backwards = [row for row in with_backwards(rows, 1) if row.backwards]
    assert [(row.file, row.kind, row.transcript) for row in backwards] == [("b.wav", "backwards", "")]


@pytest.mark.parametrize(
    ("manifest", "message"),
    [
        (None, "there is no such file"),
        ("file\tspeaker\tkind\n", "no column transcript"),
        ("file\tspeaker\tkind\ttranscript\nno.wav\ts\tdate\tmay\n", "row 2: no.wav is not there"),
    ],
)
def test_a_bad_corpus_is_named(tmp_path: Path, manifest: str | None, message: str) -> None:
    if manifest is not None:
        (tmp_path / "manifest.tsv").write_text(manifest, encoding="utf-8")
    with pytest.raises(BadInput, match=message):
        read_manifest(tmp_path)


def test_the_logistic_finds_the_weights_that_made_the_data() -> None:
    draw = np.random.default_rng(1)
    values = draw.normal(size=(20_000, 2)) * [1.0, 3.0] + [0.0, 5.0]
    right = draw.random(20_000) < 1 / (1 + np.exp(-(0.5 + values @ [1.5, -0.4])))
    intercept, weights = logistic(values, right.astype(np.float64))
    assert intercept == pytest.approx(0.5, abs=0.15)
    assert weights == pytest.approx([1.5, -0.4], abs=0.08)


def test_the_threshold_lets_few_wrong_ones_through() -> None:
    sure = list(np.linspace(0.5, 0.999, 1000))
    right = [value > 0.7 for value in sure]
    threshold = lowest_threshold(sure, right)
    assert 0.69 < threshold <= 0.7  # 2 of 1000 may be wrong, half a thousandth apart
    assert sum(value >= threshold and not good for value, good in zip(sure, right, strict=True)) <= 2


def test_a_table_that_is_written_can_be_read(tmp_path: Path) -> None:
    table = read_acceptance()
    write(table, tmp_path / "hearing.toml", 1)
    assert read_acceptance(tmp_path / "hearing.toml") == table


def test_dumps_are_judged_and_fitted_on(tmp_path: Path) -> None:
    draw = np.random.default_rng(3)
    heard = []
    for _ in range(400):
        sure = float(draw.uniform(0, 10))
        scores = {"log_odds": sure, "log_odds_alike": 10.0, "log_odds_alone": sure, "log_prior": 0.0,
                  "log_probability": -0.2, "log_ratio": 0.0, "snr_db": 20.0}  # fmt: skip
        heard.append(Heard("number", True, bool(draw.random() < 1 / (1 + np.exp(-(sure - 2)))), scores))
    heard.append(Heard("noise", False, False, {}))
    dump = tmp_path / "dump.jsonl"
    with dump.open("w", encoding="utf-8") as file:
        for each in heard:
            hearing_dump.write(file, each)
    assert list(hearing_dump.read(dump)) == heard
    fit([dump], tmp_path / "fitted.toml")
    table = read_acceptance(tmp_path / "fitted.toml")
    assert table.weights["log_odds"] == pytest.approx(1.0, abs=0.35)
    found = hearing_dump.counts(heard, table)
    assert found["n"] == 400 and found["foreign"] == 1 and not found["foreign_taken"]
    assert found["wrong"] <= 1 < found["taken"]
    dump.write_text("{}\n", encoding="utf-8")
    with pytest.raises(BadInput, match="line 1: not of a dump"):
        list(hearing_dump.read(dump))


@pytest.mark.parametrize(
    ("said", "heard", "errors"), [("a b c", "a c", 1), ("a", "b a c", 2), ("", "a", 1), ("a", "a", 0)]
)
def test_word_errors(said: str, heard: str, errors: int) -> None:
    assert hearing_report.edit_distance(said.split(), heard.split()) == errors


def test_every_sentence_to_render_is_of_the_language() -> None:
    grammar = product()
    wanted = sentences(70)
    assert len({sentence.text for sentence in wanted}) == 70
    for sentence in wanted:
        assert "out_of_grammar" not in repr(grammar.meaning(sentence.text)), sentence.text


def test_the_whole_benchmark_on_a_small_corpus(
    tmp_path: Path, noise_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = [("diameter", "outside three quarters"), ("command", "start over"), ("sentence", "we watched a film")]
    lines = ["file\tspeaker\tkind\ttranscript"]
    with open_voice("espeak") as voice:
        for number, (kind, text) in enumerate(said):
            speech = voice.speak(text, VoiceSettings(name="en-us", words_per_minute=150))
            write_wav(tmp_path / f"{number}.wav", speech.samples, speech.rate_hz)
            lines.append(f"{number}.wav\tespeak\t{kind}\t{text}")
    (tmp_path / "manifest.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert len(read_audio(tmp_path / "0.wav")) > SAMPLE_RATE_HZ
    options = ["hearing", "--corpus", str(tmp_path), "--grammar", "product", "--json"]
    assert bench.main([*options, "--noise", str(noise_file), "--snr", "30", "--loose"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["kinds"]["diameter"] == {"n": 1, "right": 1, "wrong_accepted": 0, "rejected": 0}
    assert document["kinds"]["sentence"]["wrong_accepted"] == 0
    assert document["kinds"]["noise"] == {"n": 40, "right": 0, "wrong_accepted": 0, "rejected": 40}
    assert set(document) >= {"kinds", "calibration", "latency_ms", "real_time_factor", "rss_mb", "word_error"}
    assert sum(each["n"] for each in document["calibration"]) == 2
    assert document["latency_ms"]["p50"] <= document["latency_ms"]["p95"]


def test_benchmarks_are_found_and_unknown_ones_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert {"hearing", "endpointing"} <= bench.benchmarks().keys()
    assert "census" not in bench.benchmarks()
    assert bench.main(["--help"]) == 0
    assert "How well an engine hears" in capsys.readouterr().out
    assert bench.main(["no-such"]) == 2
    assert "no benchmark is called no-such" in capsys.readouterr().err
    assert bench.main(["hearing"]) == 2
    assert "name a corpus" in capsys.readouterr().err


def test_texts_of_the_census_language_are_one_by_meaning() -> None:
    heard = [Alternative("fifteen", np.log(0.3)), Alternative("1 5", np.log(0.3)), Alternative("fifty", np.log(0.4))]
    meanings = weigh(heard, Census("numbers"), Context()).likeliest_meanings()
    assert [round(float(np.exp(meaning.log_weight)), 3) for meaning in meanings] == [0.6, 0.4]


def test_the_picture_is_drawn_from_what_was_counted_and_is_the_same_again(tmp_path: Path) -> None:
    outcome = partial(
        hearing_report.Outcome, "pitch", True, probability=1.0, seconds=1.0, latency_s=0.1, errors=0, words=2, scores={}
    )
    outcomes = (
        [outcome(right=True, accepted=True)] * 6
        + [outcome(right=True, accepted=False)] * 3
        + [outcome(right=False, accepted=True)]
    )
    points = [Point.of(weights, snr, outcomes) for weights in ("before", "now") for snr in SNRS_DB]
    assert (points[0].n, points[0].right, points[0].taken, points[0].wrong_and_taken) == (10, 9, 7, 1)
    draw(points, "pink noise", tmp_path / "a.svg")
    draw(points, "pink noise", tmp_path / "b.svg")
    drawn = (tmp_path / "a.svg").read_text()
    assert drawn == (tmp_path / "b.svg").read_text()
    assert all(
        text in drawn for text in ("before: right", "now: taken without asking", "10 sentences a point", "pink noise")
    )


def test_a_picture_without_a_noise_or_other_weights_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert bench.main(["hearing", "--corpus", str(tmp_path), "--picture", str(tmp_path / "a.svg")]) == 2
    assert "--against" in capsys.readouterr().err
