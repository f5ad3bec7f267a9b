"""All spoken utterances in the memory of the device that trains.

Shards that appear while training runs are taken in too.

Duty: store and gather. It must not alter sound.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
import torch
from torch import Tensor

from training.shards import Said, read_shard


class Store:
    """Utterances on ``device``, those of ``folder`` and whatever is added there."""

    def __init__(self, folder: Path, device: str) -> None:
        self._folder, self._device = folder, device
        self._read: set[Path] = set()
        self.rows: list[Said] = []  # their samples are on the device only
        self.lengths: list[int] = []
        self._buffer = torch.zeros(0, dtype=torch.int16, device=device)
        self._starts = torch.zeros(0, dtype=torch.long, device=device)

    def refresh(self) -> range:
        """Takes in new shards; returns the numbers of the utterances that came."""
        first = len(self.rows)
        fresh = [
            path
            for path in sorted(self._folder.glob("*.npz"))
            if path not in self._read and ".partial" not in path.name
        ]
        self.add(each for path in fresh for each in read_shard(path))
        self._read.update(fresh)
        return range(first, len(self.rows))

    def add(self, utterances: Iterable[Said]) -> None:
        many = list(utterances)
        if not many:
            return
        lengths = [len(each.samples) for each in many]
        starts = torch.tensor(np.cumsum([0, *lengths[:-1]]), device=self._device) + len(self._buffer)
        samples = torch.from_numpy(np.concatenate([each.samples for each in many])).to(self._device)
        self._buffer = torch.cat((self._buffer, samples))
        self._starts = torch.cat((self._starts, starts))
        self.rows += [Said(each.speaker, each.kind, each.text, each.samples[:0]) for each in many]
        self.lengths += lengths

    def gather(self, numbers: Sequence[int]) -> tuple[Tensor, Tensor]:
        """(batch, samples) as float32, zeros after each one's end; and lengths, (batch,)."""
        which = torch.tensor(list(numbers), device=self._device)
        lengths = torch.tensor([self.lengths[n] for n in numbers], device=self._device)
        at = torch.arange(int(lengths.max()), device=self._device)[None]
        places = (self._starts[which][:, None] + at).clamp(max=len(self._buffer) - 1)
        return self._buffer[places].float() / 32768 * (at < lengths[:, None]), lengths
