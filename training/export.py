"""Averages trained weights with the old ones and writes them into the tool's files, 8 bit as they were.

    python -m training.export OLD_FOLDER OUT_FOLDER TRAINED.npz [TRAINED.npz ...] --share 0.65
    python -m training.export OLD_FOLDER --start START.npz

The mean of the trained ones gets ``--share``, the old weights the rest: between the two lies what is better in noise
and no worse in the quiet (weight averaging of one start; Wortsman et al., "Model soups", 2022). The second form writes
the old weights out to train from.

Duty: average, round, write. It must not choose the share; that is done on validation voices.
"""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from training.weights_file import PARTS, Arrays, WeightsFile, read_weights
from voicefit.recognition.weights import FILES, SUMS, TOKENS, checksum


def average(old: Arrays, trained: Sequence[Arrays], share: float) -> Arrays:
    """``share`` of the mean of ``trained``, the rest of ``old``."""
    return {
        name: (1 - share) * array + share * np.mean([each[name] for each in trained], axis=0)
        for name, array in old.items()
    }


def export(weights: Arrays, old_folder: Path, out: Path) -> None:
    """The three files of the model in ``out``, and their checksums; prints how much rounding changed."""
    out.mkdir(parents=True, exist_ok=True)
    for part, name in PARTS.items():
        error = WeightsFile(old_folder / name, part).write(weights, out / name)
        print(f"{name}: relative error of rounding {error:.4f}")
    shutil.copyfile(old_folder / TOKENS, out / TOKENS)
    (out / SUMS).write_text("".join(f"{checksum(out / name)}  {name}\n" for name in FILES), encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.export", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("old", type=Path)
    parser.add_argument("out", type=Path, nargs="?")
    parser.add_argument("trained", type=Path, nargs="*")
    parser.add_argument("--share", type=float, default=0.65)
    parser.add_argument("--start", type=Path, help="write the old weights there")
    parser.add_argument("--averaged", type=Path, help="write the average there too, unrounded")
    options = parser.parse_args()
    old = read_weights(options.old)
    if options.start:
        np.savez(options.start, **old)
    if options.trained:
        weights = average(old, [dict(np.load(path)) for path in options.trained], options.share)
        export(weights, options.old, options.out)
        if options.averaged:
            np.savez(options.averaged, **weights)


if __name__ == "__main__":
    main()
