"""What a workshop does to a voice: distance, room, microphone, headset, haste, noise.

Duty: batches of clean speech to pairs of clean and distorted speech of the same length and timing. It must not know
texts.
"""

from __future__ import annotations

from dataclasses import dataclass

import torch
import torch.nn.functional as functional
from torch import Generator, Tensor

from training.noises import RATE_HZ

_FRAME = 320
_ACTIVITY_MARGIN_DB = 15.9  # ITU-T P.56, method B


@dataclass(frozen=True)
class Shares:
    """How much of a batch gets what; the rest of the numbers stand where they are used. Common practice, no source."""

    clean: float = 0.12
    nothing: float = 0.03  # noise alone
    backwards: float = 0.012
    headset: float = 0.12  # 8 kHz, companded
    flattened: float = 0.1
    room: float = 0.35


@dataclass(frozen=True)
class Distorted:
    """``clean`` and ``noisy``: (batch, samples); ``lengths``: (batch,); ``nothing``: where no speech is."""

    clean: Tensor
    noisy: Tensor
    lengths: Tensor
    nothing: Tensor


class Distorter:
    def __init__(self, bank: Tensor, seed: int, shares: Shares | None = None) -> None:
        """``bank`` : (clips, samples), as :meth:`training.noises.Noises.bank` makes it."""
        self._bank, self._shares = bank, shares or Shares()
        self._device = bank.device
        self._generator = Generator(bank.device)
        self._generator.manual_seed(seed)

    def distort(self, sound: Tensor, lengths: Tensor) -> Distorted:
        """``sound`` : (batch, samples), zeros after ``lengths``."""
        sound, lengths = self._hurry(sound, lengths)
        clean, lengths = self._surround(sound, lengths)
        batch, length = clean.shape
        backwards = self._some(self._shares.backwards, batch)
        heard = torch.where(backwards[:, None], clean.flip(1), clean)
        heard = self._flatten(heard)
        heard = self._filter(heard)
        noise = self.noise(batch, length)
        low, wide = self._uniform(batch) * 15, self._uniform(batch) * 28 - 3  # dB: most of it where it is hard
        heard_noisy = mix(heard, lengths, noise, torch.where(self._some(0.6, batch), low, wide))
        noisy = torch.where(self._some(self._shares.clean, batch)[:, None], heard, heard_noisy)
        nothing = self._some(self._shares.nothing, batch)
        noisy = torch.where(nothing[:, None], noise * inside(lengths, length), noisy)
        return Distorted(clean, self._level(self._headset(noisy)), lengths, nothing | backwards)

    def noise(self, batch: int, length: int) -> Tensor:
        """Clips from the bank, in two of five rows two of them together."""
        both = self._some(0.4, batch)[:, None] * self._uniform(batch, 1)
        return self._clip(batch, length) + both * self._clip(batch, length)

    def _clip(self, batch: int, length: int) -> Tensor:
        row = torch.randint(0, len(self._bank), (batch, 1), device=self._device, generator=self._generator)
        size = self._bank.shape[1]
        start = torch.randint(0, size, (batch, 1), device=self._device, generator=self._generator)
        clip = self._bank[row, (start + torch.arange(length, device=self._device)[None]).remainder(size)].float()
        return clip / (clip.pow(2).mean(1, keepdim=True).sqrt() + 1e-6)

    def _uniform(self, *shape: int) -> Tensor:
        return torch.rand(*shape, device=self._device, generator=self._generator)

    def _some(self, share: float, batch: int) -> Tensor:
        return self._uniform(batch) < share

    def _hurry(self, sound: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor]:
        """Half of the batches faster and higher, or slower and lower."""
        if float(self._uniform(1)) < 0.5:
            return sound, lengths
        factor = 0.88 + 0.26 * float(self._uniform(1))
        length = int(sound.shape[1] * factor)
        stretched = functional.interpolate(sound[:, None], size=length, mode="linear", align_corners=False)[:, 0]
        return stretched, (lengths * factor).long().clamp(max=length)

    def _surround(self, sound: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor]:
        """Up to 0.4 s before and 0.5 s after, in whole quarters of a second, so that few shapes occur."""
        batch = len(sound)
        before, after = ((self._uniform(batch) * most * RATE_HZ).long() for most in (0.4, 0.5))
        length = -(-int((lengths + before + after).max()) // 4096) * 4096
        at = torch.arange(length, device=self._device)[None] - before[:, None]
        there = (at >= 0) & (at < lengths[:, None])
        moved = sound.gather(1, at.clamp(0, sound.shape[1] - 1)) * there
        return moved, lengths + before + after

    def _flatten(self, sound: Tensor) -> Tensor:
        """Some rows with their spectrum smoothed over frequency and time, as of a statistical voice or a poor codec."""
        rows = self._some(self._shares.flattened, len(sound)).nonzero()[:, 0]
        if not len(rows):
            return sound
        window = torch.hann_window(512, device=self._device)
        spectrum = torch.stft(sound[rows], 512, 128, window=window, return_complex=True)
        log = torch.log(spectrum.abs() + 1e-5)
        smooth = functional.avg_pool2d(log[:, None], (3, 7), 1, (1, 3), count_include_pad=False)[:, 0]
        spectrum = spectrum * torch.exp(smooth - log)
        out = sound.clone()
        out[rows] = torch.istft(spectrum, 512, 128, window=window, length=sound.shape[1])
        return out

    def _filter(self, sound: Tensor) -> Tensor:
        """Room and microphone in one response: reverberation, three humps, high and low pass."""
        batch, length = sound.shape
        seconds = torch.arange(8000, device=self._device) / RATE_HZ
        decay = 0.08 + 0.5 * self._uniform(batch, 1) ** 2  # s until 60 dB down
        tail = torch.randn(batch, 8000, device=self._device, generator=self._generator) * torch.exp(
            -6.9 * seconds[None] / decay
        )
        tail[:, :16] = 0
        strength = self._some(self._shares.room, batch)[:, None] * 10 ** (-(self._uniform(batch, 1) * 14 + 1) / 20)
        response = tail / (tail.pow(2).sum(1, keepdim=True).sqrt() + 1e-9) * strength
        response[:, 0] += 1
        size = length + 8192
        spectrum = torch.fft.rfft(sound, n=size) * torch.fft.rfft(response, n=size)
        hertz = torch.linspace(0, RATE_HZ / 2, spectrum.shape[1], device=self._device)[None].clamp(min=5)
        octaves = torch.log2(hertz / 1000)
        gain = torch.zeros_like(spectrum.real)
        for _ in range(3):
            centre, width = self._uniform(batch, 1) * 6 - 4, 0.3 + self._uniform(batch, 1)
            gain = gain + (self._uniform(batch, 1) * 2 - 1) * 1.1 * torch.exp(-(((octaves - centre) / width) ** 2))
        gain = gain * self._some(0.5, batch)[:, None]
        high = self._some(0.4, batch)[:, None] * (60 + 340 * self._uniform(batch, 1))
        low = torch.where(
            self._some(0.3, batch)[:, None],
            2800 + 4500 * self._uniform(batch, 1),
            torch.full((batch, 1), 9e3, device=self._device),
        )
        passed = torch.exp(gain) / torch.sqrt(1 + (high / hertz) ** 6) / torch.sqrt(1 + (hertz / low) ** 12)
        return torch.fft.irfft(spectrum * passed, n=size)[:, :length]

    def _headset(self, sound: Tensor) -> Tensor:
        """Some rows as a telephone band headset hands them on: 0.3 to 3.4 kHz, eight bits, μ-law (ITU-T G.711)."""
        rows = self._some(self._shares.headset, len(sound)).nonzero()[:, 0]
        if not len(rows):
            return sound
        spectrum = torch.fft.rfft(sound[rows])
        hertz = torch.linspace(0, RATE_HZ / 2, spectrum.shape[1], device=self._device)[None].clamp(min=5)
        spectrum = spectrum / torch.sqrt(1 + (300 / hertz) ** 6) / torch.sqrt(1 + (hertz / 3600) ** 20)
        band = torch.fft.irfft(spectrum, n=sound.shape[1])
        peak = band.abs().amax(1, keepdim=True) + 1e-6
        companded = torch.sign(band) * torch.log1p(255 * band.abs() / peak) / 5.545
        companded = torch.round(companded * 127) / 127
        out = sound.clone()
        out[rows] = torch.sign(companded) * torch.expm1(companded.abs() * 5.545) / 255 * peak
        return out

    def _level(self, sound: Tensor) -> Tensor:
        """Down to 30 dB under full scale; some rows clipped."""
        batch = len(sound)
        sound = sound / (sound.abs().amax(1, keepdim=True) + 1e-6) * 10 ** (-30 * self._uniform(batch, 1) ** 2 / 20)
        return torch.where(self._some(0.05, batch)[:, None], (sound * 3).clamp(-0.6, 0.6), sound)


def inside(lengths: Tensor, length: int) -> Tensor:
    """One inside the sound, zero after it: (batch, length)."""
    return (torch.arange(length, device=lengths.device)[None] < lengths[:, None]).float()


def mix(sound: Tensor, lengths: Tensor, noise: Tensor, snr_db: Tensor) -> Tensor:
    """``sound`` with ``noise`` so many dB under its active level."""
    noise = noise * inside(lengths, sound.shape[1])
    root = (noise.pow(2).sum(1) / lengths).sqrt()
    return sound + noise * (active_level(sound, lengths) / (root + 1e-9) / 10 ** (snr_db / 20))[:, None]


def active_level(sound: Tensor, lengths: Tensor) -> Tensor:
    """Root mean square of the frames less than 15.9 dB under that level itself (ITU-T P.56, method B): (batch,)."""
    frames = sound.shape[1] // _FRAME
    power = sound[:, : frames * _FRAME].reshape(len(sound), frames, _FRAME).pow(2).mean(-1)
    counted = inside(torch.div(lengths, _FRAME, rounding_mode="floor"), frames)
    found = (power * counted).sum(1) / counted.sum(1).clamp(min=1)
    for _ in range(6):
        active = counted * (power >= found[:, None] * 10 ** (-_ACTIVITY_MARGIN_DB / 10))
        found = (power * active).sum(1) / active.sum(1).clamp(min=1)
    return found.sqrt()
