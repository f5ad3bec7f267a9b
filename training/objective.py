"""What is minimised: hear in noise what the old weights hear in the quiet.

Three terms. Cross-entropy of the true text's likeliest form; divergence from the old weights' next-token
probabilities on the clean sound; and distance of the states in noise from the old weights' states of the clean sound,
relative to their size. The second and third are left out where there is nothing to hear, and the second where the old
weights do not know the text themselves. Each utterance has weights of its own for the first and second: of human
speech there is so little that its texts are soon known by heart, and of ordinary wording the old weights teach what
is to be unlearned.

Duty: the loss of one batch. It must not step.
"""

from __future__ import annotations

from dataclasses import dataclass

import torch
import torch.nn.functional as functional
from torch import Tensor

from training.distort import Distorted
from training.model import Model
from training.teacher import encode, halved
from training.tokens import END, START

SURE = -1.5  # mean log-probability of a token from which the old weights count as knowing the text


@dataclass(frozen=True)
class Terms:
    text: float = 0.5
    divergence: float = 0.5
    states: float = 1.0


@dataclass(frozen=True)
class Told:
    """``texts`` : (batch, tokens), filled up with the end token; ``counts`` : (batch,), tokens that count; ``scores`` :
    (batch,), how sure the teacher was; ``trust`` and ``taught`` : (batch,), what the text and the teacher count for."""

    texts: Tensor
    counts: Tensor
    scores: Tensor
    trust: Tensor
    taught: Tensor


def loss(student: Model, teacher: Model, sound: Distorted, told: Told, terms: Terms) -> dict[str, Tensor]:
    """The terms by name, and ``total``."""
    kind = sound.noisy.device.type
    texts, counts = told.texts.clone(), told.counts
    texts[sound.nothing, 1:] = END
    texts[:, 0] = START
    counts = torch.where(sound.nothing, torch.full_like(counts, 2), counts)
    counted = torch.arange(texts.shape[1] - 1, device=texts.device)[None] < counts[:, None] - 1
    heard = (~sound.nothing).float()
    trust = told.trust[:, None].expand_as(counted)[counted]
    sure = ((told.scores > SURE) & ~sound.nothing).float() * told.taught
    sure = sure[:, None].expand_as(counted)[counted]
    with torch.no_grad(), halved(kind):
        aim, aim_mask = encode(teacher, sound.clean, sound.lengths)
        wanted = teacher.decoder.states(texts[:, :-1], aim, aim_mask)[counted]
        wanted = teacher.decoder.proj(wanted).float().log_softmax(-1)
    with halved(kind):
        states, mask = encode(student, sound.noisy, sound.lengths)
        logits = student.decoder.proj(student.decoder.states(texts[:, :-1], states, mask)[counted])
    logs = logits.float().log_softmax(-1)
    text = (functional.nll_loss(logs, texts[:, 1:][counted], reduction="none") * trust).sum() / trust.sum().clamp(min=1)
    divergence = ((wanted.exp() * (wanted - logs)).sum(-1) * sure).sum() / sure.sum().clamp(min=1)
    weight = mask[:, 0, 0].float() * heard[:, None]
    distance = ((states.float() - aim.float()).pow(2).mean(-1) * weight).sum()
    distance = distance / (aim.float().pow(2).mean(-1) * weight).sum().clamp(min=1e-6)
    total = terms.text * text + terms.divergence * divergence + terms.states * distance
    return {"total": total, "text": text, "divergence": divergence, "states": distance}
