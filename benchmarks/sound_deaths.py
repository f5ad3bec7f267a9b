"""A sound server that dies and comes back under a live session: is the loss told, and are both directions back?

    python -m benchmarks sound_deaths [--trials 50] [--seed 1] [--json]

A session hears and speaks over a virtual sound card whose server is killed at a random moment (while it is silent,
while it speaks, while it is spoken to) and started again after a random while. Counted: trials in which microphone and
speaker were told lost within a second, were back within five seconds of the server's answer, in which a sentence was
then heard and answered by sound; alarms where nothing had died; the most bytes that the session wrote to its error
output in a trial. Ends by itself.
"""

from __future__ import annotations

import argparse
import json
import queue
import random
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import closing
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO, Any

import numpy as np

from benchmarks.virtual_sound import VirtualSound, end
from voicefit.audio.files import read_audio, write_wav
from voicefit.audio.live import LiveSound
from voicefit.records import SAMPLE_RATE_HZ, Trouble, Utterance
from voicefit.resources import data_folder
from voicefit.synthesis import VoiceSettings, open_voice

TOLD_WITHIN_S, BACK_WITHIN_S = 1.0, 5.0
PATIENCE_S = 30.0
BOTH = {"microphone", "speaker"}
REPLY = "Is that inside the nut, or outside on the thread?"


@dataclass(frozen=True, slots=True)
class Trial:
    """Seconds; infinite: not within the time that was waited."""

    told_s: float
    back_s: float
    heard: bool
    answered: bool
    false_alarms: int
    error_bytes: int

    @property
    def well(self) -> bool:
        return (
            self.told_s <= TOLD_WITHIN_S
            and self.back_s <= BACK_WITHIN_S
            and self.heard
            and self.answered
            and not self.false_alarms
        )


