"""Trains the sentence classifier and writes it out.

    python -m training.kinds.train BASE OUT [--leave-out NAME] [--layers 6] [--passes 12] [--device cuda]

BASE is the folder of the public encoder (``model.safetensors``, ``config.json``, ``vocab.txt``). Of its word pieces
those are kept that the sentences use, the single letters and pairs, and the most frequent; of its places 64. OUT gets
``sentences.onnx`` (8 bit), ``pieces.txt`` and ``kinds.txt``; with ``--leave-out`` nothing is written, and what is
printed is how it does on that file.

The loss is the cross-entropy of the kinds, smoothed, plus that of whether the sentence denies.

Duty: this. It must not choose thresholds (:mod:`voicefit.interpretation.kinds`).
"""

from __future__ import annotations

import argparse
import importlib
import json
import random
from pathlib import Path

import numpy as np
import torch
from safetensors.torch import load_file
from transformers import BertConfig, BertModel

from training.kinds.rows import Row, kinds_of, rows_of
from voicefit.sentences.classifier import KINDS, PIECES, WEIGHTS
from voicefit.sentences.pieces import BEGINS, ENDS, UNKNOWN, pieces

quantization = importlib.import_module("onnxruntime.quantization")  # after the switch of voicefit.runtime
_PADDING = "[PAD]"
_FREQUENT = 9_500  # word pieces stand in the order of how often they are met
_PLACES, _WIDTH, _BATCH, _RATE = 64, 384, 64, 3e-4
_OPENERS = ("um", "uh", "well", "right", "okay", "so", "yeah", "and", "but")
_ALIKE = ("hidden_size", "num_attention_heads", "intermediate_size", "hidden_act", "layer_norm_eps", "type_vocab_size")
_WORDLESS = frozenset({"nothing", "elsewhere", "unsure"})


def kept_pieces(every: list[str], rows: dict[str, list[Row]]) -> list[int]:
    """The places of the word pieces that are kept."""
    vocabulary = {piece: at for at, piece in enumerate(every)}
    used = {at for each in rows.values() for _, text in each for at in pieces(text, vocabulary, 400)}
    used |= {vocabulary[piece] for piece in (_PADDING, UNKNOWN, BEGINS, ENDS)}
    for at, piece in enumerate(every):
        word = piece.removeprefix("##")
        if piece.isascii() and (len(word) <= 2 or (at < _FREQUENT and piece.isalpha())):
            used.add(at)
    return sorted(used)


