"""Shards of human speech, and its division in three: to train on, to fit the acceptance on, to report on.

    python -m training.human CORPUS OUT --part training|fitting
    python -m training.human CORPUS OUT --part all --group joined

How speakers are divided stands in :func:`benchmarks.hearing_corpus.part_of`. A speaker is in one part only. The second
form takes in a corpus of other voices to validate on: those of the benchmark's synthesisers that join recorded units
and are not reported on.

Duty: files of a corpus to shards. It must not look at speakers that are reported on.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from benchmarks.hearing_corpus import part_of, samples_of
from training.shards import Said, as_int16, write_shard
from voicefit.driver.labelled import read_manifest


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.human", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("corpus", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--part", choices=["training", "fitting", "all"], required=True)
    parser.add_argument("--group", default="human", help="what the kinds begin with")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    rows = part_of(read_manifest(options.corpus), options.part)
    said = [
        Said(
            row.speaker,
            f"{options.group}-{row.kind}",
            row.transcript.lower(),
            as_int16(samples_of(options.corpus, row)),
        )
        for row in rows
    ]
    write_shard(options.out / f"{options.group}-{options.part}.npz", said)
    print(f"{len(said)} utterances of {len({each.speaker for each in said})} speakers")


if __name__ == "__main__":
    main()
