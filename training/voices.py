"""Speaks texts in many synthetic voices, into shards.

    python -m training.voices TEXTS.tsv OUT [--model DIR] [--part train] [--workers 16] [--seconds 200] [--limit N]

DIR holds what the packages named in ``sources.toml`` carry: ``kokoro.onnx``, ``vocabulary.json`` and a folder
``styles`` with one vector file a voice. Half of the utterances are in mixtures of two voices: the styles are points of
a space, and what lies between is another speaker. A part has voices of its own that no other part hears.

Duty: texts to shards. It must not choose texts.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import soxr

from training.shards import Said, as_int16, write_shard
from training.tract import Tract, TractSpeaker
from voicefit.runtime import onnxruntime

RATE_HZ = 24_000
VOICES = {
    "train": [
        "af_alloy",
        "af_aoede",
        "af_bella",
        "af_heart",
        "af_jessica",
        "af_nicole",
        "af_river",
        "af_sarah",
        "af_sky",
        "am_adam",
        "am_eric",
        "am_fenrir",
        "am_liam",
        "am_michael",
        "am_onyx",
        "am_santa",
        "bf_isabella",
        "bf_lily",
        "bm_fable",
        "bm_george",
    ],
    # Speakers of other languages: in mixtures an accent, alone a strong one.
    "accents": [
        "jf_alpha",
        "jf_gongitsune",
        "jm_kumo",
        "hf_alpha",
        "hm_omega",
        "hm_psi",
        "if_sara",
        "im_nicola",
        "ef_dora",
        "em_alex",
        "pf_dora",
        "pm_alex",
        "ff_siwis",
        "zf_xiaobei",
        "zf_xiaoxiao",
    ],
    "validation": ["am_puck", "bf_emma", "bm_lewis", "af_nova"],
    "test": ["am_echo", "bf_alice", "bm_daniel", "af_kore"],
}
_A_SHARD = 25
_MOST_PHONEMES = 400
_EDGE = 2400  # samples of silence kept on both sides


class Speaker:
    """The synthesiser in this process, one thread."""

    def __init__(self, folder: Path) -> None:
        from hibari.g2p import G2P  # the phonemiser alone; its import loads a dictionary

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        self._session = onnxruntime.InferenceSession(
            str(folder / "kokoro.onnx"), options, providers=["CPUExecutionProvider"]
        )
        self._numbers: dict[str, int] = json.loads((folder / "vocabulary.json").read_text(encoding="utf-8"))["vocab"]
        self._styles = {
            path.stem: np.fromfile(path, np.float16).astype(np.float32).reshape(-1, 1, 256)
            for path in (folder / "styles").iterdir()
        }
        self._phonemes = {british: G2P(british=british) for british in (False, True)}

    def voice(self, draw: random.Random, part: str) -> tuple[str, np.ndarray, bool]:
        """Name, style by number of phonemes, and whether it is British."""
        kind = draw.random()
        first = draw.choice(VOICES[part])
        if part != "train" or kind < 0.3:
            return first, self._styles[first], first[0] == "b"
        if kind > 0.92:
            first = draw.choice(VOICES["accents"])
            return first, self._styles[first], False
        second = draw.choice(VOICES["train" if kind < 0.7 else "accents"])
        weight = draw.uniform(0.25, 0.75)
        name = f"{weight:.2f}*{first}+{second}"
        return name, weight * self._styles[first] + (1 - weight) * self._styles[second], first[0] == "b"

    def style(self, voice: str) -> np.ndarray:
        return self._styles[voice]

    def speak(self, text: str, style: np.ndarray, speed: float, british: bool) -> np.ndarray:
        """Float samples at 16 kHz, about 0.15 s of silence at the edges."""
        phonemes = self._phonemes[british](sayable(text))
        numbers = [self._numbers[each] for each in phonemes if each in self._numbers][:_MOST_PHONEMES]
        inputs: dict[str, Any] = {
            "tokens": np.array([[0, *numbers, 0]]),
            "style": style[len(numbers)],
            "speed": np.array([speed], np.float32),
        }
        sound = self._session.run(None, inputs)[0].reshape(-1)
        sound = soxr.resample(sound, RATE_HZ, 16_000).astype(np.float32)
        loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
        return sound[max(0, loud[0] - _EDGE) : loud[-1] + _EDGE] if len(loud) else sound


def sayable(text: str) -> str:
    """Letters said one by one in capitals, "a" as it sounds: the phonemiser takes it for the article. What stands
    after an apostrophe is no letter said by itself: "hasn'T" is said as "hassen tea".

    >>> sayable("n p t a half"), sayable("s a e"), sayable("o ring")
    ('N P T a half', 'S eigh E', 'O ring')
    >>> sayable("it's an m fourteen, isn't it"), sayable("it won't go in")
    ("it's an M fourteen, isn't it", "it won't go in")
    """
    spelled = re.sub(r"(?<![\w'])[a-z](?: [a-z]\b(?!'))+", lambda found: _capitals(found[0], text), text)
    return re.sub(r"(?<![\w'])([b-hj-z])(?=[ ,.]|$)", lambda found: found[1].upper(), spelled)


def _capitals(letters: str, text: str) -> str:
    # A last "a" before a word is the article: "n p t a half".
    if letters.endswith(" a") and not text.endswith(letters):
        return f"{letters[:-2].upper().replace('A', 'eigh')} a"
    return letters.upper().replace("A", "eigh")


_speaker: Speaker | TractSpeaker | None = None


def _begin(folder: Path | None) -> None:
    global _speaker
    _speaker = Speaker(folder) if folder else TractSpeaker()


def _say(text: str, part: str, draw: random.Random) -> tuple[str, np.ndarray]:
    """Name of the speaker, and samples at 16 kHz."""
    if isinstance(_speaker, TractSpeaker):
        tract = Tract.draw(draw)
        return tract.name(), _speaker.speak(sayable(text), tract, draw.randrange(1 << 30))
    assert _speaker is not None
    name, style, british = _speaker.voice(draw, part)
    return name, _speaker.speak(text, style, draw.uniform(0.78, 1.35), british)


def _shard(job: tuple[int, list[tuple[str, str]], str, Path, float]) -> int:
    """Speaks the texts of one shard, unless the time is up."""
    number, rows, part, out, until = job
    if _speaker is None or time.time() > until:
        return 0
    draw = random.Random(f"{part} {number}")
    said: list[Said] = []
    for kind, text in rows:
        spoken = text if draw.random() < 0.7 else text.replace(",", "")
        stop = "." if draw.random() < 0.7 and spoken[-1].isalnum() else ""
        name, sound = _say(spoken + stop, part, draw)
        if np.isfinite(sound).all() and 3200 <= len(sound) <= 9 * 16_000:
            said.append(Said(name, kind, text, as_int16(sound)))
    if said:
        write_shard(out / f"{part}-{_speaker.__class__.__name__}-{number:05}.npz", said)
    return len(said)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.voices", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("texts", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--model", type=Path, help="without it, the parametric voice of training.tract speaks")
    parser.add_argument("--part", choices=["train", "validation", "test"], default="train")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=float("inf"))
    parser.add_argument("--limit", type=int, default=0, help="texts at most")
    options = parser.parse_args()
    lines = options.texts.read_text(encoding="utf-8").splitlines()[: options.limit or None]
    rows = [(kind, text) for kind, text in (line.split("\t") for line in lines)]
    options.out.mkdir(parents=True, exist_ok=True)
    until = time.time() + min(options.seconds, 1e9)
    jobs = [
        (at // _A_SHARD, rows[at : at + _A_SHARD], options.part, options.out, until)
        for at in range(0, len(rows), _A_SHARD)
    ]
    with ProcessPoolExecutor(options.workers, initializer=_begin, initargs=(options.model,)) as pool:
        spoken = sum(pool.map(_shard, jobs))
    print(f"{spoken} utterances in {options.out}")


if __name__ == "__main__":
    main()
