"""How well utterances are cut out of a stream with noise.

    python -m benchmarks endpointing --corpus DIR [--noise FILE …] [--snr DB …] [--pause MS …] [--json]

Human utterances (``manifest.tsv``: file, speaker, kind, transcript) are laid into noise with gaps of 1 to 10 s, at a
level that puts their voiced parts ``--snr`` dB above the noise, and fed to the endpointer as a stream. An utterance is
whole when exactly one segment covers it, with no more than 40 ms missing at either end, and that segment covers no
other. A segment without any utterance in it is false. Where speech begins and ends in the clean recording is found by
its energy. With ``--pause`` only utterances of several words are taken, with a pause of so many ms between two of them.
With ``--recognise`` the false segments are given to the recogniser, which should refuse them.

Of each noise ``--span`` seconds from ``--offset`` are used: tune on others than those used for reporting.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from benchmarks.streams import Placed, lay_out, rows_of
from voicefit.audio.endpointing import Endpointer, EndpointSettings
from voicefit.audio.files import read_audio
from voicefit.errors import BadInput, VoicefitError
from voicefit.records import SAMPLE_RATE_HZ, Utterance

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

ALLOWED_CLIP_S = 0.04
SOON_S = 0.7
# column of the table: key of a row, its width
_COLUMNS = (
    ("noise", 16),
    ("snr_db", 7),
    ("pause_ms", 9),
    ("n", 5),
    ("whole_percent", 14),
    ("clipped", 8),
    ("split", 6),
    ("merged", 7),
    ("missed", 7),
    ("end_ms_p50", 11),
    ("end_ms_p95", 11),
    ("soon_percent", 13),
    ("false_a_minute", 15),
    ("false_accepted", 15),
)


@dataclass(frozen=True, slots=True)
class Segment:
    utterance: Utterance
    found_s: float  # when the endpointer handed it over

    @property
    def start_s(self) -> float:
        return self.utterance.start_s

    @property
    def end_s(self) -> float:
        return self.utterance.start_s + self.utterance.duration_s


def segments_of(stream: NDArray[np.float32], endpointer: Endpointer, block: int = 320) -> list[Segment]:
    found = []
    for start in range(0, len(stream), block):
        for utterance in endpointer.feed(stream[start : start + block]):
            found.append(Segment(utterance, endpointer.now_s))
    return found + [Segment(utterance, endpointer.now_s) for utterance in endpointer.flush()]


def judge(
    placed: list[Placed],
    segments: list[Segment],
    stream_s: float,
    refuses: Callable[[Utterance], bool] | None = None,
) -> dict[str, Any]:
    """Counts of what became of the utterances, and of the segments without one.

    ``end_ms``, ``soon_percent`` : from the end of speech to the handing over, and how many come within 700 ms.
    """
    fates = {"whole": 0, "missed": 0, "clipped": 0, "split": 0, "merged": 0}
    kinds: dict[str, dict[str, int]] = {}
    clips: list[float] = []
    delays: list[float] = []
    failures: list[dict[str, Any]] = []
    for item in placed:
        inside = [s for s in segments if s.start_s < item.end_s and s.end_s > item.start_s]
        if not inside:
            fate = "missed"
        elif len(inside) > 1:
            fate = "split"
        elif any(p is not item and inside[0].start_s < p.end_s and inside[0].end_s > p.start_s for p in placed):
            fate = "merged"
        else:
            clip = max(inside[0].start_s - item.start_s, item.end_s - inside[0].end_s, 0.0)
            clips.append(clip)
            fate = "whole" if clip <= ALLOWED_CLIP_S else "clipped"
            delays.append(inside[0].found_s - item.end_s)
        fates[fate] += 1
        kind = kinds.setdefault(item.kind, {"n": 0, "whole": 0})
        kind["n"] += 1
        kind["whole"] += fate == "whole"
        if fate != "whole":
            failures.append({"file": item.file, "at_s": round(item.start_s, 2), "fate": fate})
    false = [s for s in segments if not any(s.start_s < p.end_s and s.end_s > p.start_s for p in placed)]
    return {
        "n": len(placed),
        **fates,
        "whole_percent": round(100 * fates["whole"] / len(placed), 2),
        "kinds": kinds,
        "clipped_ms_max": round(1000 * max(clips, default=0.0)),
        "end_ms_p50": round(1000 * float(np.percentile(delays, 50))) if delays else None,
        "end_ms_p95": round(1000 * float(np.percentile(delays, 95))) if delays else None,
        "end_ms_max": round(1000 * max(delays)) if delays else None,
        "soon_percent": round(100 * float(np.mean([delay <= SOON_S for delay in delays])), 2) if delays else None,
        "false_segments": len(false),
        "false_a_minute": round(60 * len(false) / stream_s, 3),
        "false_accepted": None if refuses is None else sum(not refuses(s.utterance) for s in false),
        "longest_segment_s": round(max((s.utterance.duration_s for s in segments), default=0.0), 2),
        "failures": failures,
    }


def recogniser_refuses() -> Callable[[Utterance], bool]:
    """Whether the default engine, held to the product's language, refuses an utterance."""
    from voicefit.driver import open_knowledge
    from voicefit.recognition import open_recogniser
    from voicefit.records import Context

    language, recogniser = open_knowledge().language, open_recogniser()
    return lambda utterance: recogniser.recognise(utterance, language, Context()).rejection is not None


