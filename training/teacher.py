"""The old weights as a teacher: which written form of a text to train on, and how sure of it they are.

Duty: labels of utterances. It must not train.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import torch
import torch.nn.functional as functional
from torch import Tensor

from training.model import Model
from training.speech import Store
from training.tokens import END, START, Tokens
from training.written_forms import forms

PAD = 4800  # samples of silence on both sides, as the tool pads
_UTTERANCES, _TEXTS = 48, 384  # at once


@dataclass(frozen=True, slots=True)
class Label:
    """``tokens`` from start to end; ``score``: mean log-probability of a token on the clean sound."""

    tokens: list[int]
    score: float


def halved(device: str) -> torch.autocast:
    """Half precision where it is quicker; a processor computes in full."""
    kind = device.partition(":")[0]
    return torch.autocast(kind, torch.bfloat16, enabled=kind == "cuda")


def encode(model: Model, sound: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor]:
    return model.encoder(functional.pad(sound, (PAD, PAD)), lengths + 2 * PAD)


def batch_of(texts: Sequence[Sequence[int]], device: str) -> tuple[Tensor, Tensor]:
    """(rows, longest) filled up with the end token, and their lengths."""
    rows = torch.full((len(texts), max(map(len, texts))), END)
    for row, text in zip(rows, texts, strict=True):
        row[: len(text)] = torch.tensor(text)
    return rows.to(device), torch.tensor([len(text) for text in texts], device=device)


@torch.no_grad()
def label(model: Model, tokens: Tokens, store: Store, numbers: Sequence[int], device: str) -> list[Label]:
    """The likeliest form of each utterance's text."""
    found: dict[int, Label] = {}
    order = sorted(numbers, key=lambda number: store.lengths[number])
    for at in range(0, len(order), _UTTERANCES):
        some = order[at : at + _UTTERANCES]
        with halved(device):
            states, mask = encode(model, *store.gather(some))
        candidates = [
            (place, tokens.encode(form)) for place, number in enumerate(some) for form in forms(store.rows[number].text)
        ]
        for begin in range(0, len(candidates), _TEXTS):
            part = candidates[begin : begin + _TEXTS]
            texts, counts = batch_of([text for _, text in part], device)
            places = torch.tensor([place for place, _ in part], device=device)
            with halved(device):
                logits = model.decoder(texts[:, :-1], states[places], mask[places])
            logs = -functional.cross_entropy(logits.float().transpose(1, 2), texts[:, 1:], reduction="none")
            counted = torch.arange(logs.shape[1], device=device)[None] < counts[:, None] - 1
            for (place, text), log in zip(part, (logs * counted).sum(1).tolist(), strict=True):
                number = some[place]
                if number not in found or log > found[number].score * (len(found[number].tokens) - 1):
                    found[number] = Label(text, log / (len(text) - 1))
    return [found[number] for number in numbers]


@torch.no_grad()
def transcribe(model: Model, tokens: Tokens, sound: Tensor, lengths: Tensor, most: int = 32) -> list[str]:
    """What the model writes by itself, the likeliest token each time."""
    device = sound.device.type
    with halved(device):
        states, mask = encode(model, sound, lengths)
        written = torch.full((len(sound), 1), START, device=sound.device)
        ended = torch.zeros(len(sound), dtype=torch.bool, device=sound.device)
        while written.shape[1] < most and not bool(ended.all()):
            following = model.decoder.proj(model.decoder.states(written, states, mask)[:, -1]).float().argmax(-1)
            following = torch.where(ended, torch.full_like(following, END), following)
            written = torch.cat((written, following[:, None]), 1)
            ended |= following == END
    return [tokens.decode([token for token in row if token != END]) for row in written.tolist()]
