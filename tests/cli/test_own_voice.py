"""The voice that a hearing check keeps with consent, what is found of it again, and labelled sets that it collects."""

from __future__ import annotations

import shutil
import stat
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from benchmarks import hearing
from voicefit.audio.files import read_audio, resample, to_int16, write_wav
from voicefit.cli import check_hearing
from voicefit.cli.check_hearing import kept_folder
from voicefit.driver.hearing_again import HeardAgain, compare, fit, under_pink_noise
from voicefit.driver.hearing_check import PHRASES
from voicefit.driver.labelled import LabelledSet, read_manifest
from voicefit.driver.read_aloud import sentences
from voicefit.errors import BadInput
from voicefit.recognition.acceptance import read_acceptance
from voicefit.recognition.signal import levels
from voicefit.recognition.weights import DECODER, SHIPPED
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.settings import load_hearing
from voicefit.synthesis import VoiceSettings, open_voice


def read_aloud(path: Path, phrases: list[str]) -> Path:
    """The phrases in the bundled voice, with pauses and a little hiss."""
    parts = [np.zeros(SAMPLE_RATE_HZ, np.float32)]
    with open_voice("espeak") as voice:
        for phrase in phrases:
            speech = voice.speak(phrase, VoiceSettings())
            parts.append(resample(speech.samples.astype(np.float32) / 32768, speech.rate_hz, SAMPLE_RATE_HZ))
            parts.append(np.zeros(round(1.5 * SAMPLE_RATE_HZ), np.float32))
    whole = np.concatenate(parts)
    whole += np.random.default_rng(1).normal(0, 0.001, len(whole)).astype(np.float32)
    write_wav(path, to_int16(whole), SAMPLE_RATE_HZ)
    return path


def test_phrases_are_kept_on_request_heard_again_fitted_and_removed(
    voicefit: Callable, home: Path, tmp_path: Path
) -> None:
    recording = read_aloud(tmp_path / "ten.wav", list(PHRASES[:2]))
    assert voicefit("check-hearing", "--from", str(recording), "--json").document["phrases_kept"] == 0
    assert not kept_folder().exists(), "no consent, no sound"
    assert voicefit("check-hearing", "--kept").code == 2
    kept = voicefit("check-hearing", "--from", str(recording), "--keep-voice", "--json").document
    assert kept["phrases_kept"] == 2 and kept["again"] is None
    rows = read_manifest(kept_folder())
    assert [row.transcript for row in rows] == list(PHRASES[:2])
    assert {stat.S_IMODE(path.stat().st_mode) for path in kept_folder().iterdir()} == {0o600}
    assert len(read_audio(kept_folder() / rows[0].file)) > SAMPLE_RATE_HZ

    same = tmp_path / "same"
    shutil.copytree(SHIPPED, same)
    again = voicefit("check-hearing", "--kept", "--against", str(same), "--fit", "--json").document
    assert again["heard"]["heard"] == 6 and again["heard"] | {"weights": ""} == again["comparison"]["second"] | {
        "weights": ""
    }
    assert again["comparison"]["verdict"] == "Both hear this voice equally well."
    shift = again["fit"]["shift"]
    assert -2 <= shift <= 0.5 and load_hearing().acceptance_shift == shift
    assert again["fit"]["wrong_and_taken_after"] <= again["fit"]["wrong_and_taken_before"]
    assert "equally well" in voicefit("check-hearing", "--kept", "--against", str(same)).out

    assert voicefit("check-hearing", "--forget", "--json").document == {"removed": 2}
    assert list(kept_folder().iterdir()) == []


@pytest.mark.usefixtures("home")
def test_a_labelled_set_is_collected_goes_on_where_it_stopped_and_is_read_by_the_benchmark(
    voicefit: Callable, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = sentences(4, zlib.crc32(b"first"))
    recording = read_aloud(tmp_path / "some.wav", [each.text for each in wanted])
    folder = tmp_path / "set"
    options = ("check-hearing", "--record", str(folder), "--speaker", "first", "--json", "--from", str(recording))
    assert voicefit(*options, "--sentences", "2").document["recorded"] == 2
    assert [row.transcript for row in read_manifest(folder)] == [each.text for each in wanted[:2]]
    rest = read_aloud(tmp_path / "rest.wav", [each.text for each in wanted[2:3]])
    more = voicefit(*options[:-1], str(rest), "--sentences", "4").document
    assert (more["recorded"], more["lacking"]) == (3, 1), "the recording ended before the last"
    rows = read_manifest(folder)
    assert [(row.transcript, row.kind, row.asked, row.speaker) for row in rows] == [
        (each.text, each.kind, each.asked, "first") for each in wanted[:3]
    ]
    capsys.readouterr()
    assert hearing.main(["--corpus", str(folder), "--json"]) == 0
    assert sum(kind["n"] for kind in hearing.json.loads(capsys.readouterr().out)["kinds"].values()) >= 3


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--kept", "--forget"], "--kept and --forget do not go together"),
        (["--kept", "--from", "a.wav"], "--from and --kept do not go together"),
        (["--fit", "--record", "set"], "--fit and --record do not go together"),
        (["--kept"], "no phrases of voice are kept in"),
        (["--against", "nowhere"], "encoder_model.ort"),
    ],
)
def test_what_cannot_be_done_is_said_before_anything_is_read(
    voicefit: Callable, options: list[str], message: str
) -> None:
    ran = voicefit("check-hearing", *options)
    assert ran.code in (2, 3) and message in ran.err


