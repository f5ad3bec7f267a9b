"""Streams of recorded utterances in noise, with where each one begins and ends: what endpointing is measured on.

Duty: find the speech in a clean recording, give it a pause of a known length, lay recordings into noise with gaps. It
must not cut a stream, nor judge how it was cut.
"""

from __future__ import annotations

import csv
import itertools
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from voicefit.audio.files import read_audio
from voicefit.errors import BadInput
from voicefit.records import SAMPLE_RATE_HZ

if TYPE_CHECKING:
    from numpy.typing import NDArray

_EDGE = SAMPLE_RATE_HZ // 4  # kept of the recording around its speech
_FADE = SAMPLE_RATE_HZ // 50
_STEP = 160  # 10 ms
_SPEECH_RMS = 0.05
_LEAST_PAUSE = 5  # steps: shorter silences lie within words, where stops close


@dataclass(frozen=True, slots=True)
class Placed:
    """An utterance in the stream: where its speech begins and ends, in seconds."""

    file: str
    kind: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class _Activity:
    """Level of each 10 ms in dB, and the stretches that hold sound, as (first, after the last) of those steps."""

    level: NDArray[np.float64]
    loud: NDArray[np.bool_]
    runs: list[tuple[int, int]]


def speech_bounds(samples: NDArray[np.float32]) -> tuple[int, int, float]:
    """First and last sample of the speech in a clean recording, and the mean power of its voiced parts.

    A stretch of sound lies 8 dB above the recording's own floor and within 30 dB of its peaks for 40 ms. Speech begins
    and ends with a stretch that comes within 12 dB of the peaks, or with a weaker one close by (100 ms before: a
    consonant; 200 ms after: a stop released): a breath or a click further away is no speech. Against a forced alignment
    (pocketsphinx 5, its own US English model) of 464 of the corpus' recordings the beginning was more than 0.1 s early
    in 5 and late in 11, the end early in 54 (the aligner stretches last sounds) and late in 23.
    """
    activity = _activity(samples)
    first, last = _spoken(activity)
    end = min(len(samples), activity.runs[last][1] * _STEP + _STEP)
    power = 10 ** (activity.level[activity.loud] / 10)
    return activity.runs[first][0] * _STEP, end, float(power.mean())


