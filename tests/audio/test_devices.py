"""Devices by name, whatever their number; rates they refuse; gone and back. On a stand-in for PortAudio."""

from __future__ import annotations

import sys
import threading
import time

import numpy as np
import pytest

from tests.audio.fakes import FakePortAudio, sound
from voicefit.audio.devices import Host
from voicefit.audio.microphone import Microphone
from voicefit.audio.speaker import Speaker
from voicefit.errors import DeviceLost, Missing

DESK, HEAD = ("Desk array", 2, 2, 48_000), ("Workshop headset", 1, 2, 16_000)


@pytest.fixture
def audio(monkeypatch: pytest.MonkeyPatch) -> FakePortAudio:
    made = FakePortAudio(DESK, HEAD)
    monkeypatch.setitem(sys.modules, "sounddevice", made)
    return made


def test_devices_are_found_by_name_in_full_in_part_or_by_default(audio: FakePortAudio) -> None:
    host = Host()
    assert host.find("input").name == "Desk array"
    assert host.find("input", "Workshop headset").name == "Workshop headset"
    assert host.find("output", "headset").name == "Workshop headset"
    assert [device.name for device in host.devices("input")] == ["Desk array", "Workshop headset"]


def test_a_name_that_is_not_there_lists_those_that_are(audio: FakePortAudio) -> None:
    with pytest.raises(Missing, match=r"the microphone Lapel is missing: plug it in.*Desk array, Workshop headset"):
        Host().find("input", "Lapel")


def test_no_device_and_no_portaudio_are_told_with_a_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", FakePortAudio())
    with pytest.raises(Missing, match="a speaker is missing: plug one in"):
        Host().find("output")
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(Missing, match="libportaudio2"):
        Host()


def test_a_refused_rate_falls_back_to_the_devices_own_and_is_converted(audio: FakePortAudio) -> None:
    audio.refused_hz = {16_000}
    microphone = Microphone(Host())
    (stream,) = audio.streams
    assert stream.options["samplerate"] == 48_000
    tone = 8000 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)
    heard = []
    for start in range(0, 48_000, 960):
        stream.give(tone[start : start + 960])
        heard.append(microphone.read())
    samples = np.concatenate(heard)
    assert len(samples) == pytest.approx(16_000, abs=600)
    spectrum = np.abs(np.fft.rfft(samples[2000:14_000]))
    assert np.argmax(spectrum) * 16_000 / 12_000 == pytest.approx(440, abs=3)
    microphone.close()


def test_two_channels_one_of_them_silent(audio: FakePortAudio) -> None:
    audio.refused_channels = {1}
    microphone = Microphone(Host())
    (stream,) = audio.streams
    assert stream.options["channels"] == 2
    pair = np.zeros((320, 2))
    pair[:, 1] = 8000 * np.sin(np.arange(320))
    stream.give(pair.ravel())
    assert np.abs(microphone.read()).max() > 0.2
    microphone.close()


def test_a_device_that_takes_nothing_is_named_with_what_was_tried(audio: FakePortAudio) -> None:
    audio.refused_channels = {1, 2}
    with pytest.raises(DeviceLost, match="Desk array was lost: it takes neither 16000 nor 48000 Hz"):
        Microphone(Host())


def test_a_dc_offset_fades_away(audio: FakePortAudio) -> None:
    microphone = Microphone(Host())
    (stream,) = audio.streams
    rng = np.random.default_rng(1)
    for _ in range(200):
        stream.give(6000 + rng.normal(0, 100, 320))
        block = microphone.read()
    assert abs(float(block.mean())) < 0.003
    microphone.close()


def test_an_unplugged_microphone_is_noticed_at_once(audio: FakePortAudio) -> None:
    microphone = Microphone(Host())
    (stream,) = audio.streams
    stream.give(np.zeros(320))
    microphone.read()
    stream.end()
    with pytest.raises(DeviceLost, match="Desk array was lost: it has gone"):
        microphone.read()
    microphone.close()


def test_a_microphone_that_falls_silent_is_noticed_within_a_second(audio: FakePortAudio) -> None:
    microphone = Microphone(Host())
    (stream,) = audio.streams
    stream.give(np.zeros(320))
    microphone.read()
    began = time.monotonic()
    with pytest.raises(DeviceLost, match="it delivers nothing"):
        microphone.read()
    assert time.monotonic() - began < 5
    microphone.close()


