"""Sound files: common rates and layouts come out as 16 kHz mono, and what cannot be used is named."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import numpy as np
import pytest
import soundfile

from voicefit.audio.files import audio_blocks, read_audio, resample, to_int16, write_wav
from voicefit.errors import BadAudio, BadInput
from voicefit.levels import dbfs
from voicefit.records import SAMPLE_RATE_HZ


def sine(rate_hz: int, seconds: float = 1.0, hz: float = 440.0, amplitude: float = 0.5) -> np.ndarray:
    return (amplitude * np.sin(2 * np.pi * hz * np.arange(round(rate_hz * seconds)) / rate_hz)).astype(np.float32)


def pitch_hz(samples: np.ndarray) -> float:
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.argmax(spectrum)) * SAMPLE_RATE_HZ / len(samples)


@pytest.mark.parametrize("suffix", ["wav", "flac"])
@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("rate_hz", [8_000, 11_025, 16_000, 22_050, 44_100, 48_000, 96_000])
def test_common_rates_and_layouts(tmp_path: Path, rate_hz: int, channels: int, suffix: str) -> None:
    path = tmp_path / f"tone.{suffix}"
    soundfile.write(path, np.column_stack([sine(rate_hz)] * channels), rate_hz)
    samples = read_audio(path)
    assert samples.dtype == np.float32 and samples.ndim == 1
    assert len(samples) == pytest.approx(SAMPLE_RATE_HZ, abs=2)
    assert pitch_hz(samples) == pytest.approx(440, abs=2)
    assert dbfs(samples) == pytest.approx(20 * np.log10(0.5 / np.sqrt(2)), abs=0.2)


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE", "ULAW", "ALAW"])
def test_sample_formats(tmp_path: Path, subtype: str) -> None:
    soundfile.write(tmp_path / "tone.wav", sine(16_000), 16_000, subtype=subtype)
    assert pitch_hz(read_audio(tmp_path / "tone.wav")) == pytest.approx(440, abs=2)


@pytest.mark.parametrize("silent", [0, 1])
def test_one_silent_channel_of_two_does_not_halve_the_voice(tmp_path: Path, silent: int) -> None:
    both = np.column_stack([sine(48_000), sine(48_000)])
    both[:, silent] = 0
    soundfile.write(tmp_path / "half.wav", both, 48_000)
    assert dbfs(read_audio(tmp_path / "half.wav")) == pytest.approx(20 * np.log10(0.5 / np.sqrt(2)), abs=0.2)


def test_an_inverted_channel_does_not_cancel_the_voice(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "inverted.wav", np.column_stack([sine(48_000), -sine(48_000)]), 48_000)
    assert dbfs(read_audio(tmp_path / "inverted.wav")) > -12


def test_dc_offset_is_removed_and_does_not_choose_the_channel(tmp_path: Path) -> None:
    offset = np.column_stack([sine(16_000) + 0.3, np.full(16_000, 0.9, np.float32)])
    soundfile.write(tmp_path / "dc.wav", offset, 16_000, subtype="FLOAT")
    samples = read_audio(tmp_path / "dc.wav")
    assert abs(float(samples.mean())) < 1e-4
    assert pitch_hz(samples) == pytest.approx(440, abs=2)


def named(path: Path, *words: str) -> None:
    with pytest.raises(BadAudio) as caught:
        read_audio(path)
    assert str(path) in str(caught.value)
    for word in words:
        assert word in caught.value.reason


def test_a_missing_file_a_folder_and_an_empty_file_are_named(tmp_path: Path) -> None:
    named(tmp_path / "nothing.wav", "no such file")
    named(tmp_path, "folder")
    (tmp_path / "empty.wav").touch()
    named(tmp_path / "empty.wav", "empty")


def test_a_wrong_header_is_named(tmp_path: Path) -> None:
    path = tmp_path / "wrong.wav"
    soundfile.write(path, sine(16_000), 16_000)
    path.write_bytes(b"JUNK" + path.read_bytes()[4:])
    named(path, "cannot be read as sound")
    path.write_text("outside nineteen thirty-seconds\n" * 100)
    named(path, "cannot be read as sound")


def test_no_samples_are_named(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "none.wav", np.zeros(0, np.float32), 16_000)
    named(tmp_path / "none.wav", "no samples")


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_sample_that_is_no_number_is_named_with_its_time(tmp_path: Path, value: float) -> None:
    samples = sine(16_000, 6)
    samples[5 * 16_000] = value
    soundfile.write(tmp_path / "nan.wav", samples, 16_000, subtype="FLOAT")
    named(tmp_path / "nan.wav", "5.000 s", "not a number")


def test_a_rate_below_the_telephone_band_is_named(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "slow.wav", sine(4_000), 4_000)
    named(tmp_path / "slow.wav", "4000 Hz")


def test_a_truncated_file_gives_what_it_holds(tmp_path: Path) -> None:
    path = tmp_path / "cut.wav"
    soundfile.write(path, sine(16_000, 2), 16_000)
    path.write_bytes(path.read_bytes()[: 44 + 16_000 * 2])
    assert len(read_audio(path)) == 16_000


def test_minutes_are_read_in_blocks(tmp_path: Path) -> None:
    path = tmp_path / "long.flac"
    with soundfile.SoundFile(path, "w", samplerate=16_000, channels=2) as file:
        minute = np.column_stack([sine(16_000, 60)] * 2)
        for _ in range(6):
            file.write(minute)
    tracemalloc.start()
    length = sum(len(block) for block in audio_blocks(path))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert length == 6 * 60 * 16_000
    assert peak < 5e6  # the whole would be 23 MB


def test_written_sound_comes_back(tmp_path: Path) -> None:
    write_wav(tmp_path / "out.wav", sine(16_000) * 3, 16_000)
    samples, rate_hz = soundfile.read(tmp_path / "out.wav", dtype="int16")
    assert rate_hz == 16_000 and samples.max() == 32_767
    with pytest.raises(BadInput, match="could not be written"):
        write_wav(tmp_path / "no" / "folder.wav", sine(16_000), 16_000)


def test_int16_passes_through_and_resampling_keeps_the_length() -> None:
    whole = np.array([-32768, 0, 32767], np.int16)
    assert (to_int16(whole) == whole).all()
    assert len(resample(sine(22_050), 22_050, 16_000)) == 16_000


@pytest.mark.parametrize(
    ("container", "codec"), [("WAV", "GSM610"), ("AIFF", "GSM610"), ("WAV", "G721_32"), ("AU", "G723_24")]
)
def test_codecs_that_cannot_go_back(tmp_path: Path, container: str, codec: str) -> None:
    path = tmp_path / "voice"
    soundfile.write(path, 0.3 * np.sin(np.arange(16_000) * 0.2), 8_000, format=container, subtype=codec)
    sound = read_audio(path)
    assert len(sound) == pytest.approx(32_000, abs=400)
    assert 0.1 < float(np.sqrt(np.mean(sound**2))) < 0.3
