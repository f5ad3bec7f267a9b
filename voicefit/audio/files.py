"""Sound files: any common rate and layout in, 16 kHz mono out; and WAV written.

Duty: open, check, mix down, resample, in blocks, so that a long file never lies in memory as a whole. It must not look
for speech.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import BadAudio, BadInput
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.resources import is_named_pipe

LOWEST_RATE_HZ = 8_000  # telephone band: below it the words are gone
HIGHEST_RATE_HZ = 384_000
LONGEST_WHOLE_S = 3_600.0  # ``read_audio`` holds the whole sound; longer files are for ``audio_blocks``
BLOCK_S = 1.0


@dataclass(frozen=True, slots=True)
class _Plan:
    """What a first pass over the file found: the channel that carries the sound, and its mean."""

    channel: int
    mean: float


def read_audio(path: str | Path) -> NDArray[np.float32]:
    """A whole sound file (WAV, FLAC and what else libsndfile reads) as float32, shape (n,), 16 kHz mono, no DC.

    Of several channels the one with the most sound is taken: the average would halve the voice when a channel is
    silent and cancel it when one is inverted.

    Raises ``BadAudio`` naming file and reason: not there, no sound file, broken header, no samples, a rate outside
    8 to 384 kHz, samples that are not numbers, longer than an hour.

    >>> import tempfile, numpy as np
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_wav(Path(folder) / "a.wav", np.sin(np.arange(48_000) * 0.05).astype("float32"), 48_000)
    ...     len(read_audio(Path(folder) / "a.wav"))
    16000
    """
    blocks: list[NDArray[np.float32]] = []
    length = 0
    for block in audio_blocks(path):
        blocks.append(block)
        length += len(block)
        if length > LONGEST_WHOLE_S * SAMPLE_RATE_HZ:
            raise BadAudio(path, f"it is longer than {LONGEST_WHOLE_S / 60:.0f} minutes")
    return np.concatenate(blocks) if blocks else np.zeros(0, np.float32)


def audio_blocks(path: str | Path) -> Iterator[NDArray[np.float32]]:
    """The same sound block by block (float32, 16 kHz mono, about ``BLOCK_S`` each); checked before the first block."""
    import soundfile

    path = Path(path)
    if is_named_pipe(path):
        raise BadAudio(path, "it is a pipe; write the sound to a file first")
    try:
        with soundfile.SoundFile(path) as file:
            plan = _survey(path, file)
        with soundfile.SoundFile(path) as file:  # opened anew: some codecs cannot go back
            yield from _resampled(file, plan)
    except (soundfile.LibsndfileError, OSError) as error:
        raise BadAudio(path, _reason(path, error)) from None


def seconds_of(path: str | Path) -> float:
    """How long a sound file says that it is; 0 where it cannot be read, which the reading of it tells."""
    import soundfile

    try:
        return 0.0 if is_named_pipe(Path(path)) else float(soundfile.info(str(path)).duration)
    except (soundfile.LibsndfileError, OSError):
        return 0.0


def write_wav(path: str | Path, samples: NDArray[np.float32] | NDArray[np.int16], rate_hz: int) -> None:
    """Write mono sound as a 16-bit WAV; float samples beyond -1..1 are limited. Raises ``BadInput`` where it cannot."""
    import soundfile

    try:
        soundfile.write(Path(path), to_int16(samples), rate_hz, subtype="PCM_16", format="WAV")
    except (soundfile.LibsndfileError, OSError) as error:
        raise BadInput(f"{path} could not be written: {_plain(error)}") from None


def to_int16(samples: NDArray[np.float32] | NDArray[np.int16]) -> NDArray[np.int16]:
    """Samples -1..1 as int16, limited; int16 passes through."""
    if samples.dtype == np.int16:
        return samples.astype(np.int16, copy=False)
    return np.round(np.clip(samples.astype(np.float32, copy=False), -1.0, 1.0) * 32767.0).astype(np.int16)


def resample(samples: NDArray[np.float32], from_hz: int, to_hz: int) -> NDArray[np.float32]:
    """Whole mono sound at another rate."""
    if from_hz == to_hz:
        return samples
    import soxr

    resampled: NDArray[np.float32] = soxr.resample(samples, from_hz, to_hz)
    return resampled


def _read(file: Any, frames: int) -> Iterator[NDArray[np.float32]]:
    """Blocks of float32, shape (frames, channels); the last one may be shorter."""
    while len(block := file.read(frames, dtype="float32", always_2d=True)):
        yield block


def _survey(path: Path, file: Any) -> _Plan:
    """First pass: refuse what cannot be used, find the channel with the most sound."""
    rate = file.samplerate
    if not LOWEST_RATE_HZ <= rate <= HIGHEST_RATE_HZ:
        raise BadAudio(path, f"a sampling rate of {rate} Hz is not usable; record at 16000 or 48000 Hz")
    count = 0
    total = np.zeros(file.channels)
    squares = np.zeros(file.channels)
    for block in _read(file, rate * 4):
        if not np.isfinite(block).all():
            bad = int(np.argmin(np.isfinite(block).all(axis=1)))
            raise BadAudio(path, f"the sample at {(count + bad) / rate:.3f} s is not a number")
        count += len(block)
        total += block.sum(axis=0, dtype=np.float64)
        squares += np.einsum("ij,ij->j", block, block, dtype=np.float64)
    if count == 0:
        raise BadAudio(path, "it holds no samples")
    mean = total / count
    channel = int(np.argmax(squares / count - mean**2))
    return _Plan(channel, float(mean[channel]))


def _resampled(file: Any, plan: _Plan) -> Iterator[NDArray[np.float32]]:
    import soxr

    rate = file.samplerate
    stream = None if rate == SAMPLE_RATE_HZ else soxr.ResampleStream(rate, SAMPLE_RATE_HZ, 1, dtype="float32")
    for block in _read(file, max(1, round(BLOCK_S * rate))):
        mono = block[:, plan.channel] - np.float32(plan.mean)
        sound = mono if stream is None else stream.resample_chunk(mono)
        if len(sound):
            yield sound
    if stream is not None:
        rest = stream.resample_chunk(np.zeros(0, np.float32), last=True)
        if len(rest):
            yield rest


def _reason(path: Path, error: Exception) -> str:
    if not path.exists():
        return "there is no such file"
    if path.is_dir():
        return "it is a folder"
    if path.stat().st_size == 0:
        return "the file is empty"
    return f"it cannot be read as sound ({_plain(error)})"


def _plain(error: Exception) -> str:
    text = getattr(error, "error_string", None) or getattr(error, "strerror", None) or str(error)
    return str(text).rstrip(".")
