"""Spoken utterances on disk.

A shard is one ``.npz``: ``samples`` (int16, 16 kHz, one after the other), ``lengths``, and ``rows``, a line of speaker,
kind and text each, with tabs between.

Duty: write and read them. It must not alter sound, and needs numpy alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np


@dataclass(frozen=True)
class Said:
    """One utterance. ``samples``: int16, 16 kHz."""

    speaker: str
    kind: str
    text: str
    samples: np.ndarray


def write_shard(path: Path, utterances: Sequence[Said]) -> None:
    """Whole or not at all: another process may be reading the folder."""
    partial = path.with_suffix(".partial.npz")
    np.savez(
        partial,
        samples=np.concatenate([each.samples for each in utterances]),
        lengths=np.array([len(each.samples) for each in utterances]),
        rows=np.array([f"{each.speaker}\t{each.kind}\t{each.text}" for each in utterances]),
    )
    partial.rename(path)


def read_shard(path: Path) -> list[Said]:
    with np.load(path) as shard:
        ends = np.cumsum(shard["lengths"])
        parts = np.split(shard["samples"], ends[:-1])
        rows = [str(row).split("\t") for row in shard["rows"]]
    return [Said(*row, samples=part) for row, part in zip(rows, parts, strict=True)]


def as_int16(samples: np.ndarray) -> np.ndarray:
    """At half of full scale, as the trainer takes all speech."""
    return (samples / max(float(np.abs(samples).max()), 1e-4) * 16_000).astype(np.int16)
