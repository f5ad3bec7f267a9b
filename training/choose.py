"""Which trained weights, and what share of them, hear the validation voices best.

    python -m training.choose --start START.npz --tokens FILE --validation DIR [--device cuda] TRAINED.npz ...

Every set by itself and the mean of all, in shares against the old weights.

Duty: a table. It must not see what is reported on.
"""

from __future__ import annotations

import argparse
import json
import random
from pathlib import Path
from typing import Any

import numpy as np
import torch

from training.model import Model
from training.noises import Noises
from training.speech import Store
from training.tokens import Tokens
from training.train import UNHEARD_SEED, talk
from training.validation import validate

SHARES = (0.5, 0.65, 0.8, 1.0)


def score(right: dict[str, dict[str, float]]) -> float:
    """Mean of what is right, the quiet counted twice: it is where most is said."""
    weights = {condition: 2.0 if condition == "clean" else 1.0 for condition in right}
    means = {condition: sum(groups.values()) / len(groups) for condition, groups in right.items()}
    return round(sum(weights[each] * means[each] for each in right) / sum(weights.values()), 4)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.choose", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("trained", type=Path, nargs="+")
    parser.add_argument("--start", type=Path, required=True)
    parser.add_argument("--tokens", type=Path, required=True)
    parser.add_argument("--validation", type=Path, required=True)
    parser.add_argument("--out", type=Path, help="the table as JSON, best first")
    parser.add_argument("--device", default="cuda")
    options = parser.parse_args()
    store, tokens = Store(options.validation, options.device), Tokens(options.tokens)
    store.refresh()
    noises = Noises(options.device, UNHEARD_SEED)
    draw = random.Random(1)
    bank = noises.bank(240, lambda count: talk(store, options.device, draw, count, noises.length))
    old = dict(np.load(options.start))
    sets = {path.stem: dict(np.load(path)) for path in options.trained}
    if len(sets) > 1:
        sets["mean"] = {name: np.mean([each[name] for each in sets.values()], axis=0) for name in old}
    model = Model().to(options.device).eval()
    results: list[dict[str, Any]] = []
    for name, weights in sets.items():
        for share in SHARES:
            mixed = {key: torch.from_numpy((1 - share) * old[key] + share * weights[key]) for key in old}
            model.load_state_dict(mixed)
            shares = validate(model, tokens, store, bank)
            results.append({"set": name, "share": share, "score": score(shares), "right": shares})
            print(results[-1], flush=True)
    if options.out:
        options.out.write_text(json.dumps(sorted(results, key=lambda each: -each["score"]), indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
