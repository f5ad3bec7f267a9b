"""Random sessions: a walk of random events through sessions, with what must always be true checked after each.

    python -m benchmarks dialogue --steps 100000 --seed 1 --json

The events are phrases of every function, readings, alternatives with shares, refusals, silence, troubles, notes and
failed writes. Prints steps a second and what the walk reached; a broken invariant ends it with the seed, the step and
what was said.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time
from collections import Counter

from benchmarks.random_walk import Broken, Walk
from voicefit.dialogue import Knowledge
from voicefit.driver import open_knowledge


def walk(knowledge: Knowledge, steps: int, seed: int) -> Counter[str]:
    """Walk ``steps`` events; what was reached. Raises :class:`Broken` naming seed and step."""
    walking = Walk(knowledge, random.Random(seed))
    for step in range(steps):
        try:
            walking.step()
        except Exception as error:
            raise Broken(f"seed {seed}, step {step}: {error!r}") from error
    return walking.seen


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks dialogue", description=__doc__)
    parser.add_argument("--steps", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    knowledge = open_knowledge()
    began = time.perf_counter()
    try:
        seen = walk(knowledge, options.steps, options.seed)
    except Broken as error:
        print(f"broken: {error}", file=sys.stderr)
        return 1
    took = time.perf_counter() - began
    figures = {"steps": options.steps, "seed": options.seed, "steps_per_s": round(options.steps / took, 1), **seen}
    print(json.dumps(figures) if options.json else "\n".join(f"{name}: {value}" for name, value in figures.items()))
    return 0
