"""Trains the weights.

    python -m training.train --start START.npz --tokens tokenizer.bin --speech DIR --validation DIR --out OUT.npz
                             [--seconds 600] [--rate 2e-4] [--batch 128] [--human 0.12] [--device cuda] ...

START.npz and OUT.npz hold the weights by name (:mod:`training.weights_file`). All weights are trained; what is kept
is their running mean, written after each third too (OUT.1.npz, OUT.2.npz): longer is not always better, and a machine
can be lost. The rate rises for 200 steps and falls as a cosine over the time. Shards that are added to DIR meanwhile
are heard too. Needs torch and numpy alone.

Duty: the loop. What is heard, what is minimised and how good it is stand in their own files.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import time
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import torch

from training.distort import Distorter, Shares
from training.model import Model
from training.noises import RATE_HZ, Noises
from training.objective import Terms, Told, loss
from training.speech import Store
from training.teacher import Label, batch_of, label
from training.tokens import Tokens
from training.validation import validate

_WARM_UP = 200
_MEAN = 0.998
_REFRESH_S = 60
_HUMAN, _ORDINARY, _PARAMETRIC = "human", "ordinary", "tract-"
UNHEARD_SEED = 10_007  # of the noises that are validated with


@dataclass
class Pool:
    """The utterances with their labels, in order of length, so that a batch has utterances of about one length."""

    store: Store
    labels: list[Label] = field(default_factory=list)
    synthetic: list[int] = field(default_factory=list)
    human: list[int] = field(default_factory=list)
    repeat: int = 1  # times that a voice of its own stands for one made of the parametric voice
    human_text: float = 1.0  # what the text of human speech counts for

    def take_in(self, teacher: Model, tokens: Tokens, device: str) -> int:
        fresh = self.store.refresh()
        if fresh:
            self.labels += label(teacher, tokens, self.store, fresh, device)
            numbers = range(len(self.labels))
            self.human = [n for n in numbers if self._is(_HUMAN, n)]
            synthetic = [n for n in numbers for _ in range(self._times(n))] or self.human
            self.synthetic = sorted(synthetic, key=lambda n: self.store.lengths[n])
        return len(fresh)

    def _is(self, kind: str, number: int) -> bool:
        return self.store.rows[number].kind.startswith(kind)

    def _times(self, number: int) -> int:
        if self._is(_HUMAN, number):
            return 0
        return 1 if self.store.rows[number].speaker.startswith(_PARAMETRIC) else self.repeat

    def told(self, chosen: list[int], device: str) -> Told:
        """What the batch ``chosen`` says, and what each of its texts and the teacher count for."""
        texts, counts = batch_of([self.labels[n].tokens for n in chosen], device)
        numbers = (
            [self.labels[n].score for n in chosen],
            [self.human_text if self._is(_HUMAN, n) else 1.0 for n in chosen],
            [0.0 if self._is(_ORDINARY, n) else 1.0 for n in chosen],
        )
        return Told(texts, counts, *(torch.tensor(each, device=device) for each in numbers))

    def batch(self, draw: random.Random, size: int, human_share: float) -> list[int]:
        size = min(size, len(self.synthetic))
        window = min(3 * size, len(self.synthetic))
        first = draw.randrange(len(self.synthetic) - window + 1)
        chosen = draw.sample(self.synthetic[first : first + window], size)
        longest = max(self.store.lengths[n] for n in chosen) + 8000
        for at in range(size):
            if self.human and draw.random() < human_share:
                one = draw.choice(self.human)
                if self.store.lengths[one] < longest:
                    chosen[at] = one
        return chosen


def talk(store: Store, device: str, draw: random.Random, count: int, length: int) -> torch.Tensor:
    """(count, length) of utterances one after the other, for babble."""
    out = torch.zeros(count, length, device=device)
    for row in out:
        at = 0
        while at < length:
            sound, _ = store.gather([draw.randrange(len(store.rows))])
            part = sound[0, : length - at]
            row[at : at + len(part)] = part
            at += len(part) + 800
    return out


def load(path: Path, device: str) -> Model:
    model = Model()
    with np.load(path) as arrays:
        model.load_state_dict({name: torch.from_numpy(arrays[name]) for name in arrays.files})
    return model.to(device)


def save(path: Path, weights: dict[str, torch.Tensor]) -> None:
    np.savez(path, **{name: tensor.float().cpu().numpy() for name, tensor in weights.items()})


def train(options: argparse.Namespace) -> None:
    device, began = options.device, time.monotonic()
    torch.manual_seed(options.seed)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    draw, tokens = random.Random(options.seed), Tokens(options.tokens)
    teacher, student = (
        load(options.start, device).eval().requires_grad_(False),
        load(options.begin or options.start, device),
    )
    pool = Pool(Store(options.speech, device), repeat=options.repeat, human_text=options.human_text)
    checked = Store(options.validation, device)
    pool.take_in(teacher, tokens, device)
    checked.refresh()
    print(
        f"{len(pool.labels)} utterances, {len(pool.human)} human, {sum(pool.store.lengths) / 16_000 / 3600:.2f} h",
        flush=True,
    )
    length = round(options.clip_seconds * RATE_HZ)
    bank, unheard = (
        Noises(device, seed, length).bank(clips, lambda count, of=store: talk(of, device, draw, count, length))
        for seed, clips, store in (
            (options.seed, options.clips, pool.store),
            (UNHEARD_SEED, max(8, options.clips // 10), checked),
        )
    )
    print(f"noises {tuple(bank.shape)}, {time.monotonic() - began:.0f} s", flush=True)
    log: list[dict[str, object]] = [{"step": 0, "validation": validate(student, tokens, checked, unheard)}]
    print(log[-1], flush=True)
    distorter = Distorter(bank, options.seed, Shares(clean=options.clean))
    terms = Terms(options.text, options.divergence, options.states)
    if options.decoder_alone:
        student.encoder.requires_grad_(False)
    learned = [p for p in student.parameters() if p.requires_grad]
    matrices = [p for p in learned if p.ndim > 1]
    vectors = [p for p in learned if p.ndim < 2]
    groups = [{"params": matrices, "weight_decay": options.decay}, {"params": vectors, "weight_decay": 0.0}]
    optimiser = torch.optim.AdamW(groups, lr=options.rate, betas=(0.9, 0.98))
    kept = [parameter.detach().clone() for parameter in student.parameters()]
    start, step, looked, checks = time.monotonic(), 0, time.monotonic(), 1
    while True:
        done = max((time.monotonic() - start) / options.seconds, step / options.steps if options.steps else 0.0)
        if done >= 1:
            break
        if time.monotonic() - looked > _REFRESH_S:
            looked = time.monotonic()
            if came := pool.take_in(teacher, tokens, device):
                print(f"step {step}: {came} more utterances", flush=True)
        rate = options.rate * min(1.0, (step + 1) / _WARM_UP) * (0.5 * (1 + math.cos(math.pi * done)) + 0.01)
        for group in optimiser.param_groups:
            group["lr"] = rate
        chosen = pool.batch(draw, options.batch, options.human)
        with torch.no_grad():
            sound = distorter.distort(*pool.store.gather(chosen))
        parts = loss(student, teacher, sound, pool.told(chosen, device), terms)
        optimiser.zero_grad(set_to_none=True)
        parts["total"].backward()
        torch.nn.utils.clip_grad_norm_(student.parameters(), 1.0)
        optimiser.step()
        step += 1
        share = 1 - min(_MEAN, (1 + step) / (10 + step))
        with torch.no_grad():
            torch._foreach_mul_(kept, 1 - share)
            torch._foreach_add_(kept, list(student.parameters()), alpha=share)
        if step % 200 == 0:
            print(
                f"{step} {time.monotonic() - start:.0f} s",
                {name: round(part.item(), 3) for name, part in parts.items()},
                flush=True,
            )
        if done > checks / 3:
            checks += 1
            log.append(
                {"step": step, "validation": validate(_mean_of(student, kept, device), tokens, checked, unheard)}
            )
            print(log[-1], flush=True)
            save(options.out.with_suffix(f".{checks - 1}.npz"), _mean_of(student, kept, device).state_dict())
    final = _mean_of(student, kept, device)
    log.append({"step": step, "validation": validate(final, tokens, checked, unheard)})
    print(log[-1], flush=True)
    save(options.out, final.state_dict())
    settings = {name: str(value) for name, value in vars(options).items()}
    options.out.with_suffix(".json").write_text(
        json.dumps({"settings": settings, "log": log}, indent=1), encoding="utf-8"
    )


def _mean_of(student: Model, kept: list[torch.Tensor], device: str) -> Model:
    model = Model().to(device)
    model.load_state_dict(student.state_dict())
    with torch.no_grad():
        for parameter, mean in zip(model.parameters(), kept, strict=True):
            parameter.copy_(mean)
    return model.eval()


def main(argv: list[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="python -m training.train", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--start", type=Path, required=True, help="the old weights, also the teacher")
    parser.add_argument("--begin", type=Path, help="weights to go on from, when they are not the old ones")
    parser.add_argument("--tokens", type=Path, required=True)
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--validation", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--seconds", type=float, default=600.0)
    parser.add_argument("--steps", type=int, default=0, help="at most; 0 for as many as the time allows")
    parser.add_argument("--rate", type=float, default=2e-4)
    parser.add_argument("--batch", type=int, default=128)
    parser.add_argument("--human", type=float, default=0.12, help="share of human speech in a batch")
    parser.add_argument("--human-text", type=float, default=1.0, help="weight of the texts of human speech")
    parser.add_argument("--clean", type=float, default=Shares.clean, help="share of a batch without noise")
    parser.add_argument("--decoder-alone", action="store_true", help="leave the encoder as it is")
    parser.add_argument("--repeat", type=int, default=6, help="times that each utterance of many voices is in the pool")
    parser.add_argument("--text", type=float, default=0.5)
    parser.add_argument("--divergence", type=float, default=0.5)
    parser.add_argument("--states", type=float, default=1.0)
    parser.add_argument("--decay", type=float, default=0.05)
    parser.add_argument("--clips", type=int, default=2400, help="in the bank of noises")
    parser.add_argument("--clip-seconds", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--device", default="cuda")
    train(parser.parse_args(argv))


if __name__ == "__main__":
    main()
