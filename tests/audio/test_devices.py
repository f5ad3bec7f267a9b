"""The child process that has the sound devices: names, rates, losses; and what its parent makes of it.

The child's own functions run here on a stand-in for PortAudio; the parent runs on real child processes that behave as
the test wants. On a real sound server: ``test_live.py`` and ``test_server_deaths.py``.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
import time
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from tests.audio.fakes import FakePortAudio, sound
from voicefit.audio import devices as house
from voicefit.audio import worker_portaudio as child
from voicefit.audio.devices import Microphone, Speaker
from voicefit.errors import DeviceLost, Missing

DESK, HEAD = ("Desk array", 2, 2, 48_000), ("Workshop headset", 1, 2, 16_000)


@pytest.fixture
def audio() -> FakePortAudio:
    return FakePortAudio(DESK, HEAD)


def refused(kind: str):
    return pytest.raises(child.CannotOpen, match=kind)


# ---- in the child ---------------------------------------------------------------------------------------


def test_devices_are_found_by_name_in_full_in_part_or_by_default(audio: FakePortAudio) -> None:
    assert child.find(audio, "input", "")["name"] == "Desk array"
    assert child.find(audio, "input", "Workshop headset")["index"] == 1
    assert child.find(audio, "output", "headset")["name"] == "Workshop headset"
    assert [device["name"] for device in child.devices(audio, "input")] == ["Desk array", "Workshop headset"]
    audio.plugged.reverse()
    assert child.find(audio, "input", "Workshop headset")["index"] == 0, "named, never numbered"


def test_what_is_not_there(audio: FakePortAudio) -> None:
    with refused("absent") as caught:
        child.find(audio, "input", "Lapel")
    assert caught.value.document["there"] == ["Desk array", "Workshop headset"]
    with refused("missing"):
        child.find(FakePortAudio(), "output", "")


def test_a_refused_rate_falls_back_to_the_devices_own(audio: FakePortAudio) -> None:
    device = child.find(audio, "input", "")
    assert child.rate_and_channels(audio, "input", device, 16_000) == (16_000, 1)
    audio.refused_hz, audio.refused_channels = {16_000}, {1}
    assert child.rate_and_channels(audio, "input", device, 16_000) == (48_000, 2)
    audio.refused_channels = {1, 2}
    with refused("lost") as caught:
        child.rate_and_channels(audio, "input", device, 16_000)
    assert caught.value.document["reason"] == "it takes neither 16000 nor 48000 Hz"


def test_a_stream_that_gives_no_first_block_is_refused(audio: FakePortAudio, monkeypatch: pytest.MonkeyPatch) -> None:
    audio.on_start = lambda stream: None
    monkeypatch.setattr(child, "START_TURNS", 2)
    with refused("lost") as caught:
        child.opened(audio, "input", 16_000, "")
    assert caught.value.document == {"kind": "lost", "name": "Desk array", "reason": "it delivers nothing"}


@pytest.fixture
def sent(monkeypatch: pytest.MonkeyPatch) -> list[tuple[bytes, bytes]]:
    frames: list[tuple[bytes, bytes]] = []
    monkeypatch.setattr(child, "send", lambda kind, payload=b"": frames.append((kind, payload)))
    return frames


def test_blocks_go_out_in_order_and_losses_are_marked(audio: FakePortAudio, sent: list) -> None:
    watched, _ = child.opened(audio, "input", 16_000, "")
    (stream,) = audio.streams
    stream.give(np.full(320, 7))
    stream.options["callback"](b"\x01\x00", 1, None, "input overflow")
    watched.turn()
    assert [kind for kind, _ in sent] == [b"a"] and sent[0][1].endswith(np.full(320, 7, "<i2").tobytes() + b"\x01\x00")
    stream.give(np.full(320, 8))
    watched.turn()
    assert sent[1] == (b"A", np.full(320, 8, "<i2").tobytes())


def test_still_blocks_go_out_in_pairs_and_one_that_sounds_at_once(audio: FakePortAudio, sent: list) -> None:
    watched, _ = child.opened(audio, "input", 16_000, "")
    (stream,) = audio.streams
    watched.turn()
    sent.clear()
    still = [np.full(512, at) for at in range(1, child.STILL_BLOCKS + 5)]
    loud = [np.full(512, sign * child.STILL_PEAK) for sign in (1, -1)]
    went = []
    for block in (*still, *loud):
        stream.give(block)
        if watched.news.is_set():
            before = len(sent)
            watched.turn()
            went.append(sum(len(sound) for _, sound in sent[before:]) // 1024)
    assert b"".join(sound for _, sound in sent) == b"".join(block.astype("<i2").tobytes() for block in (*still, *loud))
    single = went.count(1) - len(loud)
    assert went == [1] * single + [2] * ((len(still) - single) // 2) + [1, 1] and 2 * went.count(2) >= 4


@pytest.mark.parametrize("kind", ["input", "output"])
def test_a_stream_that_stands_still_or_ends_is_lost(audio: FakePortAudio, sent: list, kind: str) -> None:
    watched, _ = child.opened(audio, kind, 16_000, "")
    watched.turn()
    watched._ahead_s = 0.0  # it has run for a while
    if isinstance(watched, child.Output):
        watched.play(1, bytes(100_000))
    began = time.monotonic()
    with refused("lost") as caught:
        for _ in range(child.STALLED_TURNS + 1):
            watched.turn()
    assert caught.value.document["reason"] == ("it delivers nothing" if kind == "input" else "it takes nothing")
    assert time.monotonic() - began >= 0.9 * child.STALLED_TURNS * child.TURN_S, "turns are counted, not skipped"
    watched, _ = child.opened(audio, kind, 16_000, "")
    watched._ahead_s, watched.patience = 0.0, child.STALLED_TURNS
    for _ in range(50):  # a second of sound at once: then it may stand still for so long
        audio.streams[-1].options["callback"](bytearray(640), 320, None, None)
    watched.turn()
    for _ in range(child.STALLED_TURNS + 4):
        watched.turn()
    watched, _ = child.opened(audio, kind, 16_000, "")
    audio.streams[-1].end()
    with refused("lost") as caught:
        watched.turn()
    assert caught.value.document["reason"] == "it has gone"


def test_a_sound_is_played_whole_on_both_channels_and_then_silence(audio: FakePortAudio, sent: list) -> None:
    audio.refused_channels = {1}
    watched, _ = child.opened(audio, "output", 22_050, "")
    (stream,) = audio.streams
    assert isinstance(watched, child.Output)
    watched.play(4, np.arange(1, 1001, dtype="<i2").tobytes())
    taken = np.concatenate([stream.take(441) for _ in range(4)]).reshape(-1, 2)
    assert list(taken[:1000, 0]) == list(range(1, 1001)) and (taken[:, 0] == taken[:, 1]).all()
    assert not taken[1000:].any()
    watched.turn()
    assert sent[-1] == (b".", child.PLAYED.pack(4, 1000))


def test_a_halt_stops_a_sound_within_a_block(audio: FakePortAudio, sent: list) -> None:
    watched, _ = child.opened(audio, "output", 22_050, "")
    (stream,) = audio.streams
    assert isinstance(watched, child.Output)
    watched.play(1, np.ones(100_000, "<i2").tobytes())
    stream.take(441)
    watched.halt()
    assert not stream.take(441).any()
    watched.turn()
    assert sent[-1] == (b".", child.PLAYED.pack(1, 441))


# ---- in the parent --------------------------------------------------------------------------------------


@pytest.fixture
def acts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The next children run this Python text instead; ``send`` and ``json`` are at hand."""

    def act(text: str) -> None:
        script = tmp_path / f"child{len(list(tmp_path.iterdir()))}.py"
        begin = "import json, sys, time\nfrom voicefit.audio.worker_portaudio import send, PLAYED\n"
        script.write_text(begin + text)
        monkeypatch.setattr(house, "COMMAND", (sys.executable, str(script)))

    return act