def main(argv: list[str]) -> int:
    if argv == ["child"]:
        return child()
    parser = argparse.ArgumentParser(prog="python -m benchmarks sound_deaths", description=__doc__.split("\n")[0])
    parser.add_argument("--trials", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    done = trials(options.trials, options.seed)
    if options.json:
        print(json.dumps([asdict(each) for each in done]))
    else:
        report(done)
    return 0 if all(each.well for each in done) else 1


def report(done: list[Trial]) -> None:
    count = len(done)
    told, back = sorted(each.told_s for each in done), sorted(each.back_s for each in done)
    print(f"{count} deaths of the sound server under a live session; {sum(t.well for t in done)} all well")
    print(f"  both told lost within {TOLD_WITHIN_S:g} s: {sum(t <= TOLD_WITHIN_S for t in told)}", end="")
    print(f" (median {told[count // 2]:.2f} s, most {told[-1]:.2f} s)")
    print(f"  both back within {BACK_WITHIN_S:g} s: {sum(t <= BACK_WITHIN_S for t in back)}", end="")
    print(f" (median {back[count // 2]:.2f} s, most {back[-1]:.2f} s)")
    print(f"  then heard: {sum(t.heard for t in done)}, answered by sound: {sum(t.answered for t in done)}")
    print(f"  alarms where nothing had died: {sum(t.false_alarms for t in done)}")
    print(f"  most written to the error output: {max(t.error_bytes for t in done)} bytes")


def trials(count: int, seed: int) -> list[Trial]:
    """One session through ``count`` deaths."""
    dice = random.Random(seed)
    done = []
    with tempfile.TemporaryDirectory(prefix="voicefit-deaths-") as scratch, VirtualSound() as server:
        sentence = _sentence(Path(scratch) / "sentence.wav")
        errors = Path(scratch) / "errors"
        with errors.open("wb") as sink, _Session(server, sink) as session:
            session.until("ready")
            for number in range(count):
                before = errors.stat().st_size
                done.append(_trial(server, session, sentence, dice, Path(scratch) / f"{number}.raw"))
                written = errors.stat().st_size - before
                done[-1] = Trial(**{**asdict(done[-1]), "error_bytes": written})
    return done


def _trial(server: VirtualSound, session: _Session, sentence: Path, dice: random.Random, tape: Path) -> Trial:
    false_alarms = sum(event["event"] == "trouble" for event in session.waiting())
    doing = dice.choice(("silent", "speaking", "spoken to"))
    other = threading.Thread(target=lambda: server.say(sentence, patient=False))
    if doing == "speaking":
        session.write("say")
    elif doing == "spoken to":
        other.start()
    time.sleep(dice.uniform(0.1, 2.0))
    false_alarms += sum(event["event"] == "trouble" for event in session.waiting())
    server.kill()
    died = time.monotonic()
    told_s = session.all_told(back=False) - died
    time.sleep(dice.uniform(0.0, 3.0))
    server.start()
    began = time.monotonic()
    back_s = max(session.all_told(back=True) - began, 0.0)
    if other.is_alive():
        other.join()
    session.waiting()
    recording = server.record(tape)
    server.say(sentence, patient=False)
    heard = session.until("heard") is not None
    answered = heard and session.until("answered") is not None
    time.sleep(0.5)
    end(recording)
    sound = np.abs(np.frombuffer(tape.read_bytes(), "<i2").astype(np.int32))
    answered = answered and bool(np.count_nonzero(sound > 600) > 2000)
    return Trial(told_s, back_s, heard, answered, false_alarms, 0)


class _Session:
    """A process that hears and speaks, with the events that it tells."""

    def __init__(self, server: VirtualSound, errors: IO[bytes]) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "benchmarks.sound_deaths", "child"],
            env=server.environment,
            cwd=Path(__file__).resolve().parent.parent,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=errors,
            text=True,
        )
        self._events: queue.Queue[dict[str, Any]] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self._events.put(json.loads(line))

    def write(self, line: str) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write(line + "\n")
        self._process.stdin.flush()

    def waiting(self) -> list[dict[str, Any]]:
        """What was told and not looked at yet."""
        found = []
        while not self._events.empty():
            found.append(self._events.get())
        return found

    def until(self, event: str) -> dict[str, Any] | None:
        by = time.monotonic() + PATIENCE_S
        while (left := by - time.monotonic()) > 0:
            try:
                found = self._events.get(timeout=left)
            except queue.Empty:
                break
            if found["event"] == event:
                return found
        return None

    def all_told(self, *, back: bool) -> float:
        """The moment at which the second of both devices was told; infinite where that did not come."""
        told: dict[str, float] = {}
        by = time.monotonic() + PATIENCE_S
        while told.keys() < BOTH and time.monotonic() < by:
            found = self.until("trouble")
            if found is not None and found["back"] == back:
                told[found["what"]] = found["at"]
        return max(told.values()) if told.keys() >= BOTH else float("inf")

    def __enter__(self) -> _Session:
        return self

    def __exit__(self, *_: object) -> None:
        end(self._process)
        self._reader.join(timeout=5.0)
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                pipe.close()


def _sentence(path: Path) -> Path:
    speech = read_audio(data_folder() / "demo" / "sentence.flac")
    quiet = np.zeros(SAMPLE_RATE_HZ // 2, np.float32)
    write_wav(path, np.concatenate([quiet, speech, quiet, quiet]), SAMPLE_RATE_HZ)
    return path


def child() -> int:
    """Hears and speaks; one JSON line for each event; a line on stdin is a sentence to say."""
    asked: queue.SimpleQueue[str] = queue.SimpleQueue()

    def read() -> None:
        for line in sys.stdin:
            asked.put(line)

    def tell(event: str, **what: object) -> None:
        print(json.dumps({"event": event, "at": time.monotonic(), **what}), flush=True)

    threading.Thread(target=read, daemon=True).start()
    with open_voice("espeak") as voice, closing(LiveSound(lambda text: voice.speak(text, VoiceSettings()))) as sound:
        tell("ready")
        while True:
            if not asked.empty():
                asked.get()
                sound.say(REPLY)
            event = sound.next(0.05)
            if isinstance(event, Utterance):
                tell("heard")
                sound.say(REPLY)
                sound.wait(PATIENCE_S)
                tell("answered")
            elif isinstance(event, Trouble):
                tell("trouble", what=event.what, back=event.back, detail=event.detail)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