def run(options: argparse.Namespace) -> list[dict[str, Any]]:
    """One row for each noise, level and pause."""
    settings = (
        EndpointSettings() if options.hang_over is None else EndpointSettings(hang_over_s=options.hang_over / 1000)
    )
    rows = rows_of(options.corpus, set(options.kinds.split(",")) if options.kinds else set())
    refuses = recogniser_refuses() if options.recognise else None
    found = []
    for file in options.noise or [None]:
        noise = None if file is None else _stretch(file, options.offset, options.span)
        for snr_db in options.snr if file is not None else [None]:
            for pause_ms in options.pause or [None]:
                stream, placed = lay_out(
                    options.corpus,
                    rows,
                    options.count,
                    noise,
                    snr_db or 0.0,
                    options.seed,
                    None if pause_ms is None else pause_ms / 1000,
                )
                stream_s = len(stream) / SAMPLE_RATE_HZ
                began = time.process_time()
                segments = segments_of(stream, Endpointer(settings))
                spent_s = time.process_time() - began
                found.append(
                    {
                        "noise": None if file is None else file.name,
                        "snr_db": snr_db,
                        "pause_ms": pause_ms,
                        "stream_s": round(stream_s, 1),
                        **judge(placed, segments, stream_s, refuses),
                        "real_time_factor": round(spent_s / stream_s, 4),
                    }
                )
    return found


def _stretch(file: Path, offset_s: float, span_s: float) -> NDArray[np.float32]:
    sound = read_audio(file)[round(offset_s * SAMPLE_RATE_HZ) :][: round(span_s * SAMPLE_RATE_HZ)]
    if not sound.any():
        raise BadInput(f"{file} holds no noise from {offset_s:g} s on")
    return sound


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(
        prog="python -m benchmarks endpointing",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--corpus", type=Path, required=True)
    parser.add_argument("--noise", type=Path, nargs="+", help="none: the recordings alone")
    parser.add_argument("--snr", type=float, nargs="+", default=[10.0], help="dB; default 10")
    parser.add_argument("--pause", type=float, nargs="+", help="ms, in the middle of each utterance")
    parser.add_argument("--recognise", action="store_true", help="give the false segments to the recogniser")
    parser.add_argument("--kinds", default="number-or-command,date", help="of the manifest; empty: all")
    parser.add_argument("--count", type=int, default=200, help="utterances; default 200")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--offset", type=float, default=30.0, help="seconds into the noise; default 30")
    parser.add_argument("--span", type=float, default=30.0, help="seconds of the noise that are used; default 30")
    parser.add_argument("--hang-over", type=float, help="ms, instead of the product's")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    try:
        rows = run(options)
    except VoicefitError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    if options.json:
        sys.stdout.write(json.dumps({"rows": rows}, indent=2) + "\n")
        return 0
    sys.stdout.write("".join(name.rjust(width) for name, width in _COLUMNS) + "\n")
    for row in rows:
        cells = (("-" if row[name] is None else str(row[name])).removesuffix(".flac") for name, _ in _COLUMNS)
        sys.stdout.write("".join(cell.rjust(width) for cell, (_, width) in zip(cells, _COLUMNS, strict=True)) + "\n")
    return 0
