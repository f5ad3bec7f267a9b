"""The main job from sound: real engine, real audio, synthesised or recorded."""

from __future__ import annotations

import contextlib
import os
import pty
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest
import soundfile

from voicefit.documents import AnswerDocument
from voicefit.resources import data_folder

SENTENCE = data_folder() / "demo" / "sentence.flac"


def sentence() -> tuple[np.ndarray, int]:
    samples, rate = soundfile.read(SENTENCE, dtype="float32")
    return samples, rate


def resampled(samples: np.ndarray, rate: int, to_hz: int) -> np.ndarray:
    import soxr

    return soxr.resample(samples, rate, to_hz)


def test_recorded_sentence_leads_to_the_fitting(voicefit):
    ran = voicefit("hear", "--json", str(SENTENCE))
    assert ran.code == 0, ran.err
    answer = AnswerDocument.model_validate(ran.document)
    first = answer.candidates[0]
    assert (first.series, first.dash, first.gender) == ("flare30-g", 6, "female")
    assert not answer.identified
    assert answer.next_check is not None


@pytest.mark.parametrize(("rate", "channels"), [(8_000, 1), (48_000, 2), (44_100, 1)])
def test_common_rates_and_layouts(voicefit, tmp_path: Path, rate: int, channels: int):
    samples, original = sentence()
    sound = resampled(samples, original, rate)
    if channels == 2:
        sound = np.stack([sound, np.zeros_like(sound)], axis=1)  # one silent channel
    file = tmp_path / "sentence.wav"
    soundfile.write(file, sound, rate)
    ran = voicefit("hear", "--json", str(file))
    answer = AnswerDocument.model_validate(ran.document)
    assert answer.heard
    if rate > 8_000:  # the telephone band may be refused, but never misheard
        assert ran.code == 0
    values = {r.value_exact for r in answer.readings if r.measurand.value in ("outside_diameter", "inside_diameter")}
    assert values <= {"19/32"}


def test_several_utterances_are_one_session(voicefit, tmp_path: Path):
    samples, rate = sentence()
    file = tmp_path / "twice.wav"
    soundfile.write(file, np.concatenate([samples, np.zeros(2 * rate, "float32"), samples]), rate)
    ran = voicefit("hear", "--json", str(file))
    assert ran.code == 0
    answer = AnswerDocument.model_validate(ran.document)
    assert answer.heard.count("30 degrees") + answer.heard.count("thirty degrees") == 2


@pytest.mark.parametrize("kind", ["empty", "header", "text", "zero", "missing", "nan"])
def test_bad_files_are_named(voicefit, tmp_path: Path, kind: str):
    file = tmp_path / f"{kind}.wav"
    if kind == "empty":
        file.write_bytes(b"")
    elif kind == "header":
        soundfile.write(file, np.zeros(1600, "float32"), 16_000)
        raw = bytearray(file.read_bytes())
        raw[0:4] = b"RIFX"
        raw[8:12] = b"WAVX"
        file.write_bytes(raw)
    elif kind == "text":
        file.write_text("this is no sound")
    elif kind == "zero":
        soundfile.write(file, np.zeros(0, "float32"), 16_000)
    elif kind == "nan":
        soundfile.write(file, np.array([0.0, np.nan] * 800, "float32"), 16_000, subtype="FLOAT")
    ran = voicefit("hear", "--json", str(file))
    assert ran.code == 2
    assert file.name in ran.err
    assert ran.out == ""


def test_silence_is_refused_by_name(voicefit, tmp_path: Path):
    file = tmp_path / "silence.wav"
    soundfile.write(file, np.zeros(48_000, "float32"), 16_000)
    ran = voicefit("hear", "--json", str(file))
    assert ran.code == 1
    answer = AnswerDocument.model_validate(ran.document)
    assert [rejection.reason for rejection in answer.rejected] == ["silence"]
    assert answer.reply


def test_unknown_engine_and_missing_model(voicefit):
    assert voicefit("hear", "--engine", "no-such", str(SENTENCE)).code == 2
    ran = voicefit("hear", "--model", "/no/such/folder", str(SENTENCE))
    assert ran.code == 3
    assert "/no/such/folder" in ran.err


def test_demo_writes_the_spoken_reply(voicefit, tmp_path: Path):
    reply = tmp_path / "deep" / "reply.wav"
    ran = voicefit("demo", "--to", str(reply), "--json")
    assert ran.code == 0
    answer = AnswerDocument.model_validate(ran.document)
    samples, rate = soundfile.read(reply)
    assert len(samples) / rate > 0.15 * len(answer.reply.split())  # at most 400 words a minute
    assert np.abs(samples).max() > 0.1


def test_a_recording_has_a_progress_bar_where_somebody_looks(tmp_path: Path) -> None:
    """Two hours of silence take a quarter of a minute: a terminal sees how far it is, a pipe nothing of it."""
    soundfile.write(tmp_path / "quiet.flac", np.zeros(5 * 16_000, np.int16), 16_000)
    program = [sys.executable, "-c", "from voicefit.cli import main; main()", "hear", str(tmp_path / "quiet.flac")]
    ours, theirs = pty.openpty()
    shown = bytearray()

    def look() -> None:
        with contextlib.suppress(OSError):  # the other side has gone
            while part := os.read(ours, 4096):
                shown.extend(part)

    looking = threading.Thread(target=look)
    looking.start()
    ended = subprocess.run(
        program, stdout=subprocess.PIPE, stderr=theirs, env=os.environ | {"TERM": "xterm", "COLUMNS": "80"}, check=False
    )
    os.close(theirs)
    looking.join()
    os.close(ours)
    assert ended.returncode == 1 and b"Hearing" in shown and b"Hearing" not in ended.stdout
    piped = subprocess.run(program, capture_output=True, check=False)
    assert b"Hearing" not in piped.stderr