RUNS = 'send(b"R", json.dumps({"name": "Desk", "rate_hz": 16000, "channels": 1, "latency_s": 0.0}).encode())\n'


def test_errors_are_told_with_a_remedy(acts) -> None:
    def answered(**document: object) -> str:
        return f"send(b'E', json.dumps({document!r}).encode())"

    acts(answered(kind="portaudio", detail="no library"))
    with pytest.raises(Missing, match=r"PortAudio is missing: .*libportaudio2 .no library"):
        house.devices("input")
    acts(answered(kind="missing"))
    with pytest.raises(Missing, match="a speaker is missing: plug one in"):
        Speaker()
    acts(answered(kind="absent", there=["Desk array", "Workshop headset"]))
    with pytest.raises(Missing, match=r"the microphone Lapel is missing: plug it in.*Desk array, Workshop headset"):
        Microphone("Lapel")
    acts(answered(kind="lost", name="Desk array", reason="it is busy"))
    with pytest.raises(DeviceLost, match="the microphone Desk array was lost: it is busy"):
        Microphone()


def test_a_host_that_hangs_or_crashes_at_the_start_is_killed(acts, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(house, "START_S", 0.5)
    acts("time.sleep(600)")
    with pytest.raises(DeviceLost, match="the sound system does not answer"):
        Microphone()
    monkeypatch.setattr(house, "START_S", 20)
    acts("import os; os.abort()")
    with pytest.raises(DeviceLost, match="the sound system crashed"):
        Speaker()


def test_a_host_that_raves_on_its_error_output_costs_nothing(acts) -> None:
    acts(
        RUNS + "import os, threading\n"
        "threading.Thread(target=lambda: [os.write(2, b'Expression failed\\n' * 1000) for _ in iter(int, 1)],"
        " daemon=True).start()\n"
        "for n in range(30): send(b'A', bytes(640)); time.sleep(0.01)\n"
        "send(b'F', b'it has gone'); time.sleep(600)\n"
    )
    microphone = Microphone()
    with pytest.raises(DeviceLost, match="the microphone Desk was lost: it has gone"):
        while True:
            assert len(microphone.read()) == 320
    microphone.close()
    assert microphone._running.worker.process.returncode == -signal.SIGKILL


@pytest.mark.parametrize("kind", ["input", "output"])
def test_a_host_that_hangs_later_is_told_and_killed(acts, kind: str) -> None:
    acts(RUNS + "while True: send(b'A' if sys.argv[1] == 'input' else b'T', bytes(2)); time.sleep(0.02)")
    device = Microphone() if kind == "input" else Speaker()
    process = device._running.worker.process
    (device.read if isinstance(device, Microphone) else device.check)()
    os.kill(process.pid, signal.SIGSTOP)
    with pytest.raises(DeviceLost, match="the sound system hangs"):
        end = time.monotonic() + 20
        while time.monotonic() < end:
            (device.read if isinstance(device, Microphone) else device.check)()
            time.sleep(0.001)
    device.close()
    assert process.returncode == -signal.SIGKILL


def test_a_sound_for_a_host_that_takes_nothing_blocks_nobody(acts) -> None:
    acts(RUNS + "time.sleep(600)")
    speaker = Speaker()
    with pytest.raises(DeviceLost, match="hangs"):
        speaker.play(sound(600.0), 0.0)  # far more than a pipe holds
    began = time.monotonic()
    speaker.close()
    assert time.monotonic() - began < 5


PLAYS = """
def read():
    head = sys.stdin.buffer.read(5)
    return head[:1], sys.stdin.buffer.read(int.from_bytes(head[1:], "little"))
"""


def test_played_and_halted(acts) -> None:
    acts(
        RUNS + PLAYS + "kind, sound = read()\n"
        "send(b'.', PLAYED.pack(1, len(sound[4:]) // 2))\n"
        "kind, sound = read(); assert read()[0] == b'H'\n"
        "send(b'.', PLAYED.pack(2, 1600)); time.sleep(600)\n"
    )
    speaker = Speaker()
    assert speaker.play(sound(0.5, 22_050), 0.0) == pytest.approx(0.5, abs=0.001), "converted to the device's rate"
    halt = threading.Event()
    halt.set()  # before it begins: not lost
    assert speaker.play(sound(60.0), 0.0, halt) == pytest.approx(0.1)
    speaker.close()


@pytest.mark.parametrize(("rate_hz", "channels"), [(48_000, 1), (16_000, 2)])
def test_what_the_device_gives_is_converted(rate_hz: int, channels: int) -> None:
    tone = 8000 * np.sin(2 * np.pi * 440 * np.arange(rate_hz) / rate_hz)
    frames = np.zeros((rate_hz, channels), "<i2")
    frames[:, -1] = tone  # of two channels the first one is silent
    microphone = fed([(b"A", block.tobytes()) for block in np.split(frames, 50)], rate_hz, channels)
    samples = np.concatenate([microphone.read() for _ in range(50)])
    assert len(samples) == pytest.approx(16_000, abs=600)
    spectrum = np.abs(np.fft.rfft(samples[2000:14_000]))
    assert np.argmax(spectrum) * 16_000 / 12_000 == pytest.approx(440, abs=3)


def test_a_dc_offset_fades_away() -> None:
    rng = np.random.default_rng(1)
    blocks = [(b"A", (6000 + rng.normal(0, 100, 320)).astype("<i2").tobytes()) for _ in range(200)]
    microphone = fed(blocks, 16_000, 1)
    for _ in range(200):
        block = microphone.read()
    assert abs(float(block.mean())) < 0.003


def fed(frames: list[tuple[bytes, bytes]], rate_hz: int, channels: int) -> Microphone:
    """A microphone whose child has sent these frames."""
    waiting = iter(frames)
    worker = SimpleNamespace(next_frame=lambda timeout_s: next(waiting), dropped=0, end=lambda: None)
    with pytest.MonkeyPatch.context() as patch:
        made = house.Running(worker, "Desk", rate_hz, channels, 0.0)  # type: ignore[arg-type]  # stands in
        patch.setattr("voicefit.audio.devices.start", lambda *_: made)
        return Microphone()


def test_blocks_that_nobody_takes_do_not_pile_up(acts, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(house, "MOST_WAITING", 50)
    acts(RUNS + "for n in range(80): send(b'A', bytes(640))\ntime.sleep(600)")
    microphone = Microphone()
    end = time.monotonic() + 20
    while microphone._running.worker.dropped < 29 and time.monotonic() < end:
        time.sleep(0.01)
    assert microphone._running.worker.dropped in (29, 30, 31)
    microphone.close()


def test_the_child_ends_with_its_parent(tmp_path: Path) -> None:
    """Also when the parent is killed: no process is left that holds the microphone."""
    import subprocess

    script = (
        "import os, sys, time; from voicefit.workers import Worker\n"
        "w = Worker([sys.executable, '-c', 'import voicefit.audio.worker_portaudio as c; c.obey(None)'])\n"
        "print(w.process.pid, flush=True); time.sleep(600)"
    )
    parent = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert parent.stdout is not None
    pid = int(parent.stdout.readline())
    parent.kill()
    parent.communicate()
    end = time.monotonic() + 20
    with contextlib.suppress(ProcessLookupError):
        while time.monotonic() < end:
            os.kill(pid, 0)
            if "Z" in Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2][:3]:
                return
            time.sleep(0.05)
        raise AssertionError("the child lives on")
