"""Trains the sentence classifier and writes it out.

    python -m training.kinds.train BASE OUT [--leave-out NAME ...] [--layers 6] [--passes 12] [--device cuda]
    python -m training.kinds.train BASE OUT --on MODEL --fresh NAME ... [--passes 3] [--device cpu]

BASE is the folder of the public encoder (``model.safetensors``, ``config.json``, ``vocab.txt``). Of its word pieces
those are kept that the sentences use, the single letters and pairs, and the most frequent; of its places 64. OUT gets
``sentences.onnx`` (8 bit), ``pieces.txt`` and ``kinds.txt``; with ``--leave-out`` nothing is written, and what is
printed is how it does on that file. With ``--on`` the weights in MODEL are trained on: half of what is drawn is of the
files ``--fresh``, so that a few passes teach them without what was known being lost.

The loss is the cross-entropy of the kinds, smoothed, plus that of whether the sentence denies, plus that of whether
each word belongs to what is told of the end in hand; each over the sentences that are labelled so. In each pass they
are said another way (:mod:`training.kinds.variety`).

Duty: this. It must not choose thresholds (:mod:`voicefit.interpretation.kinds`).
"""

from __future__ import annotations

import argparse
import importlib
import json
import random
from collections.abc import Iterator
from itertools import chain, islice, repeat
from pathlib import Path

import numpy as np
import torch
from torch.optim.swa_utils import AveragedModel, get_ema_multi_avg_fn
from transformers import BertConfig, BertModel

from training.kinds.rows import Row, kinds_of, rows_of
from training.kinds.variety import varied
from training.kinds.weights import of_the_encoder, of_the_shipped
from voicefit.sentences.classifier import KINDS, PIECES, WEIGHTS
from voicefit.sentences.pieces import BEGINS, ENDS, UNKNOWN, pieces

quantization = importlib.import_module("onnxruntime.quantization")  # after the switch of voicefit.runtime
_PADDING = "[PAD]"
_FREQUENT = 9_500  # word pieces stand in the order of how often they are met
_PLACES, _WIDTH, _BATCH = 64, 384, 64
_RATE, _RATE_ON = 3e-4, 8e-5  # of the encoder, at its highest: from the public weights, and trained on
_HEADS, _HEADS_ON = 10.0, 3.0  # times as fast
_TOGETHER = 16  # batches that are drawn at once and sorted by length, so that little is padded
_NOT_LABELLED = -1.0
_ALIKE = ("hidden_size", "num_attention_heads", "intermediate_size", "hidden_act", "layer_norm_eps", "type_vocab_size")
_WORDLESS = frozenset({"nothing", "elsewhere", "unsure"})


def kept_pieces(every: list[str], rows: dict[str, list[Row]]) -> list[int]:
    """The places of the word pieces that are kept."""
    vocabulary = {piece: at for at, piece in enumerate(every)}
    used = {piece.number for each in rows.values() for row in each for piece in pieces(row.text, vocabulary, 400)}
    used |= {vocabulary[piece] for piece in (_PADDING, UNKNOWN, BEGINS, ENDS)}
    for at, piece in enumerate(every):
        word = piece.removeprefix("##")
        if piece.isascii() and (len(word) <= 2 or (at < _FREQUENT and piece.isalpha())):
            used.add(at)
    return sorted(used)


