"""How the supervised voice stands thousands of replies: time, memory, replacements.

    python -m benchmarks voice [--replies 10000] [--crash-every 500] [--engine espeak] [--json]

Every reply differs. Now and then the worker is killed, or stopped so that it hangs, in turn; the time until the
sentence was nevertheless there is measured. Memory is that of this process and of the worker (Linux). Ends by itself.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from voicefit.errors import VoicefitError
from voicefit.synthesis import SupervisedVoice, VoiceSettings, open_voice

_WORDS = ("outside", "inside", "three", "eighths", "dash", "six", "nineteen", "pitch", "thirty", "degrees", "right")


def resident_mb(process_id: int) -> float | None:
    """Resident memory; ``None`` where the system does not say."""
    try:
        status = Path(f"/proc/{process_id}/status").read_text(encoding="ascii")
    except OSError:
        return None
    return next((int(line.split()[1]) / 1024 for line in status.splitlines() if line.startswith("VmRSS")), None)


def run(voice: SupervisedVoice, replies: int, crash_every: int) -> dict[str, Any]:
    random = np.random.default_rng(1)
    settings = VoiceSettings()
    usual_ms: list[float] = []
    replaced_ms: dict[str, list[float]] = {"crashed": [], "hung": []}
    memory: list[tuple[float | None, float | None]] = []
    spoken_s = 0.0
    for number in range(1, replies + 1):
        how = ""
        if crash_every and number % crash_every == 0 and voice.process_id is not None:
            how = "crashed" if number // crash_every % 2 else "hung"
            os.kill(voice.process_id, signal.SIGKILL if how == "crashed" else signal.SIGSTOP)
        text = " ".join(random.choice(_WORDS, size=int(random.integers(3, 13)))) + "."
        began = time.perf_counter()
        speech = voice.speak(text, settings)
        (replaced_ms[how] if how else usual_ms).append(1000 * (time.perf_counter() - began))
        spoken_s += len(speech.samples) / speech.rate_hz
        if number in (max(1, replies // 10), replies):
            memory.append((resident_mb(os.getpid()), resident_mb(voice.process_id or 0)))
    growth = [None if None in pair else round(pair[1] - pair[0], 1) for pair in zip(*memory, strict=True)]
    return {
        "replies": replies,
        "spoken_s": round(spoken_s, 1),
        "ms": {"p50": _at(usual_ms, 50), "p95": _at(usual_ms, 95), "max": _at(usual_ms, 100)},
        "replaced": voice.replaced,
        "replaced_ms": {how: {"n": len(ms), "max": _at(ms, 100)} for how, ms in replaced_ms.items()},
        "growth_mb_after_first_tenth": {"parent": growth[0], "worker": growth[1]},
    }


def _at(values: list[float], percent: float) -> float | None:
    return round(float(np.percentile(values, percent)), 2) if values else None


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks voice", description=__doc__)
    parser.add_argument("--replies", type=int, default=10_000)
    parser.add_argument("--crash-every", type=int, default=500, help="0: never")
    parser.add_argument("--engine", default=None)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    if options.replies < 1:
        parser.error("--replies must be at least 1")
    try:
        with open_voice(options.engine) as voice:
            result = run(voice, options.replies, options.crash_every)
    except VoicefitError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    sys.stdout.write(json.dumps(result, indent=2) + "\n" if options.json else "")
    if not options.json:
        for name, value in result.items():
            sys.stdout.write(f"{name:30} {value}\n")
    return 0
