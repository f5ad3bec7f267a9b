"""How long one sentence takes: in a running process (target 10 ms), from a cold start (target 1 s), and from sound."""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

SENTENCES = (
    "outside nineteen thirty-seconds, nineteen pitch, thirty degrees",
    "inside fifteen point one millimeters, nineteen threads per inch, it goes in",
    "outside thirteen sixteenths, sixteen pitch, o-ring in the face",
    "m eighteen by one point five, twenty four degrees included, tube twelve millimeters",
)


def _median_ms(do: Callable[[int], object], runs: int) -> float:
    times = []
    for run in range(runs):
        begun = time.perf_counter()
        do(run)
        times.append(1e3 * (time.perf_counter() - begun))
    return statistics.median(times)


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks ask", description=__doc__)
    parser.add_argument("--runs", type=int, default=40, help="sentences in the running process (default 40)")
    parser.add_argument("--cold-runs", type=int, default=5, help="starts of the command (default 5)")
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    options = parser.parse_args(argv)

    from voicefit.audio.endpointing import Endpointer
    from voicefit.audio.files import read_audio
    from voicefit.driver import Conversation, open_knowledge
    from voicefit.recognition import open_recogniser
    from voicefit.resources import data_folder

    knowledge = open_knowledge()

    def ask(run: int) -> object:
        # What was asked before is remembered, so each sentence gets a value of its own.
        text = f"{SENTENCES[run % len(SENTENCES)]}, hex {20 + run} millimeters"
        return Conversation(knowledge).take_text(text)

    ask(0)
    in_process = _median_ms(lambda run: ask(run + 1), options.runs)
    command = [str(Path(sys.executable).parent / "voicefit"), "ask", "--json", SENTENCES[0]]
    cold = _median_ms(lambda run: subprocess.run(command, check=True, capture_output=True), options.cold_runs)
    recogniser = open_recogniser("neural", None)
    endpointer = Endpointer()
    sound = read_audio(data_folder() / "demo" / "sentence.flac")
    utterance = (endpointer.feed(sound) + endpointer.flush())[0]
    context = Conversation(knowledge).session.context()
    recognise = _median_ms(lambda run: recogniser.recognise(utterance, knowledge.language, context), 7)
    figures = {
        "ask_in_process_ms": round(in_process, 1),
        "ask_cold_ms": round(cold),
        "recognise_demo_ms": round(recognise),
        "demo_s": round(utterance.duration_s, 2),
    }
    if options.json:
        print(json.dumps(figures))
    else:
        for name, value in figures.items():
            print(f"{name:<20}{value}")
    return 0
