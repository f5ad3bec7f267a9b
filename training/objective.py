"""What is minimised: hear in noise what the old weights hear in the quiet.

Three terms. Cross-entropy of the true text's likeliest form; divergence from the old weights' next-token
probabilities on the clean sound; and distance of the states in noise from the old weights' states of the clean sound,
relative to their size. The second and third are left out where there is nothing to hear, and the second where the old
weights do not know the text themselves.

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


def loss(
    student: Model, teacher: Model, sound: Distorted, texts: Tensor, counts: Tensor, scores: Tensor, terms: Terms
) -> dict[str, Tensor]:
    """The terms by name, and ``total``.

    ``texts`` : (batch, tokens), filled up with the end token; ``counts`` : (batch,), tokens that count; ``scores`` :
    (batch,), how sure the teacher was.
    """
    kind = sound.noisy.device.type
    texts = texts.clone()
    texts[sound.nothing, 1:] = END
    texts[:, 0] = START
    counts = torch.where(sound.nothing, torch.full_like(counts, 2), counts)
    counted = torch.arange(texts.shape[1] - 1, device=texts.device)[None] < counts[:, None] - 1
    heard = (~sound.nothing).float()
    sure = ((scores > SURE) & ~sound.nothing)[:, None].expand_as(counted)[counted].float()
    with torch.no_grad(), halved(kind):
        aim, aim_mask = encode(teacher, sound.clean, sound.lengths)
        wanted = teacher.decoder.states(texts[:, :-1], aim, aim_mask)[counted]
        wanted = teacher.decoder.proj(wanted).float().log_softmax(-1)
    with halved(kind):
        states, mask = encode(student, sound.noisy, sound.lengths)
        logits = student.decoder.proj(student.decoder.states(texts[:, :-1], states, mask)[counted])
    logs = logits.float().log_softmax(-1)
    text = functional.nll_loss(logs, texts[:, 1:][counted])
    divergence = ((wanted.exp() * (wanted - logs)).sum(-1) * sure).sum() / sure.sum().clamp(min=1)
    weight = mask[:, 0, 0].float() * heard[:, None]
    distance = ((states.float() - aim.float()).pow(2).mean(-1) * weight).sum()
    distance = distance / (aim.float().pow(2).mean(-1) * weight).sum().clamp(min=1e-6)
    total = terms.text * text + terms.divergence * divergence + terms.states * distance
    return {"total": total, "text": text, "divergence": divergence, "states": distance}
