"""A corpus for the hearing benchmark in voices that were not trained on: what averaging and acceptance are chosen by.

    python -m training.corpus OUT --model DIR [--part validation] [--count 240] [--seed 11] [--workers 2]

Sentences are drawn as the benchmark draws its own, with another seed, and from the wider texts; every one of a kind in
the language has a meaning there. Then ``python -m benchmarks hearing --corpus OUT`` hears them.

Duty: audio and manifest. It must not draw the sentences that are reported on.
"""

from __future__ import annotations

import argparse
import csv
import random
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from itertools import islice
from pathlib import Path

import numpy as np
import soundfile

from benchmarks.hearing_languages import Grammar, product
from training.english import English
from training.sentences import Texts
from training.voices import VOICES, Speaker
from voicefit.driver.read_aloud import Sentence, sentences

_SPEEDS = (0.9, 1.0, 1.15, 1.25)
_WIDER = 0.35
_FOREIGN = 0.12
_speaker: Speaker | None = None


def wanted(count: int, seed: int) -> list[Sentence]:
    """Sentences of the language, the wider ones among them, and general English, that is none."""
    reported = {each.text for each in sentences(520)}
    usual = [each for each in sentences(3 * count, seed) if each.text not in reported]
    chosen = usual[: round(count * (1 - _WIDER - _FOREIGN))]
    texts = (text for kind, text in Texts(seed).some(20 * count) if kind in ("product", "command"))
    short = (text for text in texts if len(text.split()) < 12)
    chosen += islice((Sentence("wider", text) for text in short if _is_language(text)), round(count * _WIDER))
    english, draw = English(random.Random(seed)), random.Random(seed)
    foreign = (text for text in iter(english.sentence, None) if len(text.split()) > 4 and not _is_language(text))
    chosen += islice((Sentence("sentence", text) for text in foreign), count - len(chosen))
    draw.shuffle(chosen)
    return chosen


def _is_language(text: str) -> bool:
    found = _product().meaning(text)
    return found is not None and "out_of_grammar" not in repr(found)


@cache
def _product() -> Grammar:
    return product()


def _begin(model: Path) -> None:
    global _speaker
    _speaker = Speaker(model)


def _speak(job: tuple[Path, str, str, float]) -> None:
    path, text, voice, speed = job
    assert _speaker is not None
    sound = _speaker.speak(f"{text}.", _speaker.style(voice), speed, voice.startswith("b"))
    soundfile.write(path, np.pad(sound / np.abs(sound).max() * 0.5, 1600), 16_000)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.corpus", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("out", type=Path)
    parser.add_argument("--model", type=Path, required=True)
    parser.add_argument("--part", choices=["validation", "test"], default="validation")
    parser.add_argument("--count", type=int, default=240)
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    voices = VOICES[options.part]
    rows = [
        (f"{number:04}.flac", voices[number % len(voices)], _SPEEDS[number // len(voices) % len(_SPEEDS)], sentence)
        for number, sentence in enumerate(wanted(options.count, options.seed))
    ]
    with ProcessPoolExecutor(options.workers, initializer=_begin, initargs=(options.model,)) as pool:
        list(pool.map(_speak, [(options.out / name, each.text, voice, speed) for name, voice, speed, each in rows]))
    with (options.out / "manifest.tsv").open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file, delimiter="\t", lineterminator="\n")
        lines.writerow(["file", "speaker", "kind", "transcript", "asked"])
        lines.writerows((name, voice, each.kind, each.text, each.asked) for name, voice, _, each in rows)
    print(f"{len(rows)} utterances in {options.out}")


if __name__ == "__main__":
    main()
