"""Many turns by sound in one live session: memory, waiting, what was lost, and what it costs while nobody speaks.

    python -m benchmarks soak [--turns 3000] [--longest-min 120] [--idle-s 20] [--json]

The real command ``voicefit talk`` runs with a virtual microphone and speaker and a headset set. Sentences in a
synthetic voice are played into the microphone, each over the reply to the one before, four to a job, and a "yes" where
it asks whether it heard rightly. Printed, for the first and the last quarter of the turns: the wait from the end of a
sentence to the first sound of the reply; from the first turn to the last, nine times: the memory of the session, and of
its helpers. Lost is a sentence without an answer, and a reading that an answer confirmed and that is not in the
journal at the end. Before all that nobody speaks for a while, and the share of one core is taken that the session and
its helpers need for it (Linux). How far it has come goes to stderr. Needs Debian's pulseaudio, pulseaudio-utils and
libasound2-plugins. Ends by itself, after so many turns or minutes, or where the session or the sound server fails: what
was measured until then is printed.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import queue
import statistics
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

import numpy as np

from benchmarks.turn import Sentence, Tape, at_the_devices, wait_for_silence, wait_for_sound
from benchmarks.virtual_sound import SPEAKER_HZ, VirtualSound
from benchmarks.voice import resident_mb
from voicefit.audio.files import resample, write_wav
from voicefit.errors import BadInput, Missing, VoicefitError
from voicefit.journal.history import sessions_of
from voicefit.journal.store import open_store
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.synthesis import VoiceSettings, open_voice

JOB = ("outside nine sixteenths", "eighteen pitch", "thirty-seven degrees", "metal seat")
YES = "yes"
WORDS_PER_MINUTE = 200
PATIENCE_S = 20.0
TOLD_EVERY = 100  # turns
LOOKS = 9  # at the memory, from the first turn to the last


def spoken(folder: Path) -> dict[str, Sentence]:
    """What is said, by its words."""
    made = {}
    with open_voice("espeak") as voice:
        for line in (*JOB, YES):
            speech = voice.speak(line, VoiceSettings(words_per_minute=WORDS_PER_MINUTE, pitch=35))
            samples = resample(speech.samples.astype(np.float32) / np.float32(32768), speech.rate_hz, SAMPLE_RATE_HZ)
            path = folder / f"said-{line.replace(' ', '-')}.wav"
            write_wav(path, samples, SAMPLE_RATE_HZ)
            made[line] = Sentence(path, folder)
    return made


class Answers:
    """What the session prints, one JSON document a line."""

    def __init__(self, stream: IO[str]) -> None:
        self._came: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()
        threading.Thread(target=self._read, args=(stream,), daemon=True).start()

    def _read(self, stream: IO[str]) -> None:
        with contextlib.suppress(ValueError):  # closed
            for line in stream:
                self._came.put(json.loads(line))

    def to_what_was_heard(self) -> dict[str, Any] | None:
        """The next answer to something heard; ``None`` where none comes."""
        by = time.monotonic() + PATIENCE_S
        while (left := by - time.monotonic()) > 0:
            try:
                found = self._came.get(timeout=left)
            except queue.Empty:
                break
            if found["heard"] or found["rejected"]:
                return found
        return None


def family(process_id: int) -> list[int]:
    """A process and all that it started and that still run."""
    children = Path(f"/proc/{process_id}/task/{process_id}/children")
    started = []
    with contextlib.suppress(OSError):
        started = [int(word) for task in children.parent.parent.glob("*/children") for word in task.read_text().split()]
    return [process_id, *(one for child in started for one in family(child))]


def memory_mb(process_id: int) -> tuple[float, float]:
    """Of the session itself, and of its helpers; what these share counts for each."""
    _, *helpers = family(process_id)
    return resident_mb(process_id) or 0.0, sum(resident_mb(each) or 0.0 for each in helpers)


def processor_s(process_id: int) -> float:
    """The time that all of them took so far."""
    total = 0
    for each in family(process_id):
        with contextlib.suppress(OSError):
            fields = Path(f"/proc/{each}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
            total += int(fields[11]) + int(fields[12])
    return total / os.sysconf("SC_CLK_TCK")


def idle_share(process_id: int, seconds: float) -> float:
    """Of one core, while nobody speaks."""
    before, began = processor_s(process_id), time.monotonic()
    time.sleep(seconds)
    return (processor_s(process_id) - before) / (time.monotonic() - began)


@dataclass
class Kept:
    """What is measured on the way. ``confirmed`` : by job, what its last answer showed as taken."""

    waits_s: list[float] = field(default_factory=list)
    memory_mb: list[tuple[float, float]] = field(default_factory=list)
    confirmed: dict[int, list[str]] = field(default_factory=dict)
    turns: int = 0
    unanswered: int = 0


def run(turns: int, longest_s: float, idle_s: float) -> dict[str, Any]:
    kept, failed, idle = Kept(), "", 0.0
    with VirtualSound() as server:
        sentences = spoken(server.folder)
        said, replied = Tape(server, "vmic", SAMPLE_RATE_HZ), Tape(server, "vspk", SPEAKER_HZ)
        try:
            with at_the_devices(server, "--headset", "--json", stdout=subprocess.PIPE) as talk:
                wait_for_sound(replied, 0.0)  # the listening tone
                time.sleep(3.0)  # a null sink's first block may take two seconds
                wait_for_silence(replied)
                idle = idle_share(talk.pid, idle_s)
                try:
                    talk_on(talk, server, (said, replied), sentences, turns, time.monotonic() + longest_s, kept)
                except (VoicefitError, subprocess.SubprocessError, OSError) as error:
                    failed = str(error)
        finally:
            said.close()
            replied.close()
        lost = _lost(server.folder / "journal.sqlite", kept.confirmed)
    waits, memory = kept.waits_s, kept.memory_mb
    quarter = max(1, len(waits) // 4)
    looks = [memory[at * (len(memory) - 1) // (LOOKS - 1)] for at in range(LOOKS)] if memory else []
    return {
        "turns": kept.turns,
        "load": round(os.getloadavg()[0], 1),
        "failed": failed,
        "without_answer": kept.unanswered,
        "readings_confirmed": sum(map(len, kept.confirmed.values())),
        "readings_lost": lost,
        "wait_ms": {name: _ms(part) for name, part in (("first", waits[:quarter]), ("last", waits[-quarter:]))},
        "memory_mb": {
            "session": [round(session) for session, _ in looks],
            "helpers": [round(helpers) for _, helpers in looks],
        },
        "idle_share_of_a_core": round(idle, 4),
    }


def talk_on(
    talk: subprocess.Popen[str],
    server: VirtualSound,
    tapes: tuple[Tape, Tape],
    sentences: dict[str, Sentence],
    turns: int,
    until: float,
    kept: Kept,
) -> None:
    assert talk.stdout is not None
    said, replied = tapes
    answers, lines, job = Answers(talk.stdout), list(JOB), 1
    while kept.turns < turns and time.monotonic() < until:
        if talk.poll() is not None:
            raise Missing("the live session", f"it ended early with exit code {talk.returncode}")
        if kept.turns % TOLD_EVERY == 0:
            memory = " and ".join(f"{mb:.0f}" for mb in memory_mb(talk.pid))
            print(f"{time.strftime('%H:%M:%S')} {kept.turns} turns, {memory} MB", file=sys.stderr, flush=True)
        if not lines:
            job, lines = job + 1, list(JOB)
            _type(talk, "new job", answers)
        kept.turns += 1
        said.forget()
        replied.forget()
        sentence, began = sentences[lines.pop(0)], time.monotonic()
        server.say(sentence.path)
        ended = wait_for_sound(said, began) + sentence.length_s
        answer = answers.to_what_was_heard()
        if answer is None:
            kept.unanswered += 1
            continue
        with contextlib.suppress(BadInput):
            kept.waits_s.append(wait_for_sound(replied, ended) - ended)
        kept.confirmed[job] = [reading["heard"] for reading in answer["readings"]]
        kept.memory_mb.append(memory_mb(talk.pid))
        if answer["reply"].endswith("right?") and sentence is not sentences[YES]:
            lines.insert(0, YES)


def _type(talk: subprocess.Popen[str], line: str, answers: Answers) -> None:
    assert talk.stdin is not None
    talk.stdin.write(line + "\n")
    talk.stdin.flush()
    answers.to_what_was_heard()


def _ms(waits: list[float]) -> dict[str, int]:
    if not waits:
        return {}
    return {"p50": round(1000 * statistics.median(waits)), "p95": round(1000 * sorted(waits)[int(0.95 * len(waits))])}


def _lost(store: Path, confirmed: dict[int, list[str]]) -> int:
    """Readings that were confirmed and are not on record."""
    opened = open_store(store)
    jobs = {job.number: job for session in sessions_of(opened.contents()) for job in session.jobs}
    opened.close()
    lost = 0
    for number, readings in confirmed.items():
        kept = [text for piece in jobs[number].pieces for text in piece.heard] if number in jobs else []
        lost += sum(max(0, readings.count(text) - kept.count(text)) for text in set(readings))
    return lost


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks soak", description=__doc__.split("\n")[0])
    parser.add_argument("--turns", type=int, default=3000)
    parser.add_argument("--longest-min", type=float, default=120.0, help="minutes after which it ends in any case")
    parser.add_argument("--idle-s", type=float, default=20.0, help="seconds of silence before, in which time is taken")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    try:
        result = run(options.turns, 60 * options.longest_min, options.idle_s)
    except VoicefitError as error:
        print(error, file=sys.stderr)
        return 3 if isinstance(error, Missing) else 2
    if options.json:
        print(json.dumps(result, indent=2))
    else:
        for name, value in result.items():
            print(f"{name:22} {value}")
    return 0 if result["readings_lost"] == result["without_answer"] == 0 and not result["failed"] else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
