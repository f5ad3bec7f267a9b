"""Renders the second corpus: the product's sentences in synthetic voices.

Duty: speak :mod:`voicefit.driver.read_aloud` with flite, festival and espeak-ng (Debian packages flite, festival,
festvox-kallpc16k, festvox-kdlpc16k, festvox-us-slt-hts, espeak-ng) and write audio and manifest. Synthetic voices
predict little: with the natural ones everything looks easier than it is, with the formant ones harder.
"""

from __future__ import annotations

import csv
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from benchmarks.foreign import FOREIGN
from benchmarks.hearing_languages import product
from voicefit.audio.files import read_audio, write_wav
from voicefit.driver.read_aloud import Sentence, sentences
from voicefit.errors import BadInput, Missing
from voicefit.records import SAMPLE_RATE_HZ

Speak = Callable[[str, float, Path], None]  # text, speed, WAV file to write

NATURAL = ("flite-awb", "flite-rms", "flite-slt", "festival-cmu_us_slt_arctic_hts")
OTHERS = (
    "flite-kal16",
    "festival-kal_diphone",
    "festival-ked_diphone",
    "espeak-en-us",
    "espeak-en-gb",
    "espeak-en-gb-scotland",
    "espeak-en-us+f3",
)
SPEEDS = (0.9, 1.0, 1.15)
_ESPEAK_WORDS_A_MINUTE = 165


def render(folder: Path, count: int) -> int:
    """Write ``count`` sentences, each in a natural voice and in another one, and foreign ones in the natural voices.

    Returns the number of utterances. Raises ``Missing`` without one of the three programs, ``BadInput`` when a
    sentence is not of the language.
    """
    for program in ("flite", "text2wave", "espeak-ng"):
        if shutil.which(program) is None:
            packages = "flite festival festvox-kallpc16k festvox-kdlpc16k festvox-us-slt-hts espeak-ng"
            raise Missing(f"the program {program}", f"apt-get install {packages}")
    wanted = sentences(count)
    _check(wanted)
    folder.mkdir(parents=True, exist_ok=True)
    rows = list(_plan(wanted))
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda row: _write(folder, *row), rows))
    with (folder / "manifest.tsv").open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file, delimiter="\t", lineterminator="\n")
        lines.writerow(["file", "speaker", "kind", "transcript", "asked"])
        for name, voice, _, sentence in rows:
            lines.writerow([name, voice, sentence.kind, sentence.text, sentence.asked])
    return len(rows)


def _check(wanted: list[Sentence]) -> None:
    grammar = product()
    for sentence in wanted:
        meaning = grammar.meaning(sentence.text)
        if meaning is None or "out_of_grammar" in repr(meaning):
            raise BadInput(f"{sentence.text!r} is not a sentence of the language")


def _plan(wanted: list[Sentence]) -> Iterator[tuple[str, str, float, Sentence]]:
    for number, sentence in enumerate(wanted):
        for voices in (NATURAL, OTHERS):
            voice = voices[number % len(voices)]
            yield f"{number:04}-{voice}.wav", voice, SPEEDS[number // len(voices) % len(SPEEDS)], sentence
    for number, text in enumerate(FOREIGN):
        voice = NATURAL[number % len(NATURAL)]
        yield f"foreign-{number:02}-{voice}.wav", voice, 1.0, Sentence("sentence", text)


def _write(folder: Path, name: str, voice: str, speed: float, sentence: Sentence) -> None:
    engine, _, voice_name = voice.partition("-")
    with tempfile.TemporaryDirectory() as scratch:
        spoken = Path(scratch) / "spoken.wav"
        _ENGINES[engine](voice_name, sentence.text, speed, spoken)
        write_wav(folder / name, read_audio(spoken), SAMPLE_RATE_HZ)


def _flite(voice: str, text: str, speed: float, target: Path) -> None:
    _run(["flite", "-voice", voice, "--setf", f"duration_stretch={1 / speed}", "-t", text, "-o", str(target)])


def _festival(voice: str, text: str, speed: float, target: Path) -> None:
    set_up = f"(begin (voice_{voice}) (Parameter.set 'Duration_Stretch {1 / speed}))"
    _run(["text2wave", "-eval", set_up, "-o", str(target)], text)


def _espeak(voice: str, text: str, speed: float, target: Path) -> None:
    _run(["espeak-ng", "-v", voice, "-s", str(round(_ESPEAK_WORDS_A_MINUTE * speed)), "-w", str(target), text])


def _run(command: list[str], text: str = "") -> None:
    done = subprocess.run(command, input=text, text=True, capture_output=True, check=False)
    if done.returncode:
        raise Missing(f"speech from {' '.join(command[:4])}", done.stderr.strip() or "install its voices")


_ENGINES: dict[str, Callable[[str, str, float, Path], None]] = {
    "flite": _flite,
    "festival": _festival,
    "espeak": _espeak,
}
