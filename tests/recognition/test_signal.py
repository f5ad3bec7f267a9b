from __future__ import annotations

import numpy as np
import pytest

from voicefit.errors import BadAudio
from voicefit.recognition.signal import PAD_S, Prepared, levels, prepare
from voicefit.records import SAMPLE_RATE_HZ, Reason, Rejection, Utterance

RATE = SAMPLE_RATE_HZ


def tone(seconds: float = 1.0, level: float = 0.1) -> np.ndarray:
    return (level * np.sin(np.arange(int(seconds * RATE)) * 0.2)).astype(np.float32)


def reason_of(samples: np.ndarray) -> Reason:
    refused = prepare(Utterance(samples))
    assert isinstance(refused, Rejection)
    return refused.reason


def prepared(samples: np.ndarray, **known: float | bool) -> Prepared:
    ready = prepare(Utterance(samples, **known))  # type: ignore[arg-type]  # keywords of Utterance
    assert isinstance(ready, Prepared)
    return ready


def test_nothing_and_next_to_nothing_is_silence() -> None:
    assert reason_of(np.zeros(0, np.float32)) is Reason.SILENCE
    assert reason_of(tone(0.05)) is Reason.SILENCE
    assert reason_of(np.zeros(RATE, np.float32)) is Reason.SILENCE
    assert reason_of(tone(level=1e-5)) is Reason.SILENCE


def test_too_long_is_named_with_its_length() -> None:
    refused = prepare(Utterance(tone(31)))
    assert isinstance(refused, Rejection)
    assert (refused.reason, refused.detail) == (Reason.TOO_LONG, "31 seconds")


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_samples_that_are_no_numbers_are_counted(bad: float) -> None:
    samples = tone()
    samples[[5, 77]] = bad
    with pytest.raises(BadAudio, match="2 of 16000 samples are not numbers"):
        prepare(Utterance(samples))


def test_two_channels_are_refused() -> None:
    with pytest.raises(BadAudio, match=r"one channel is wanted, shape \(16000, 2\) came"):
        prepare(Utterance(np.zeros((16000, 2), np.float32)))


def test_an_offset_goes_and_silence_is_put_around() -> None:
    with_offset = tone() + np.float32(0.3)
    ready = prepared(with_offset)
    pad = round(PAD_S * RATE)
    assert len(ready.samples) == len(with_offset) + 2 * pad
    assert not ready.samples[:pad].any() and not ready.samples[-pad:].any()
    assert abs(float(ready.samples.mean())) < 1e-3
    assert float(with_offset.mean()) == pytest.approx(0.3, abs=1e-3)  # what was given is left alone
    assert reason_of(np.full(RATE, 0.3, np.float32)) is Reason.SILENCE


def test_levels_of_speech_and_of_the_noise_around_it() -> None:
    samples = np.concatenate([tone(0.5, 0.001), tone(0.5, 0.1), tone(0.5, 0.001)])
    speech, noise = levels(samples)
    assert speech == pytest.approx(20 * np.log10(0.1 / np.sqrt(2)), abs=0.5)
    assert speech - noise == pytest.approx(40, abs=0.5)
    assert prepared(samples).snr_db == pytest.approx(40, abs=0.5)


def test_levels_measured_by_endpointing_are_believed() -> None:
    assert prepared(tone(), level_dbfs=-20.0, noise_dbfs=-32.0).snr_db == 12.0


def test_clipping_shows() -> None:
    assert prepared(np.clip(20 * tone(), -1, 1)).clipped
    assert not prepared(tone(level=0.9)).clipped
    assert prepared(tone(), clipped=True).clipped
