"""The endpointing benchmark judges rightly, and runs on any corpus with a manifest."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from benchmarks.endpointing import Segment, judge, main
from benchmarks.streams import Placed, speech_bounds, with_pause
from voicefit.audio.files import resample, write_wav
from voicefit.errors import BadInput
from voicefit.records import SAMPLE_RATE_HZ, Utterance
from voicefit.synthesis import VoiceSettings, open_voice

WORDS = ("outside nineteen thirty seconds", "thirty degrees", "nine sixteenths", "nineteen pitch, thirty degrees")


@pytest.fixture(scope="module")
def corpus(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("corpus")
    lines = ["file\tspeaker\tkind\ttranscript"]
    quiet = np.random.default_rng(0).normal(0, 0.0005, SAMPLE_RATE_HZ // 2).astype(np.float32)
    with open_voice("espeak") as voice:
        for number, words in enumerate(WORDS):
            speech = voice.speak(words, VoiceSettings())
            samples = resample(speech.samples.astype(np.float32) / 32768, speech.rate_hz, SAMPLE_RATE_HZ)
            write_wav(folder / f"{number}.wav", np.concatenate([quiet, samples, quiet]), SAMPLE_RATE_HZ)
            lines.append(f"{number}.wav\tespeak\tphrase\t{words}")
    (folder / "manifest.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    noise = np.convolve(np.random.default_rng(1).normal(size=10 * SAMPLE_RATE_HZ), np.ones(16) / 16, "same")
    write_wav(folder / "noise.wav", (noise * 0.3).astype(np.float32), SAMPLE_RATE_HZ)
    return folder


def segment(start_s: float, end_s: float, found_s: float | None = None) -> Segment:
    samples = np.zeros(round((end_s - start_s) * SAMPLE_RATE_HZ), np.float32)
    return Segment(Utterance(samples, start_s), end_s if found_s is None else found_s)


def test_every_fate_is_told_from_the_others() -> None:
    placed = [Placed(str(n), "phrase", 10.0 * n, 10.0 * n + 2) for n in range(1, 8)]
    segments = [
        segment(9.5, 12.4, 12.5),  # whole
        segment(20.03, 21.97),  # whole: 30 ms missing at each end
        segment(30.1, 32.5),  # clipped at its beginning
        segment(40.0, 41.0),  # split
        segment(41.2, 42.4),
        segment(49.5, 62.4),  # merged: two in one; the second is so too
        segment(66.0, 67.0),  # false
    ]
    result = judge(placed, segments, stream_s=80.0, refuses=lambda utterance: utterance.start_s == 66.0)
    fates = {name: result[name] for name in ("whole", "clipped", "split", "merged", "missed")}
    assert fates == {"whole": 2, "clipped": 1, "split": 1, "merged": 2, "missed": 1}
    assert result["false_segments"] == 1 and result["false_a_minute"] == 0.75 and result["false_accepted"] == 0
    assert judge(placed, segments, stream_s=80.0, refuses=lambda utterance: False)["false_accepted"] == 1
    assert result["kinds"] == {"phrase": {"n": 7, "whole": 2}}


def noisy_tone(seconds: float, level: float) -> np.ndarray:
    count = round(seconds * SAMPLE_RATE_HZ)
    return (level * np.sin(np.arange(count) * 0.3) + np.random.default_rng(2).normal(0, 1e-4, count)).astype("f4")


def test_speech_is_found_between_a_breath_and_silence() -> None:
    parts = ((0.5, 0), (0.2, 0.02), (0.4, 0), (1.0, 0.5), (0.6, 0))
    samples = np.concatenate([noisy_tone(*part) for part in parts])
    first, last, power = speech_bounds(samples)
    assert first / SAMPLE_RATE_HZ == pytest.approx(1.1, abs=0.03)  # not the weak sound before
    assert last / SAMPLE_RATE_HZ == pytest.approx(2.1, abs=0.03)
    assert power == pytest.approx(0.125, rel=0.2)
    with pytest.raises(BadInput):
        speech_bounds(np.zeros(100, np.float32))


@pytest.mark.parametrize("wanted_s", [0.05, 0.2, 0.6])
def test_the_longest_pause_is_made_as_long_as_wanted(wanted_s: float) -> None:
    parts = ((0.5, 0), (0.5, 0.5), (0.06, 0), (0.3, 0.4), (0.25, 0), (0.5, 0.5), (0.5, 0))
    samples = np.concatenate([noisy_tone(*part) for part in parts])
    changed = with_pause(samples, wanted_s)
    assert changed is not None and changed.dtype == np.float32
    assert (len(changed) - len(samples)) / SAMPLE_RATE_HZ == pytest.approx(wanted_s - 0.25, abs=0.025)
    second = round(1.36 * SAMPLE_RATE_HZ)
    assert np.array_equal(changed[:second], samples[:second])  # the words are as they were
    assert np.array_equal(changed[-SAMPLE_RATE_HZ:], samples[-SAMPLE_RATE_HZ:])
    assert abs(changed[second + 800 : second - 800 + round(wanted_s * SAMPLE_RATE_HZ)]).max(initial=0) < 0.001


def test_words_that_run_together_have_no_pause() -> None:
    samples = np.concatenate([noisy_tone(*part) for part in ((0.5, 0), (1.0, 0.5), (0.5, 0))])
    assert with_pause(samples, 0.3) is None


def test_a_run_on_a_small_corpus(corpus: Path, capsys: pytest.CaptureFixture[str]) -> None:
    noise = ["--noise", str(corpus / "noise.wav"), "--snr", "20", "15", "--offset", "2", "--span", "5"]
    assert main(["--corpus", str(corpus), "--kinds", "", *noise, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["rows"]
    assert [(row["noise"], row["snr_db"], row["pause_ms"]) for row in rows] == [
        ("noise.wav", 20.0, None),
        ("noise.wav", 15.0, None),
    ]
    for row in rows:
        assert row["n"] == 4 and row["whole"] + row["clipped"] + row["split"] == 4
        assert row["false_segments"] == 0 and row["end_ms_p50"] < 1000
    assert main(["--corpus", str(corpus), "--kinds", "", "--pause", "200"]) == 0
    header, row = capsys.readouterr().out.splitlines()
    cells = dict(zip(header.split(), row.split(), strict=True))
    assert cells["noise"] == "-" and cells["pause_ms"] == "200.0" and 1 <= int(cells["n"]) <= 2


@pytest.mark.parametrize(
    "wrong", [["--kinds", "song"], ["--kinds", "", "--noise", "noise.wav", "--offset", "60"], ["--corpus", "nowhere"]]
)
def test_what_cannot_be_run_is_named(corpus: Path, wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    wrong = [str(corpus / word) if word == "noise.wav" else word for word in wrong]
    assert main(["--corpus", str(corpus), *wrong]) == 2
    assert capsys.readouterr().err.strip()
