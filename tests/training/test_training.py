"""The whole path on the CPU: a dozen utterances, two steps, averaged, exported, loaded, hearing."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import soxr

from training.export import average
from training.shards import Said, as_int16, read_shard, write_shard
from training.weights_file import PARTS, WeightsFile, quantise, read_weights
from voicefit.recognition.network import Network
from voicefit.recognition.weights import FILES, SHIPPED, TOKENS, find_weights
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.synthesis import VoiceSettings, open_voice

_ROOT = Path(__file__).resolve().parents[2]
_HAS_TORCH = "from importlib.util import find_spec; assert find_spec('torch') and find_spec('numpy')"
_TRAIN = "import json, sys; from training.train import main; [main(each) for each in json.loads(sys.argv[1])]"
_PYTHONS = (sys.executable, "/usr/bin/python3")  # Debian's torch belongs to Debian's Python


def python_with_torch() -> str:
    for python in _PYTHONS:
        found = subprocess.run([python, "-c", _HAS_TORCH], capture_output=True, check=False)
        if found.returncode == 0:
            return python
    pytest.skip("needs torch, from PyPI or as Debian's python3-torch: tools/system-packages torch")


def say(texts: list[str], kind: str) -> list[Said]:
    said = []
    with open_voice("espeak") as voice:
        for text in texts:
            speech = voice.speak(text, VoiceSettings(name="en-us", words_per_minute=190))
            samples = soxr.resample(np.asarray(speech.samples, np.float32), speech.rate_hz, SAMPLE_RATE_HZ)
            said.append(Said("tract-test", kind, text, as_int16(samples)))
    return said


def test_weights_are_read_rounded_and_written_back(tmp_path: Path) -> None:
    for part, name in PARTS.items():
        file = WeightsFile(SHIPPED / name, part)
        file.write(file.read(), tmp_path / name)
        assert (tmp_path / name).read_bytes() == (SHIPPED / name).read_bytes()
    weight = np.random.default_rng(0).normal(size=(40, 30)).astype(np.float32)
    rounded, scale, zero = quantise(weight)
    assert np.abs((rounded.astype(np.float32) - zero) * scale - weight).max() <= 0.51 * scale
    (tmp_path / "no.ort").write_bytes(b"no model")
    with pytest.raises(ValueError, match=r"no\.ort: not the model's encoder"):
        WeightsFile(tmp_path / "no.ort", "encoder")


def test_an_average_lies_between() -> None:
    old, trained = {"a": np.array([0.0, 2.0])}, [{"a": np.array([1.0, 4.0])}, {"a": np.array([3.0, 4.0])}]
    assert np.allclose(average(old, trained, 0.5)["a"], [1.0, 3.0])


def test_a_few_steps_on_the_cpu_give_a_model_that_hears(tmp_path: Path) -> None:
    python = python_with_torch()
    speech, validation = tmp_path / "speech", tmp_path / "validation"
    for folder in (speech, validation):
        folder.mkdir()
    said = say(["nineteen pitch", "yes", "flat face", "twelve", "port", "no", "thirty degrees", "male"], "product")
    human = say(["stop", "one two", "help"], "human-number")
    write_shard(speech / "a.npz", said)
    write_shard(speech / "b.npz", human)
    write_shard(speech / "d.npz", say(["it's chewed up", "carry on"], "ordinary"))
    write_shard(validation / "c.npz", say(["eight"], "product"))
    assert [each.text for each in read_shard(speech / "b.npz")] == ["stop", "one two", "help"]
    start, trained, model = tmp_path / "start.npz", tmp_path / "trained.npz", tmp_path / "model"
    np.savez(start, **read_weights(SHIPPED))
    options = [
        "--start", start, "--tokens", SHIPPED / TOKENS, "--speech", speech,
        "--validation", validation, "--out", trained, "--steps", "2", "--batch", "3", "--clips", "8",
        "--clip-seconds", "1", "--device", "cpu", "--human-text", "0.25",
    ]  # fmt: skip
    alone = tmp_path / "alone.npz"
    decoder_alone = [alone if each == trained else each for each in options]
    decoder_alone[decoder_alone.index("--steps") + 1] = "1"
    runs = [list(map(str, each)) for each in (options, [*decoder_alone, "--decoder-alone"])]
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | {"OMP_NUM_THREADS": "2"}
    done = subprocess.run(
        [python, "-c", _TRAIN, json.dumps(runs)],
        cwd=_ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    assert "13 utterances, 3 human" in done.stdout
    assert trained.with_suffix(".1.npz").exists()
    with np.load(start) as before, np.load(alone) as after:
        moved = {name.partition(".")[0] for name in before if np.abs(after[name] - before[name]).max() > 1e-9}
    assert moved == {"decoder"}
    done = subprocess.run(
        [sys.executable, "-m", "training.export", str(SHIPPED), str(model), str(trained), "--share", "0.5"],
        cwd=_ROOT, check=False, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    for name in FILES:
        assert (model / name).stat().st_size == (SHIPPED / name).stat().st_size
    assert find_weights(str(model)) == model
    changed, before = read_weights(model), read_weights(SHIPPED)
    furthest = max(float(np.abs(changed[name] - before[name]).max()) for name in before)
    assert 0 < furthest < 0.5
    logs, _ = Network(model).listen(np.zeros(SAMPLE_RATE_HZ, np.float32))
    assert np.exp(logs).sum() == pytest.approx(1, abs=1e-3)
    shutil.rmtree(model)
