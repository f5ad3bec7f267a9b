"""Homes that are copied and gone on with apart: does the shared journal keep what every copy confirmed, unmixed?

    python -m benchmarks forks [--trials 200] [--seed 1] [--json]

In each trial a session is spoken, its home is copied one to three times at random moments, and the copies are gone on
with and sent in random order, several times. Afterwards every copy's records must be found in the shared journal as one
session, in their order and nothing else in it. Counted: copies, records confirmed, records lost, sessions in which two
copies are mixed, branches that were told.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import sys
import tempfile
from pathlib import Path

from voicefit.journal.mirror import sync
from voicefit.journal.record import HEADER, RESUMED, Record
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import Store, open_store

CATALOGUE, GRAMMAR = "c" * 64, "g" * 64


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks forks", description=__doc__.split("\n")[0])
    parser.add_argument("--trials", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    figures = forks(options.trials, options.seed)
    if options.json:
        print(json.dumps(figures))
    else:
        print(f"{figures['trials']} sessions whose homes were copied, {figures['copies']} homes in all: ", end="")
        print(
            f"{figures['confirmed']} records confirmed, {figures['lost']} lost, {figures['mixed']} sessions mixed, ",
            end="",
        )
        print(f"{figures['told']} branches told of {figures['branched']}")
    return 0 if figures["lost"] == figures["mixed"] == 0 else 1


def forks(count: int, seed: int) -> dict[str, int]:
    """The figures of so many trials."""
    dice = random.Random(seed)
    total = dict.fromkeys(("trials", "copies", "confirmed", "lost", "mixed", "told", "branched"), 0)
    scratch = Path(tempfile.mkdtemp(prefix="voicefit-forks-"))
    try:
        for number in range(count):
            folder = scratch / str(number)
            folder.mkdir()
            _trial(folder, str(folder / "shared.sqlite"), dice, total)
            shutil.rmtree(folder)
    finally:
        shutil.rmtree(scratch)
    return total


def _trial(folder: Path, shared: str, dice: random.Random, total: dict[str, int]) -> None:
    homes = [folder / "home0.sqlite"]
    store = open_store(homes[0])
    session = SessionLog.begin(store, {"voicefit": "0", "catalogue": CATALOGUE, "grammar": GRAMMAR}).session
    store.close()
    confirmed: dict[Path, list[int]] = {homes[0]: []}  # by home, what was said in it, copied past included
    told: list[str] = []
    said = 0
    for _ in range(dice.randint(3, 8)):
        home = dice.choice(homes)
        if len(homes) < 4 and dice.random() < 0.4:
            copy = folder / f"home{len(homes)}.sqlite"
            shutil.copy(home, copy)
            homes.append(copy)
            confirmed[copy] = list(confirmed[home])
        store = open_store(home)
        log = SessionLog.resume(store, session, {"voicefit": "0", "catalogue": CATALOGUE, "grammar": GRAMMAR})
        for _ in range(dice.randint(0, 6)):
            said += 1
            log.append("reading", {"n": said})
            confirmed[home].append(said)
        if dice.random() < 0.6:
            _send(store, shared, told)
        store.close()
    for home in homes:
        store = open_store(home)
        _send(store, shared, told)
        store.close()
    store = open_store(shared)
    kept: dict[str, list[Record]] = {}
    for record in store.contents().records:
        kept.setdefault(record.session, []).append(record)
    store.close()
    sequences = [_said(records) for records in kept.values()]
    for mine in confirmed.values():
        if mine not in sequences and not any(other[: len(mine)] == mine for other in sequences):
            total["lost"] += len(mine) - max(len([n for n in mine if n in other]) for other in sequences)
    total["mixed"] += sum(not any(other == mine[: len(other)] for mine in confirmed.values()) for other in sequences)
    total["trials"] += 1
    total["copies"] += len(homes)
    total["confirmed"] += said
    total["told"] += len(told)
    total["branched"] += len(kept.keys() - {session})


def _send(store: Store, shared: str, told: list[str]) -> None:
    there = open_store(shared)
    sync(store, there, lambda _, own: told.append(own))
    there.close()


def _said(records: list[Record]) -> list[int]:
    in_order = sorted(records, key=lambda record: record.sequence)
    return [record.data["n"] for record in in_order if record.kind not in (HEADER, RESUMED)]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