def with_pause(samples: NDArray[np.float32], seconds: float) -> NDArray[np.float32] | None:
    """The recording with the longest pause between its words made so long; ``None`` where its words run together.

    The words keep their own rise and fall; what is put in or taken out lies in the middle of the pause, and what is put
    in is the recording's own silence.
    """
    activity = _activity(samples)
    first, last = _spoken(activity)
    inside = activity.runs[first : last + 1]
    pauses = [(after[0] - before[1], before[1], after[0]) for before, after in itertools.pairwise(inside)]
    length, begin, end = max(pauses, default=(0, 0, 0))
    if length < _LEAST_PAUSE:
        return None
    middle = (begin + end) // 2 * _STEP
    lacking = round(seconds * SAMPLE_RATE_HZ) - length * _STEP
    if lacking < 0:
        return np.concatenate([samples[: middle + lacking // 2], samples[middle - (lacking + 1) // 2 :]])
    quiet = samples[(begin + 1) * _STEP : (end - 1) * _STEP]
    there_and_back = np.concatenate([quiet, quiet[::-1]])  # no step where it is repeated
    return np.concatenate([samples[:middle], np.resize(there_and_back, lacking), samples[middle:]])


def _activity(samples: NDArray[np.float32]) -> _Activity:
    count = (len(samples) - 2 * _STEP) // _STEP + 1
    if count < 10:
        raise BadInput("a recording is too short to hold speech")
    sums = np.concatenate([[0.0], np.cumsum(np.square(samples, dtype=np.float64))])
    at = np.arange(count) * _STEP
    level = 10 * np.log10((sums[at + 2 * _STEP] - sums[at]) / (2 * _STEP) + 1e-12)
    loud = level > max(np.percentile(level, 10) + 8, np.percentile(level, 95) - 30)
    edges = np.diff(np.concatenate([[0], loud.astype(int), [0]]))
    runs = zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True)
    return _Activity(level, loud, [(int(a), int(b)) for a, b in runs if b - a >= 4])


def _spoken(activity: _Activity) -> tuple[int, int]:
    """The first and the last stretch that belong to the speech."""
    level, runs = activity.level, activity.runs
    peak = np.percentile(level, 95)
    strong = [i for i, (a, b) in enumerate(runs) if level[a:b].max() > peak - 12]
    if not strong:
        raise BadInput("a recording holds no speech")
    first, last = strong[0], strong[-1]
    while first > 0 and runs[first][0] - runs[first - 1][1] <= 10:
        first -= 1
    while last < len(runs) - 1 and runs[last + 1][0] - runs[last][1] <= 20:
        last += 1
    return first, last


def rows_of(corpus: Path, kinds: set[str]) -> list[dict[str, str]]:
    """The manifest's rows of the kinds; of all kinds when none is named. Raises ``BadInput``."""
    manifest = corpus / "manifest.tsv"
    try:
        with manifest.open(encoding="utf-8", newline="") as file:
            rows = [row for row in csv.DictReader(file, delimiter="\t") if not kinds or row["kind"] in kinds]
    except (OSError, KeyError, UnicodeDecodeError) as error:
        raise BadInput(f"{manifest} cannot be read as a manifest ({error})") from None
    if not rows:
        raise BadInput(f"{manifest} has no utterance of the kinds asked for")
    return rows


def lay_out(
    corpus: Path,
    rows: list[dict[str, str]],
    count: int,
    noise: NDArray[np.float32] | None,
    snr_db: float,
    seed: int,
    pause_s: float | None = None,
) -> tuple[NDArray[np.float32], list[Placed]]:
    """The stream, and where the utterances lie in it: ``count`` of the rows by lot, gaps of 1 to 10 s.

    ``noise`` : repeated for as long as the stream is, ``snr_db`` under the mean power of the voiced parts.
    ``pause_s`` : only utterances with a pause between words, that pause made so long.
    """
    random = np.random.default_rng(seed)
    at = 2 * SAMPLE_RATE_HZ
    parts: list[tuple[int, NDArray[np.float32]]] = []
    placed: list[Placed] = []
    for row in (rows[i] for i in random.permutation(len(rows))):
        if len(placed) == count:
            break
        samples: NDArray[np.float32] | None = read_audio(corpus / row["file"])
        if samples is not None and pause_s is not None:
            samples = with_pause(samples, pause_s)
        if samples is None:
            continue
        first, last, power = speech_bounds(samples)
        begin, end = max(0, first - _EDGE), min(len(samples), last + _EDGE)
        part = samples[begin:end] * np.float32(_SPEECH_RMS / np.sqrt(power))
        fade = np.linspace(0, 1, _FADE, dtype=np.float32)
        part[:_FADE] *= fade
        part[-_FADE:] *= fade[::-1]
        parts.append((at - (first - begin), part))
        end_at = at + last - first
        placed.append(Placed(row["file"], row["kind"], at / SAMPLE_RATE_HZ, end_at / SAMPLE_RATE_HZ))
        at = end_at + round(random.uniform(1, 10) * SAMPLE_RATE_HZ)
    if not placed:
        raise BadInput("no utterance has a pause between its words")
    stream = np.zeros(at + SAMPLE_RATE_HZ, np.float32)
    if noise is not None:
        level = np.sqrt(np.mean(np.square(noise, dtype=np.float64)))
        stream += np.resize(noise, len(stream)) * np.float32(_SPEECH_RMS * 10 ** (-snr_db / 20) / level)
    for start, part in parts:
        stream[start : start + len(part)] += part
    return stream, placed