def test_a_device_is_taken_up_again_under_another_number(audio: FakePortAudio) -> None:
    host = Host()
    microphone = Microphone(host, "Workshop headset")
    speaker = Speaker(host)
    assert audio.streams[0].options["device"] == 1
    audio.plugged.remove(HEAD)
    audio.streams[0].end()
    with pytest.raises(DeviceLost):
        microphone.read()
    microphone.close()
    host.refresh()  # the speaker is closed and opened again around it
    with pytest.raises(Missing):
        Microphone(host, "Workshop headset")
    audio.plugged.insert(0, HEAD)  # back, and now the first in the list
    host.refresh()
    again = Microphone(host, "Workshop headset")
    assert audio.streams[-1].options["device"] == 0
    speaker.check()
    assert sum(stream.active for stream in audio.streams) == 2
    again.close()
    speaker.close()
    assert not any(stream.active for stream in audio.streams)


def test_a_microphone_reading_while_the_devices_are_looked_at_goes_on(audio: FakePortAudio) -> None:
    host = Host()
    microphone = Microphone(host)
    audio.streams[0].give(np.zeros(320))
    microphone.read()
    reader = threading.Thread(target=host.refresh)
    reader.start()
    for _ in range(20):
        microphone.read() if audio.streams[-1].active and audio.streams[-1].give(np.zeros(320)) is None else None
    reader.join()
    audio.streams[-1].give(np.full(320, 1000))
    while not len(block := microphone.read()):
        pass
    assert len(block) == 320
    microphone.close()


def test_blocks_that_nobody_takes_do_not_pile_up(audio: FakePortAudio) -> None:
    microphone = Microphone(Host())
    for _ in range(1600):
        audio.streams[0].give(np.zeros(320))
    assert microphone.overflows == 100
    microphone.close()


# ---- the speaker ----------------------------------------------------------------------------------------


class Pump:
    """The device asking for blocks, on its own thread."""

    def __init__(self, audio: FakePortAudio) -> None:
        self.taken: list[np.ndarray] = []
        self.on = True
        self._stream = audio.streams[-1]
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        while self.on:
            self.taken.append(self._stream.take(441))
            time.sleep(0.001)

    def stop(self) -> np.ndarray:
        self.on = False
        self._thread.join()
        return np.concatenate(self.taken)


def test_a_sound_is_played_whole(audio: FakePortAudio) -> None:
    speaker = Speaker(Host())
    pump = Pump(audio)
    assert speaker.play(sound(0.5), 0.0) == pytest.approx(0.5)
    assert np.count_nonzero(pump.stop()) == len(sound(0.5).samples)
    speaker.close()


def test_another_rate_and_two_channels(audio: FakePortAudio) -> None:
    audio.refused_hz, audio.refused_channels = {22_050}, {1}
    speaker = Speaker(Host())
    assert audio.streams[-1].options["samplerate"] == 48_000
    pump = Pump(audio)
    speaker.play(sound(0.25, 16_000), 0.0)
    played = np.trim_zeros(pump.stop().reshape(-1, 2)[:, 0])
    assert len(played) == pytest.approx(12_000, abs=60)
    speaker.close()


def test_a_halt_stops_a_sound_within_a_block(audio: FakePortAudio) -> None:
    speaker = Speaker(Host())
    pump = Pump(audio)
    halt = threading.Event()
    threading.Timer(0.05, halt.set).start()
    assert speaker.play(sound(60.0), 0.0, halt) < 30
    before = len(pump.taken)
    time.sleep(0.05)
    assert not any(block.any() for block in pump.taken[before + 1 :])
    pump.stop()
    speaker.close()


def test_a_halt_before_the_sound_begins_is_not_lost(audio: FakePortAudio) -> None:
    speaker = Speaker(Host())
    pump = Pump(audio)
    halt = threading.Event()
    halt.set()
    assert speaker.play(sound(60.0), 0.0, halt) < 1
    pump.stop()
    speaker.close()


@pytest.mark.parametrize("unplugged", [True, False], ids=["unplugged", "stuck"])
def test_a_lost_speaker_is_noticed_in_mid_sound(audio: FakePortAudio, unplugged: bool) -> None:
    speaker = Speaker(Host())
    audio.streams[-1].take(441)
    speaker._alive_at = time.monotonic()  # it has run for a while
    if unplugged:
        threading.Timer(0.05, audio.streams[-1].end).start()
    with pytest.raises(DeviceLost, match="it has gone" if unplugged else "it takes nothing"):
        speaker.play(sound(60.0), 0.0)
    speaker.close()


def test_the_devices_are_not_closed_under_a_sound(audio: FakePortAudio) -> None:
    host = Host()
    speaker = Speaker(host)
    pump = Pump(audio)
    looking = threading.Timer(0.02, host.refresh)
    looking.start()
    assert speaker.play(sound(2.0), 0.0) == pytest.approx(2.0)
    pump.stop()
    looking.join()
    speaker.check()
    speaker.close()
