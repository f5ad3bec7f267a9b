"""Noises of a workshop, made by formula; none is a recording.

How it works: each family is a short recipe (shaped noise, harmonics of an engine, bursts of a decaying resonance,
voices laid over each other) with its parameters drawn anew for every clip; families are mixed two by two when a batch
is made, so that a trainer hardly ever hears a noise twice.

Duty: banks of clips, of ten seconds unless said, at a root mean square of one. The ranges are common practice, no
source.

    python -m training.noises OUT [--seed 10007]

writes one file a family, for the hearing benchmark's ``--noise``: to validate and to fit on.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from pathlib import Path

import torch
import torch.nn.functional as functional
from torch import Generator, Tensor

RATE_HZ = 16_000
LENGTH = 10 * RATE_HZ
_BURST = 4800

Speech = Callable[[int], Tensor]  # count -> (count, length) of people talking


class Noises:
    """Draws clips on ``device``; each method returns (count, length)."""

    def __init__(self, device: str, seed: int, length: int = LENGTH) -> None:
        self._device, self.length = device, length
        self._generator = Generator(device)
        self._generator.manual_seed(seed)

    def _uniform(self, *shape: int, least: float = 0.0, greatest: float = 1.0) -> Tensor:
        return torch.rand(*shape, device=self._device, generator=self._generator) * (greatest - least) + least

    def _normal(self, *shape: int) -> Tensor:
        return torch.randn(*shape, device=self._device, generator=self._generator)

    def _slow(self, count: int, rate_hz: float) -> Tensor:
        """A smooth random curve with about so many turns a second, standard deviation about one."""
        points = self._normal(count, 1, max(4, round(10 * rate_hz)))
        return functional.interpolate(points, size=self.length, mode="linear", align_corners=True)[:, 0]

    def coloured(self, count: int, least_db: float = -9.0, most_db: float = 2.0) -> Tensor:
        """Noise with a tilt between the two, dB an octave, and four humps or dents: fans, traffic, air."""
        bins = self.length // 2 + 1
        hertz = torch.linspace(0, RATE_HZ / 2, bins, device=self._device).clamp(min=20)
        octaves = torch.log2(hertz / 1000)[None]
        log_gain = self._uniform(count, 1, least=least_db, greatest=most_db) * octaves * math.log(10) / 20
        for _ in range(4):
            centre, width = (
                self._uniform(count, 1, least=-4.5, greatest=2.0),
                self._uniform(count, 1, least=0.15, greatest=1.35),
            )
            log_gain = log_gain + self._uniform(count, 1, least=-1.6, greatest=1.6) * torch.exp(
                -(((octaves - centre) / width) ** 2)
            )
        spectrum = torch.fft.rfft(self._normal(count, self.length)) * torch.exp(log_gain.clamp(-9, 6))
        return level(torch.fft.irfft(spectrum, n=self.length))

    def swelling(self, count: int) -> Tensor:
        """Coloured noise whose level wanders: wind, water, machines under load."""
        rate = float(self._uniform(1, least=0.5, greatest=8.0))
        return level(self.coloured(count) * torch.exp(0.7 * self._slow(count, rate)))

    def harmonic(self, count: int, least_hz: float, most_hz: float, partials: int, wander: float) -> Tensor:
        """Harmonics of a fundamental that wanders a little."""
        fundamental = torch.exp(self._uniform(count, 1, least=math.log(least_hz), greatest=math.log(most_hz)))
        phase = 2 * math.pi * torch.cumsum(fundamental * (1 + wander * self._slow(count, 2.4)) / RATE_HZ, 1)
        slope = self._uniform(count, 1, greatest=1.5)
        out = torch.zeros(count, self.length, device=self._device)
        for k in range(1, partials + 1):
            strength = self._uniform(count, 1) ** 2 * k**-slope * (k * fundamental < 7600)
            out += strength * torch.sin(k * phase + 2 * math.pi * self._uniform(count, 1))
        return level(out)

    def engine(self, count: int) -> Tensor:
        """Firing harmonics with a beat, over rumble: diesel engines, pumps."""
        sound = self.harmonic(count, 18, 130, 40, 0.02) * (1 + 0.6 * self.harmonic(count, 4, 30, 3, 0.02))
        return level(sound + self._uniform(count, 1, greatest=0.8) * self.coloured(count, -9, -2))

    def whine(self, count: int) -> Tensor:
        """Gears, grinders and electric motors: high harmonics that come and go in noise."""
        sound = self.harmonic(count, 150, 2400, 14, 0.01) * torch.exp(0.5 * self._slow(count, 2.0))
        return level(sound + self._uniform(count, 1, greatest=1.5) * self.coloured(count))

    def bursts(
        self, count: int, least_rate_hz: float = 1.0, most_rate_hz: float = 26.0, longest_s: float = 0.1
    ) -> Tensor:
        """Decaying resonances at random times: hammers, wrenches, dropped parts; many and short, bubbling water."""
        time_s = torch.arange(_BURST, device=self._device) / RATE_HZ
        out = torch.zeros(count, self.length, device=self._device)
        for row in range(count):
            n = 1 + round(10 * float(self._uniform(1, least=least_rate_hz, greatest=most_rate_hz)))
            hertz = torch.exp(self._uniform(n, 1, least=math.log(300), greatest=math.log(7300)))
            decay_s = torch.exp(self._uniform(n, 1, least=math.log(0.003), greatest=math.log(longest_s)))
            sweep = 1 + 0.3 * time_s[None] * self._normal(n, 1)
            sound = torch.sin(2 * math.pi * hertz * time_s[None] * sweep) + 0.6 * self._uniform(n, 1) * self._normal(
                n, _BURST
            )
            sound = sound * torch.exp(-time_s[None] / decay_s) * torch.exp(0.8 * self._normal(n, 1))
            start = torch.randint(0, self.length - _BURST, (n, 1), device=self._device, generator=self._generator)
            places = (start + torch.arange(_BURST, device=self._device)[None]).reshape(-1)
            out[row].index_add_(0, places, sound.reshape(-1))
        return level(out)

    def knocks(self, count: int) -> Tensor:
        return level(self.bursts(count) + self._uniform(count, 1, greatest=0.5) * self.coloured(count))

    def water(self, count: int) -> Tensor:
        """A jet into a basin: bubbles over broad noise that flutters."""
        jet = self.coloured(count, -3, 3) * torch.exp(0.35 * self._slow(count, 20.0))
        return level(self._uniform(count, 1, least=0.2, greatest=1.2) * self.bursts(count, 60, 300, 0.02) + jet)

    def hiss(self, count: int) -> Tensor:
        """Compressed air and steam, opening and closing."""
        gate = (6 * self._slow(count, 1.2)).sigmoid()
        return level(self.coloured(count, 1, 7) * (0.15 + gate))

    def pulsing(self, count: int) -> Tensor:
        """Compressors, ratchets, wheels: noise in a rhythm, with knocks."""
        rhythm = 0.3 + self.harmonic(count, 1, 14, 6, 0.05).abs()
        return level(self.coloured(count) * rhythm + 0.4 * self._uniform(count, 1) * self.bursts(count))

    def babble(self, count: int, speech: Speech) -> Tensor:
        """Three to nine people, each at a level of their own."""
        out = torch.zeros(count, self.length, device=self._device)
        for row in range(count):
            talkers = int(self._uniform(1, least=3, greatest=10))
            out[row] = (level(speech(talkers)) * self._uniform(talkers, 1, least=0.3)).sum(0)
        return level(out)

    def bank(self, size: int, speech: Speech | None) -> Tensor:
        """About ``size`` clips of all families, half precision."""
        shares: list[tuple[float, Callable[[int], Tensor]]] = [
            (0.16, self.coloured), (0.18, self.swelling), (0.13, self.engine), (0.11, self.whine), (0.09, self.knocks),
            (0.10, self.water), (0.06, self.hiss), (0.08, self.pulsing),
        ]  # fmt: skip
        if speech is not None:
            shares.append((0.09, lambda count: self.babble(count, speech)))
        clips: list[Tensor] = []
        for share, make in shares:
            wanted = max(1, round(size * share))
            clips += [make(min(30, wanted - done)).half() for done in range(0, wanted, 30)]
        return torch.cat(clips)


def level(sound: Tensor) -> Tensor:
    """At a root mean square of one."""
    return sound / (sound.pow(2).mean(-1, keepdim=True).sqrt() + 1e-9)


def main() -> None:
    import soundfile

    parser = argparse.ArgumentParser(prog="python -m training.noises", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("out", type=Path)
    parser.add_argument("--seed", type=int, default=10_007)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    noises = Noises("cpu", options.seed)
    for name in ("swelling", "engine", "whine", "knocks", "water", "hiss", "pulsing"):
        clips = getattr(noises, name)(4).reshape(-1)
        soundfile.write(options.out / f"{name}.flac", (clips / clips.abs().max() * 0.8).numpy(), RATE_HZ)


if __name__ == "__main__":
    main()
