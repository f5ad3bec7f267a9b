"""How long the person waits: from the end of speech to the first sound of the reply, over a virtual sound card.

    python -m benchmarks turn [--turns 20] [--files FILE …] [--barge-in] [--phone] [--json]

The real command ``voicefit talk`` runs with a virtual microphone and speaker; sentences are played into the one, and
both are recorded on one clock. Each turn has a job of its own, begun by typing. The hang-over that ends an utterance is
part of the figure, and so are the sound server and the devices' buffers. With ``--barge-in`` a headset is set, the
sentence is said over a reply, and the time is from the first voice to the reply's silence. With ``--phone`` a browser
on this machine is the phone: it has the virtual microphone and speaker, and the page's own way is part of the figure.
Needs Debian's pulseaudio, pulseaudio-utils and libasound2-plugins, for the phone also chromium and chromium-driver.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import numpy as np

from benchmarks.streams import speech_bounds
from benchmarks.virtual_sound import SPEAKER_HZ, VirtualSound, end
from voicefit.audio.files import read_audio, write_wav
from voicefit.errors import BadInput, Missing, VoicefitError
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.resources import data_folder

if TYPE_CHECKING:
    from numpy.typing import NDArray

_LOUD = 0.02
_PATIENCE_S = 15.0
_STEP_S = 0.01


class Tape:
    """A recording on this process' clock: when each sample was heard."""

    def __init__(self, server: VirtualSound, what: str, rate_hz: int) -> None:
        self.rate_hz = rate_hz
        self._child = server.record_to_pipe(what)
        self._bytes = bytearray()
        self._lock = threading.Lock()
        self._began_at = float("inf")  # the clock at sample 0: the least delay seen is nearest to it
        self._thread = threading.Thread(target=self._read, args=(self._child.stdout,), daemon=True)
        self._thread.start()

    def _read(self, pipe: IO[bytes]) -> None:
        while part := pipe.read1(4096):  # type: ignore[attr-defined]  # a buffered reader
            with self._lock:
                self._bytes += part
                self._began_at = min(self._began_at, time.monotonic() - len(self._bytes) / 2 / self.rate_hz)

    def _since(self, since: float) -> NDArray[np.float32]:
        """Only that: to unpack all of the tape at each look would take the time of what is measured."""
        with self._lock:
            first = 2 * max(0, round((since - self._began_at) * self.rate_hz))
            raw = bytes(self._bytes[first : len(self._bytes) // 2 * 2])
        return np.frombuffer(raw, "<i2").astype(np.float32) / np.float32(32768)

    def loud_at(self, since: float) -> NDArray[np.float64]:
        """Times at which something sounds, in steps of 10 ms."""
        if not self._bytes:
            return np.zeros(0)
        sound = self._since(since)
        step = round(_STEP_S * self.rate_hz)
        peaks = np.abs(sound[: len(sound) // step * step]).reshape(-1, step).max(axis=1)
        times: NDArray[np.float64] = np.flatnonzero(peaks > _LOUD).astype(np.float64) * _STEP_S
        return times + max(since, self._began_at)

    def forget(self) -> None:
        """What was heard before now: an hour of sound is looked at for its end alone."""
        with self._lock:
            away = len(self._bytes) // 2 * 2
            del self._bytes[:away]
            self._began_at += away / 2 / self.rate_hz

    def close(self) -> None:
        end(self._child)
        self._thread.join(timeout=5)
        if self._child.stdout is not None:
            self._child.stdout.close()


class Sentence:
    """A sound file as a WAV to be played, and where speech begins and ends in it, in seconds after its first sound."""

    def __init__(self, file: Path, folder: Path) -> None:
        samples = read_audio(file)
        first, last, _ = speech_bounds(samples)
        speech = samples[first:last] * np.float32(0.5 / np.abs(samples).max())
        step = round(_STEP_S * SAMPLE_RATE_HZ)
        frames = np.abs(speech[: len(speech) // step * step]).reshape(-1, step).max(axis=1)
        loud = np.flatnonzero(frames > _LOUD)
        self.length_s = float(loud[-1] + 1 - loud[0]) * _STEP_S  # from its first loud step to its last
        self.path = folder / f"{file.stem}.wav"
        quiet = np.zeros(SAMPLE_RATE_HZ // 4, np.float32)
        write_wav(self.path, np.concatenate([quiet, speech, quiet]), SAMPLE_RATE_HZ)


def wait_for_sound(tape: Tape, since: float) -> float:
    """When the first sound came; raises ``BadInput`` when none did."""
    until = time.monotonic() + _PATIENCE_S
    while time.monotonic() < until:
        loud = tape.loud_at(since)
        if len(loud):
            return float(loud[0])
        time.sleep(0.05)
    raise BadInput(f"no sound within {_PATIENCE_S:.0f} s")


def wait_for_silence(tape: Tape, quiet_s: float = 1.2) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until:
        loud = tape.loud_at(time.monotonic() - quiet_s - 0.5)
        if not len(loud) or time.monotonic() - loud[-1] > quiet_s:
            return
        time.sleep(0.1)


def turn(server: VirtualSound, said: Tape, replied: Tape, sentence: Sentence) -> float:
    """Seconds from the last sound of the sentence to the first of the reply."""
    began = time.monotonic()
    server.say(sentence.path)
    ended = wait_for_sound(said, began) + sentence.length_s
    return wait_for_sound(replied, ended) - ended


def barge(server: VirtualSound, said: Tape, replied: Tape, sentence: Sentence) -> float:
    """Seconds from the first sound of a sentence, said over a reply, to the reply's silence."""
    turn(server, said, replied, sentence)
    began = time.monotonic()
    server.say(sentence.path)
    first = wait_for_sound(said, began)
    loud = replied.loud_at(first - 0.5)
    if not len(loud) or loud[0] > first:
        raise BadInput("the reply was over before the sentence began")
    stopped = float(loud[loud < first + sentence.length_s][-1]) + _STEP_S - first
    wait_for_sound(replied, first + sentence.length_s)  # what was said over the reply is answered
    return stopped


def begin_job(talk: subprocess.Popen[str], number: int) -> None:
    """Each turn is the second of a job, and no two jobs are the same: nothing of the answer is known before."""
    if talk.stdin is None or talk.poll() is not None:
        return
    with contextlib.suppress(BrokenPipeError):
        talk.stdin.write(f"start over\nhex {22 + number / 100:.2f} millimeters\npause\n")
        talk.stdin.flush()
        time.sleep(1.0)


@contextlib.contextmanager
def at_the_devices(
    server: VirtualSound, *options: str, stdout: int = subprocess.DEVNULL
) -> Iterator[subprocess.Popen[str]]:
    """The live session with the virtual devices for its own."""
    command = [str(Path(sys.executable).parent / "voicefit"), "talk", "--plain"]
    command += ["--store", str(server.folder / "journal.sqlite"), *options]
    talk = subprocess.Popen(command, env=server.environment, stdin=subprocess.PIPE, stdout=stdout, text=True)
    try:
        yield talk
    finally:
        if talk.stdin is not None:
            with contextlib.suppress(BrokenPipeError):
                talk.stdin.write("stop\n")
                talk.stdin.close()
        try:
            talk.wait(timeout=20)
        except subprocess.TimeoutExpired:
            talk.kill()
            talk.wait()


@contextlib.contextmanager
def at_the_phone(server: VirtualSound, *options: str) -> Iterator[subprocess.Popen[str]]:
    """The live session with a browser for its phone, which has the virtual devices."""
    from benchmarks.browser import Session, begin, browsing

    server.offer_microphone()
    session = Session(server.folder, "--phone", "--address", "127.0.0.1", "--plain", *options)
    try:
        with browsing(environment=server.environment) as browser:
            begin(browser, session.link())
            yield session.process
    finally:
        session.close()


def run(options: argparse.Namespace) -> dict[str, Any]:
    files: list[Path] = options.files or [data_folder() / "demo" / "sentence.flac"]
    seconds: list[float] = []
    missed = 0
    with VirtualSound() as server:
        sentences = [Sentence(file, server.folder) for file in files]
        said, replied = Tape(server, "vmic", SAMPLE_RATE_HZ), Tape(server, "vspk", SPEAKER_HZ)
        held = at_the_phone if options.phone else at_the_devices
        try:
            with held(server, *(["--headset"] if options.barge_in else [])) as talk:
                wait_for_sound(replied, 0.0)  # the listening tone
                time.sleep(3.0)  # a null sink's first block may take two seconds
                for number in range(options.turns):
                    wait_for_silence(replied)
                    begin_job(talk, number)
                    wait_for_silence(replied)
                    timed, sentence = barge if options.barge_in else turn, sentences[number % len(sentences)]
                    try:
                        seconds.append(timed(server, said, replied, sentence))
                    except BadInput:
                        missed += 1
                    if talk.poll() is not None:
                        raise Missing("the live session", f"it ended early with exit code {talk.returncode}")
        finally:
            said.close()
            replied.close()
    return {
        "what": "first voice to silence of the reply"
        if options.barge_in
        else "end of speech to first sound of the reply",
        "over": "a phone's page" if options.phone else "the devices",
        "turns": len(seconds),
        "load": round(os.getloadavg()[0], 1),  # of the last minute, this benchmark's own included
        "without_reply": missed,
        "ms": {
            name: round(1000 * float(np.percentile(seconds, at))) if seconds else None
            for name, at in (("p50", 50), ("p95", 95), ("max", 100))
        },
    }


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks turn", description=__doc__)
    parser.add_argument("--turns", type=int, default=20)
    parser.add_argument("--files", type=Path, nargs="+", help="sentences; default: the demo's")
    parser.add_argument("--barge-in", action="store_true")
    parser.add_argument("--phone", action="store_true", help="a browser on this machine is microphone and speaker")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    try:
        result = run(options)
    except VoicefitError as error:
        sys.stderr.write(f"{error}\n")
        return 3 if isinstance(error, Missing) else 2
    if options.json:
        sys.stdout.write(json.dumps(result, indent=2) + "\n")
        return 0
    for name, value in result.items():
        sys.stdout.write(f"{name:20} {value}\n")
    return 0