class Classifier(torch.nn.Module):
    """The encoder, the mean of its states, a head for the kinds and one for denial. ``forward`` takes piece numbers
    and mask, both (sentences, pieces), and returns scores (sentences, kinds) and (sentences,)."""

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
        self.encoder.load_state_dict(_weights(base, keep, layers, known["num_hidden_layers"]))
        self.drop = torch.nn.Dropout(0.2)
        self.kinds = torch.nn.Linear(_WIDTH, kinds)
        self.denied = torch.nn.Linear(_WIDTH, 1)

    def forward(self, ids: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        states = self.encoder(input_ids=ids, attention_mask=mask).last_hidden_state
        there = mask.unsqueeze(-1).to(states.dtype)
        mean = self.drop((states * there).sum(1) / there.sum(1))
        return self.kinds(mean), self.denied(mean).squeeze(-1)


def _weights(base: Path, keep: list[int], layers: int, of: int) -> dict[str, torch.Tensor]:
    """The weights of the base, of the kept pieces and of ``layers`` of its layers, evenly spread."""
    chosen = [round(at * (of - 1) / max(1, layers - 1)) for at in range(layers)]
    found = {}
    for name, value in load_file(base / "model.safetensors").items():
        if name.startswith("pooler") or not value.dtype.is_floating_point:
            continue
        if name == "embeddings.word_embeddings.weight":
            value = value[keep]
        elif name == "embeddings.position_embeddings.weight":
            value = value[:_PLACES]
        elif name.startswith("encoder.layer."):
            _, _, number, rest = name.split(".", 3)
            if int(number) not in chosen:
                continue
            name = f"encoder.layer.{chosen.index(int(number))}.{rest}"
        found[name] = value
    return found


def batch(texts: list[str], vocabulary: dict[str, int]) -> tuple[torch.Tensor, torch.Tensor]:
    """Piece numbers and mask, padded to the longest."""
    found = [pieces(text, vocabulary) for text in texts]
    ids = torch.zeros(len(found), max(map(len, found)), dtype=torch.long)
    mask = torch.zeros_like(ids)
    for at, each in enumerate(found):
        ids[at, : len(each)], mask[at, : len(each)] = torch.tensor(each), 1
    return ids, mask


def train(
    model: Classifier, rows: list[Row], kinds: list[str], vocabulary: dict[str, int], passes: int, device: str
) -> None:
    """In place. A sentence in seven is begun with a hesitation."""
    chance, order = random.Random(0), np.random.default_rng(0)
    model.to(device).train()
    heads = [*model.kinds.parameters(), *model.denied.parameters()]
    groups = [{"params": model.encoder.parameters()}, {"params": heads}]
    optimiser = torch.optim.AdamW(groups, lr=_RATE, weight_decay=0.02)
    steps = passes * (len(rows) // _BATCH + 1)
    rates = torch.optim.lr_scheduler.OneCycleLR(optimiser, [_RATE, 10 * _RATE], total_steps=steps, pct_start=0.1)
    for _ in range(passes):
        shuffled = order.permutation(len(rows))
        for start in range(0, len(rows), _BATCH):
            some = [rows[at] for at in shuffled[start : start + _BATCH]]
            texts = [f"{chance.choice(_OPENERS)} {text}" if chance.random() < 0.15 else text for _, text in some]
            kind = torch.tensor([kinds.index(label.rstrip("!")) for label, _ in some], device=device)
            denies = torch.tensor([float(label.endswith("!")) for label, _ in some], device=device)
            with torch.autocast(device, torch.bfloat16, enabled=device != "cpu"):
                scores, denied = model(*(each.to(device) for each in batch(texts, vocabulary)))
            loss = torch.nn.functional.cross_entropy(scores.float(), kind, label_smoothing=0.1)
            loss = loss + torch.nn.functional.binary_cross_entropy_with_logits(denied.float(), denies)
            optimiser.zero_grad()
            loss.backward()
            torch.nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            optimiser.step()
            rates.step()
    model.cpu().float().eval()


def report(model: Classifier, rows: list[Row], kinds: list[str], vocabulary: dict[str, int]) -> None:
    with torch.no_grad():
        scores, denied = model(*batch([text for _, text in rows], vocabulary))
    shares = scores.softmax(1).numpy()
    best, sure = np.array(kinds)[shares.argmax(1)], shares.max(1) > 0.7
    meant = np.array([label.rstrip("!") for label, _ in rows])
    right = best == meant
    value = np.array(["=" in label for label in meant])
    sign = (denied.numpy() > 0.0) == np.array([label.endswith("!") for label, _ in rows])
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
    parser.add_argument("--leave-out", default="")
    parser.add_argument("--layers", type=int, default=6)
    parser.add_argument("--passes", type=int, default=12)
    parser.add_argument("--device", default="cuda")
    options = parser.parse_args()
    rows = rows_of()
    kinds = kinds_of(rows)
    every = (options.base / "vocab.txt").read_text(encoding="utf-8").splitlines()
    keep = kept_pieces(every, rows)
    vocabulary = {every[at]: number for number, at in enumerate(keep)}
    torch.manual_seed(0)
    model = Classifier(options.base, keep, options.layers, len(kinds))
    seen = [row for name, each in rows.items() if name != options.leave_out for row in each]
    train(model, seen, kinds, vocabulary, options.passes, options.device)
    if options.leave_out:
        report(model, rows[options.leave_out], kinds, vocabulary)
        return
    options.out.mkdir(parents=True, exist_ok=True)
    whole = options.out / "whole.onnx"
    names = {"ids": {0: "sentences", 1: "pieces"}, "mask": {0: "sentences", 1: "pieces"}}
    torch.onnx.export(
        model,
        batch(["it's a nut", "there's no cone on it"], vocabulary),
        str(whole),
        input_names=["ids", "mask"],
        output_names=["kinds", "denied"],
        dynamic_axes={**names, "kinds": {0: "sentences"}, "denied": {0: "sentences"}},
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
