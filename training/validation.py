"""How well weights hear voices and noises that they were not trained on: what averaging and rate are chosen by.

Duty: the share of utterances whose freely written text is the true one in any of its forms, by condition. The tool's
own grammar is not asked; the hearing benchmark does that, on other voices and noises.
"""

from __future__ import annotations

import re

import torch

from training.distort import Distorter, mix
from training.model import Model
from training.speech import Store
from training.teacher import transcribe
from training.tokens import Tokens
from training.written_forms import forms

CONDITIONS: dict[str, float | None] = {"clean": None, "10 dB": 10.0, "5 dB": 5.0, "0 dB": 0.0}
_AT_ONCE = 96
_SEED = 7


def validate(model: Model, tokens: Tokens, store: Store, bank: torch.Tensor) -> dict[str, dict[str, float]]:
    """Condition -> kind of speaker ("human", "joined", else "synthetic") -> share right."""
    groups = [row.kind.partition("-")[0] if "-" in row.kind else "synthetic" for row in store.rows]
    wanted = [{plain(form) for form in forms(row.text)} for row in store.rows]
    order = sorted(range(len(store.rows)), key=lambda number: store.lengths[number])
    found: dict[str, dict[str, float]] = {}
    for condition, snr_db in CONDITIONS.items():
        noises = Distorter(bank, _SEED)
        right: dict[str, list[bool]] = {group: [] for group in dict.fromkeys(groups)}
        for at in range(0, len(order), _AT_ONCE):
            some = order[at : at + _AT_ONCE]
            sound, lengths = store.gather(some)
            if snr_db is not None:
                level = torch.full((len(some),), snr_db, device=sound.device)
                sound = mix(sound, lengths, noises.noise(*sound.shape), level)
            for number, text in zip(some, transcribe(model, tokens, sound, lengths), strict=True):
                right[groups[number]].append(plain(text) in wanted[number])
        found[condition] = {group: round(sum(each) / len(each), 3) for group, each in right.items()}
    return found


def plain(text: str) -> str:
    """Letters, figures and the marks that mean something, without spaces."""
    return re.sub(r"[^a-z0-9/]|(?<!\d)\.|\.(?!\d)", "", re.sub(r"(?<=\d)\.(?=\d)", "p", text.lower()))
