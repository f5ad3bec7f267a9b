"""The live edges on a real sound server: a virtual microphone and speaker, run and ended by the test.

Needs Debian's pulseaudio, pulseaudio-utils and libasound2-plugins, which ``make test`` installs where it may.
"""

from __future__ import annotations

import contextlib
import json
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from benchmarks.virtual_sound import SPEAKER_HZ, VirtualSound, end
from voicefit.audio.files import read_audio, write_wav
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.resources import data_folder

TOP = Path(__file__).resolve().parents[2]
VOICEFIT = str(Path(sys.executable).parent / "voicefit")
PATIENCE_S = 40.0  # of the test on a busy machine, not of the tool


class Child:
    """A process on the virtual sound card that writes one JSON line an event."""

    def __init__(self, server: VirtualSound, *arguments: str) -> None:
        self.process = subprocess.Popen(
            list(arguments),
            cwd=TOP,
            env=server.environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._lines: queue.Queue[str] = queue.Queue()
        self._reader = threading.Thread(target=self._read)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._lines.put(line)

    def next(self, patience_s: float = PATIENCE_S) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(self._lines.get(timeout=patience_s))
        return found

    def until(self, event: str, **what: object) -> dict[str, Any]:
        end_at = time.monotonic() + PATIENCE_S
        while time.monotonic() < end_at:
            found = self.next()
            if found["event"] == event and all(found[key] == value for key, value in what.items()):
                return found
        raise AssertionError(f"no {event} {what}")

    def write(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def __enter__(self) -> Child:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> int:
        """Ask it to end; its exit code."""
        assert self.process.stdin is not None and self.process.stdout is not None
        with contextlib.suppress(BrokenPipeError):
            self.process.stdin.close()
        try:
            return self.process.wait(timeout=PATIENCE_S)
        finally:
            if self.process.poll() is None:
                self.process.kill()
                self.process.wait()
            self._reader.join()
            self.process.stdout.close()


@pytest.fixture
def server() -> Iterator[VirtualSound]:
    with VirtualSound() as running:  # raises with the package names where PulseAudio is not installed
        yield running


@pytest.fixture
def sentence(tmp_path: Path) -> Path:
    """The demo's sentence with silence around it, as WAV."""
    speech = read_audio(data_folder() / "demo" / "sentence.flac")
    quiet = np.zeros(SAMPLE_RATE_HZ // 2, np.float32)
    write_wav(tmp_path / "sentence.wav", np.concatenate([quiet, speech, quiet, quiet]), SAMPLE_RATE_HZ)
    return tmp_path / "sentence.wav"


def recorded(path: Path) -> np.ndarray:
    return np.frombuffer(path.read_bytes(), "<i2").astype(np.float32) / 32768


def loud_s(path: Path) -> float:
    """Seconds of it in which something sounds, in steps of 10 ms."""
    sound = recorded(path)
    step = SPEAKER_HZ // 100
    frames = np.abs(sound[: len(sound) // step * step]).reshape(-1, step).max(axis=1)
    return float(np.count_nonzero(frames > 0.02)) / 100


def test_the_command_talks(server: VirtualSound, sentence: Path, tmp_path: Path) -> None:
    tape = server.record(tmp_path / "out.raw")
    with Child(server, VOICEFIT, "talk", "--json", "--store", str(tmp_path / "journal.sqlite")) as child:
        end_at = time.monotonic() + PATIENCE_S
        while loud_s(tmp_path / "out.raw") < 0.1:  # the listening tone
            assert time.monotonic() < end_at
            time.sleep(0.1)
        time.sleep(2.5)  # a null sink's first block
        before_s = loud_s(tmp_path / "out.raw")
        server.say(sentence)
        answer = child.next()
        assert "19" in answer["heard"] or "nineteen" in answer["heard"]
        assert answer["reply"]
        while loud_s(tmp_path / "out.raw") < before_s + 1.0:  # a sentence, not a tone
            assert time.monotonic() < end_at + PATIENCE_S
            time.sleep(0.1)
        child.write("pause")  # the rest of it need not be said
        child.write("stop")
        assert child.process.wait(timeout=PATIENCE_S) == 0
    end(tape)
    assert (tmp_path / "journal.sqlite").stat().st_size > 0


def test_the_doctor_finds_the_devices(server: VirtualSound) -> None:
    ended = subprocess.run(
        [VOICEFIT, "doctor", "--json"], env=server.environment, capture_output=True, text=True, check=False
    )
    document = json.loads(ended.stdout)
    assert ended.returncode == 0 and document["ready"], document
    microphone = next(check for check in document["checks"] if check["part"] == "microphone")
    assert "muted" in microphone["remedy"]  # nobody speaks into it: nothing but zeros comes


def test_the_tool_does_not_hear_itself_over_an_open_speaker_but_hears_the_person(
    server: VirtualSound, sentence: Path
) -> None:
    server.feed_back()
    with Child(server, sys.executable, "-m", "tests.audio.live_child", "chatter") as child:
        child.until("ready")
        events = [child.next() for _ in range(2)]
        assert [event["event"] for event in events] == ["said"] * 2
        child.write("quiet")
        quiet_at = child.until("quiet")["at"]
        server.say(sentence)
        heard = child.until("heard")
        seconds, began_at = heard["seconds"], heard["at"] - heard["seconds"]
        if seconds <= 2.0:  # on a busy machine the sound stops for a moment, and what is heard ends there
            seconds += child.until("heard")["seconds"]
        assert seconds > 2.0  # the sentence is 5.3 s
        assert began_at > quiet_at - 0.3  # none of its own voice, which spoke until then, is at the front of it
        assert child.close() == 0


def pure_s(path: Path, hz: float) -> float:
    """Seconds of it in which nearly all sound is at that frequency, in steps of 10 ms: a note, not a voice."""
    sound, size, step = recorded(path), 512, SPEAKER_HZ // 100
    frames = np.lib.stride_tricks.sliding_window_view(sound, size)[::step] * np.hanning(size)
    power = np.abs(np.fft.rfft(frames, axis=1)) ** 2
    near = np.abs(np.fft.rfftfreq(size, 1 / SPEAKER_HZ) - hz) < 120
    loud = np.abs(frames).max(axis=1) > 0.02
    return float(np.count_nonzero(loud & (power[:, near].sum(axis=1) > 0.9 * power.sum(axis=1)))) / 100


@pytest.mark.parametrize("mode", ["answer", "slow"])
def test_heard_sounds_before_a_reply_that_takes_long_and_only_then(
    server: VirtualSound, sentence: Path, tmp_path: Path, mode: str
) -> None:
    tape = server.record(tmp_path / "out.raw")
    with Child(server, sys.executable, "-m", "tests.audio.live_child", mode) as child:
        child.until("ready")
        server.say(sentence)
        child.until("answered")
        time.sleep(0.5)
        assert child.close() == 0
    end(tape)
    first, second = pure_s(tmp_path / "out.raw", 880), pure_s(tmp_path / "out.raw", 1320)
    assert (first >= 0.03 and second >= 0.04) if mode == "slow" else second < 0.04, (first, second)
    assert loud_s(tmp_path / "out.raw") > 1.0  # and the reply


def test_a_microphone_that_vanishes_in_mid_word_loses_nothing_of_what_was_said(
    server: VirtualSound, sentence: Path
) -> None:
    with Child(server, sys.executable, "-m", "tests.audio.live_child", "quiet") as child:
        child.until("ready")
        speaking = threading.Thread(target=lambda: server.say(sentence, patient=False))
        speaking.start()
        time.sleep(1.7)  # half a second of silence, and more than one of speech
        server.stop()
        speaking.join()
        assert child.until("heard")["seconds"] > 0.8
        child.until("trouble", what="microphone", back=False)
        server.start()
        child.until("trouble", what="microphone", back=True)
        assert child.close() == 0


def test_devices_that_vanish_are_told_and_taken_up_again(server: VirtualSound, sentence: Path) -> None:
    with Child(server, sys.executable, "-m", "tests.audio.live_child", "answer") as child:
        child.until("ready")
        server.stop()
        troubles = [child.until("trouble", back=False) for _ in range(2)]
        assert {trouble["what"] for trouble in troubles} == {"microphone", "speaker"}
        server.start()
        troubles = [child.until("trouble", back=True) for _ in range(2)]
        assert {trouble["what"] for trouble in troubles} == {"microphone", "speaker"}
        time.sleep(2.5)  # a null sink's first block
        server.say(sentence)
        assert child.until("heard")["seconds"] > 2.0
        assert child.close() == 0