@pytest.mark.usefixtures("home")
def test_damaged_weights_are_named_with_the_checksum_expected(voicefit: Callable, tmp_path: Path) -> None:
    cut = tmp_path / "cut"
    shutil.copytree(SHIPPED, cut)
    (cut / DECODER).write_bytes((SHIPPED / DECODER).read_bytes()[:-1])
    expected = {line.split()[1]: line.split()[0] for line in (SHIPPED / "SHA256SUMS").read_text().splitlines()}
    for option in ("--model", "--against"):
        ran = voicefit("check-hearing", option, str(cut))
        assert ran.code == 3 and str(cut / DECODER) in ran.err and expected[DECODER] in ran.err


def test_who_can_be_asked_is_asked_and_nobody_else_agrees(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal:
        def isatty(self) -> bool:
            return True

    assert not check_hearing._agrees(json=False), "no terminal here"
    monkeypatch.setattr("sys.stdin", Terminal())
    monkeypatch.setattr("sys.stderr", Terminal())
    questions = []
    monkeypatch.setattr("typer.confirm", lambda question, err: questions.append(question) or True)
    assert check_hearing._agrees(json=False) and "--forget removes it" in questions[0]
    assert not check_hearing._agrees(json=True) and len(questions) == 1


def heard(right: list[bool], confidence: float = 0.0, *, taken: bool = True) -> list[HeardAgain]:
    scores = {"log_odds": 2.0, "log_probability": -0.4 + confidence, "log_ratio": -0.1, "log_odds_alone": 9.0}
    scores |= {"log_odds_alike": 9.0, "log_prior": 0.0, "snr_db": 20.0}
    return [HeardAgain("x", None, each, taken, scores) for each in right]


def test_a_comparison_says_better_only_of_what_chance_would_not_bring() -> None:
    clear = compare(("a", "b"), heard([True] * 10), heard([False] * 8 + [True] * 2))
    assert (clear.only_first, clear.only_second) == (8, 0) and clear.verdict == "a hears this voice better."
    slight = compare(("a", "b"), heard([False, True, False]), heard([True] * 3))
    assert slight.chance == 0.5 and slight.verdict.startswith("b heard a little more, but")
    assert "equally" in compare(("a", "b"), heard([True]), heard([True])).verdict


def test_the_fit_trusts_a_voice_less_that_is_often_misheard_and_never_takes_more_wrongly() -> None:
    table = read_acceptance()
    assert fit(heard([False] * 10), table).shift < -0.5 < fit(heard([True] * 10), table).shift <= 0.5
    assert fit([], table).shift == 0
    sure = table.accept_from
    odds = np.log(sure / (1 - sure)) - 0.02 - table.intercept
    weights = table.weights
    just_refused = (odds - 2 * weights["log_odds"] + 0.1 * weights["log_ratio"]) / weights["log_probability"] + 0.4
    mixed = heard([True] * 300, just_refused) + heard([False], just_refused)
    fitted = fit(mixed, table)
    assert fitted.shift == 0 and fitted.taken_after == 0, "one wrong would have been taken"


def test_noise_is_as_loud_as_asked() -> None:
    speech = (0.2 * np.sin(np.arange(2 * SAMPLE_RATE_HZ) * 0.3)).astype(np.float32)
    added = under_pink_noise(speech, 10.0, seed=3) - speech
    assert levels(speech)[0] - 20 * np.log10(np.sqrt(np.mean(added**2))) == pytest.approx(10, abs=0.1)
    octaves = [np.sum(np.abs(np.fft.rfft(added)[n : 2 * n]) ** 2) for n in (500, 1000, 2000, 4000)]
    assert max(octaves) < 1.3 * min(octaves)


def test_a_manifest_stays_readable(tmp_path: Path) -> None:
    mine = LabelledSet(tmp_path / "set")
    with pytest.raises(BadInput, match="no tabs"):
        mine.add(np.zeros(1600, np.float32), "a\tb", "check", "yes")
    mine.add(np.zeros(1600, np.float32), "a", "check", 'quo"ted', "pitch")
    assert read_manifest(mine.folder)[0].transcript == 'quo"ted' and read_manifest(mine.folder)[0].asked == "pitch"
    (mine.folder / "manifest.tsv").write_text("file\tspeaker\n")
    with pytest.raises(BadInput, match="no column kind"):
        LabelledSet(mine.folder)