class Classifier(torch.nn.Module):
    """The encoder, the mean of its states with a head for the kinds and one for denial, and one for what is told over
    the states themselves. ``forward`` takes piece numbers and mask, both (sentences, pieces), and returns scores
    (sentences, kinds), (sentences,) and (sentences, pieces)."""

    def __init__(self, base: Path, keep: list[int], layers: int, kinds: int) -> None:
        super().__init__()
        known = json.loads((base / "config.json").read_text(encoding="utf-8"))
        same = {name: known[name] for name in _ALIKE}
        config = BertConfig(
            **same,
            num_hidden_layers=layers,
            vocab_size=len(keep),
            max_position_embeddings=_PLACES,
            attn_implementation="eager",
        )
        self.encoder = BertModel(config, add_pooling_layer=False)
        self.drop = torch.nn.Dropout(0.2)
        self.kinds = torch.nn.Linear(_WIDTH, kinds)
        self.denied = torch.nn.Linear(_WIDTH, 1)
        self.told = torch.nn.Linear(_WIDTH, 1)
        self.load_state_dict(of_the_encoder(base, keep, _PLACES, layers, known["num_hidden_layers"]), strict=False)

    def forward(self, ids: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
        states = self.encoder(input_ids=ids, attention_mask=mask).last_hidden_state
        there = mask.unsqueeze(-1).to(states.dtype)
        mean = self.drop((states * there).sum(1) / there.sum(1))
        return self.kinds(mean), self.denied(mean).squeeze(-1), self.told(self.drop(states)).squeeze(-1)


def batch(texts: list[str], vocabulary: dict[str, int]) -> tuple[torch.Tensor, torch.Tensor]:
    """Piece numbers and mask, padded to the longest."""
    found = [[piece.number for piece in pieces(text, vocabulary)] for text in texts]
    ids = torch.zeros(len(found), max(map(len, found)), dtype=torch.long)
    mask = torch.zeros_like(ids)
    for at, each in enumerate(found):
        ids[at, : len(each)], mask[at, : len(each)] = torch.tensor(each), 1
    return ids, mask


def told_of(rows: list[Row], vocabulary: dict[str, int]) -> torch.Tensor:
    """Of each piece whether it is told, (sentences, pieces): 1, 0, or -1 where that is not labelled."""
    labels = []
    for row in rows:
        cut = pieces(row.text, vocabulary)
        spans = [] if row.told is None else [range(*span) for span in row.told]
        known = [row.told is not None and piece.end > piece.start for piece in cut]
        told = [any(piece.start in span for span in spans) for piece in cut]
        labels.append([float(label) if knows else _NOT_LABELLED for knows, label in zip(known, told, strict=True)])
    values = torch.full((len(rows), max(map(len, labels))), _NOT_LABELLED)
    for at, each in enumerate(labels):
        values[at, : len(each)] = torch.tensor(each)
    return values


def loss_of(
    model: Classifier, rows: list[Row], kinds: list[str], vocabulary: dict[str, int], device: str
) -> torch.Tensor:
    """The loss of some sentences, a scalar."""
    with torch.autocast(device, torch.bfloat16):
        scores, denied, told = model(*(each.to(device) for each in batch([row.text for row in rows], vocabulary)))
    of_kind = [at for at, row in enumerate(rows) if row.kind]
    meant = [kinds.index(rows[at].kind.rstrip("!")) for at in of_kind]
    kind = torch.tensor(meant, dtype=torch.long, device=device)
    denies = torch.tensor([float(rows[at].kind.endswith("!")) for at in of_kind], device=device)
    labels = told_of(rows, vocabulary).to(device)
    known = labels != _NOT_LABELLED
    entropy = torch.nn.functional.binary_cross_entropy_with_logits
    loss = entropy(told[known].float(), labels[known])
    if of_kind:
        loss = loss + torch.nn.functional.cross_entropy(scores[of_kind].float(), kind, label_smoothing=0.1)
        loss = loss + entropy(denied[of_kind].float(), denies)
    return loss


def batches_of(rows: list[Row], fresh: list[Row], chance: random.Random) -> Iterator[list[Row]]:
    """One pass over the rows, said another way, in batches of like length; where some are ``fresh``, every other row
    is drawn of those."""
    order = chance.sample(rows, len(rows))
    if fresh:
        order = [chance.choice(fresh) if chance.random() < 0.5 else row for row in order]
    for start in range(0, len(order), _BATCH * _TOGETHER):
        some = varied(order[start : start + _BATCH * _TOGETHER], rows, chance)
        some.sort(key=lambda row: len(row.text))
        batches = [some[at : at + _BATCH] for at in range(0, len(some), _BATCH)]
        yield from chance.sample(batches, len(batches))


def train(
    model: Classifier,
    rows: list[Row],
    fresh: list[Row],
    kinds: list[str],
    vocabulary: dict[str, int],
    passes: float,
    device: str,
    seed: int,
) -> None:
    """In place; what is left is the moving average of the weights, of the last two passes or so, or of the last tenth
    where they are few (Polyak and Juditsky 1992)."""
    chance = random.Random(seed)
    model.to(device).train()
    heads = [*model.kinds.parameters(), *model.denied.parameters(), *model.told.parameters()]
    groups = [{"params": model.encoder.parameters()}, {"params": heads}]
    rate, times = (_RATE_ON, _HEADS_ON) if fresh else (_RATE, _HEADS)
    optimiser = torch.optim.AdamW(groups, lr=rate, weight_decay=0.02)
    steps = round(passes * (len(rows) // _BATCH + 1))
    averaged = AveragedModel(model, multi_avg_fn=get_ema_multi_avg_fn(1.0 - max(passes / 2.0, 10.0) / steps))
    rates = torch.optim.lr_scheduler.OneCycleLR(optimiser, [rate, times * rate], total_steps=steps, pct_start=0.1)
    again = chain.from_iterable(batches_of(rows, fresh, chance) for _ in repeat(None))
    for some in islice(again, steps):
        optimiser.zero_grad()
        loss_of(model, some, kinds, vocabulary, device).backward()
        torch.nn.utils.clip_grad_norm_(model.parameters(), 1.0)
        optimiser.step()
        rates.step()
        averaged.update_parameters(model)
    model.load_state_dict(averaged.module.state_dict())
    model.cpu().float().eval()


def report(model: Classifier, rows: list[Row], kinds: list[str], vocabulary: dict[str, int]) -> None:
    with torch.no_grad():
        scores, denied, told = model(*batch([row.text for row in rows], vocabulary))
    labels = told_of(rows, vocabulary)
    known = labels != _NOT_LABELLED
    found = told[known] > 0.0
    print(f"words told: {labels[known].mean():.1%}, right {(found == (labels[known] > 0.5)).float().mean():.1%}")
    of_kind = np.array([bool(row.kind) for row in rows])
    if not of_kind.any():
        return
    shares = scores.softmax(1).numpy()[of_kind]
    best, sure = np.array(kinds)[shares.argmax(1)], shares.max(1) > 0.7
    meant = np.array([row.kind.rstrip("!") for row in rows if row.kind])
    right = best == meant
    value = np.array(["=" in label for label in meant])
    sign = (denied.numpy()[of_kind] > 0.0) == np.array([row.kind.endswith("!") for row in rows if row.kind])
    command = ~value & ~np.isin(meant, [*_WORDLESS, "figure"])
    print(
        f"right {right.mean():.1%}  values with denial {(right & sign)[value].mean():.1%}  commands "
        f"{right[command].mean() if command.any() else float('nan'):.1%}  surer than 0.7: {sure.mean():.1%}, "
        f"right {right[sure].mean():.1%}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("base", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--leave-out", nargs="*", default=[])
    parser.add_argument("--layers", type=int, default=6)
    parser.add_argument("--passes", type=float, default=12.0)
    parser.add_argument("--on", type=Path, metavar="MODEL")
    parser.add_argument("--fresh", nargs="*", default=[])
    parser.add_argument("--device", default="cuda")
    parser.add_argument("--seed", type=int, default=0)
    options = parser.parse_args()
    if bool(options.on) != bool(options.fresh):
        parser.error("--on and --fresh go together")
    rows = rows_of()
    kinds = kinds_of(rows)
    every = (options.base / "vocab.txt").read_text(encoding="utf-8").splitlines()
    keep = kept_pieces(every, rows)
    vocabulary = {every[at]: number for number, at in enumerate(keep)}
    torch.manual_seed(options.seed)
    model = Classifier(options.base, keep, options.layers, len(kinds))
    if options.on:
        known = of_the_shipped(options.on, vocabulary, model.encoder.embeddings.word_embeddings.weight.detach())
        model.load_state_dict({name: known[name] for name in model.state_dict() if name in known}, strict=False)
    taken = {name: each for name, each in rows.items() if name not in options.leave_out}
    seen = [row for each in taken.values() for row in each]
    fresh = [row for name in options.fresh for row in taken[name]]
    train(model, seen, fresh, kinds, vocabulary, options.passes, options.device, options.seed)
    for name in options.leave_out:
        report(model, rows[name], kinds, vocabulary)
    if options.leave_out:
        return
    options.out.mkdir(parents=True, exist_ok=True)
    whole = options.out / "whole.onnx"
    names = {"ids": {0: "sentences", 1: "pieces"}, "mask": {0: "sentences", 1: "pieces"}}
    torch.onnx.export(
        model,
        batch(["it's a nut", "there's no cone on it"], vocabulary),
        str(whole),
        input_names=["ids", "mask"],
        output_names=["kinds", "denied", "told"],
        dynamic_axes={**names, "kinds": {0: "sentences"}, "denied": {0: "sentences"}, "told": names["ids"]},
        opset_version=17,
        dynamo=False,
    )
    quantization.quantize_dynamic(
        whole,
        options.out / WEIGHTS,
        weight_type=quantization.QuantType.QInt8,
        op_types_to_quantize=["MatMul", "Gather"],
    )
    whole.unlink()
    (options.out / PIECES).write_text("\n".join(vocabulary), encoding="utf-8")
    (options.out / KINDS).write_text("\n".join(kinds), encoding="utf-8")


if __name__ == "__main__":
    main()
