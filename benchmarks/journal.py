"""The journal under random kills, and how fast it is.

    python -m benchmarks journal [--kills N] [--seed S] [--folder DIR] [--store URL] [--json]

Kills: a child process appends records and "says" each one (a byte down a pipe) after it is durable; it is killed with
SIGKILL at a random moment. Afterwards the store must hold a prefix of what was to be written, with all that was said.
Half of the kills hit a line file, half a SQLite file. A killed process leaves its writes to the system, so the kills
show the order of things; that the writes reach the disk is what fsync and synchronous=FULL are for.
Speed: time of one append, durable, in each store; with ``--store`` also in a shared one and behind a mirror; reading
back a journal of many sessions.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import signal
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from voicefit.journal.record import Record, encode
from voicefit.journal.session_log import SessionLog
from voicefit.journal.store import Store, open_store

LONGEST_S = 0.06  # a kill comes within this time of the start, or of the first word said
EARLY = 0.3  # share of the kills that do not wait for the first word
HEARD = {"heard": "outside nineteen thirty-seconds", "options": [{"value": "19/32", "unit": "in"}] * 3}
DATA = {"turn": 1, "number": 1, "reading": HEARD}


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks journal", description=__doc__.split("\n")[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--folder", type=Path, default=None, help="where the stores are made for the run")
    parser.add_argument("--store", default=None, help="a shared store to measure too")
    parser.add_argument("--appends", type=int, default=300)
    parser.add_argument("--sessions", type=int, default=200, help="sessions of 50 records in the journal that is read")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    scratch = Path(tempfile.mkdtemp(prefix="voicefit-journal-", dir=options.folder))
    try:
        figures: dict[str, Any] = {
            "kills": kills(options.kills, options.seed, scratch),
            "append_ms": appends(options.appends, scratch, options.store),
            "read": reading(options.sessions, scratch),
        }
    finally:
        shutil.rmtree(scratch)
    if options.json:
        print(json.dumps(figures))
    else:
        _print(figures)
    return 0 if figures["kills"]["lost"] == figures["kills"]["not_a_prefix"] == 0 else 1


# ---- kills --------------------------------------------------------------------------------------------


def kills(count: int, seed: int, scratch: Path) -> dict[str, int]:
    """Kill ``count`` times and count what was said and is missing, and what is no prefix."""
    import voicefit.journal.line_file
    import voicefit.journal.sql  # noqa: F401  # both imported once, so that each child need not

    dice = random.Random(seed)
    total = {"kills": 0, "said": 0, "on_record": 0, "lost": 0, "not_a_prefix": 0, "torn_lines": 0}
    for number in range(count):
        location = scratch / f"kill{number}" / ("a.journal" if number % 2 else "a.sqlite")
        said = _killed(location, dice.uniform(0, LONGEST_S), early=dice.random() < EARLY)
        store = open_store(location)
        found = store.contents()
        store.close()
        numbers = [record.sequence for record in found.records]
        total["kills"] += 1
        total["said"] += said
        total["on_record"] += len(numbers)
        total["lost"] += max(0, said - len(numbers))
        total["not_a_prefix"] += numbers != list(range(len(numbers)))
        total["torn_lines"] += len(found.damage)
        shutil.rmtree(location.parent)
    return total


def _killed(location: Path, after_s: float, *, early: bool) -> int:
    """Run a session in a child, kill it ``after_s`` after its first word, or its start; returns how much it said."""
    ears, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ears)
        log = SessionLog.begin(open_store(location), {"voicefit": "0", "catalogue": "c" * 64, "grammar": "g" * 64})
        os.write(mouth, b".")
        while True:
            log.append("reading", DATA)
            os.write(mouth, b".")
    os.close(mouth)
    said = 0 if early else len(os.read(ears, 1))
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    while part := os.read(ears, 65536):
        said += len(part)
    os.close(ears)
    os.waitpid(child, 0)
    return said


# ---- speed --------------------------------------------------------------------------------------------


def appends(count: int, scratch: Path, url: str | None) -> dict[str, dict[str, float]]:
    """Milliseconds of one durable append, by kind of store."""
    places: dict[str, Callable[[], Store]] = {
        "line file": lambda: open_store(scratch / "speed.journal"),
        "sqlite": lambda: open_store(scratch / "speed.sqlite"),
    }
    if url is not None:
        from voicefit.journal.mirror import Mirror

        places["shared"] = lambda: open_store(url)
        places["mirror of shared"] = lambda: Mirror(open_store(scratch / "outbox.sqlite"), lambda: open_store(url))
    figures = {}
    for name, opened in places.items():
        store = opened()
        log = SessionLog.begin(store, {"voicefit": "0", "catalogue": "c" * 64, "grammar": "g" * 64})
        times = []
        for _ in range(count):
            start = time.perf_counter()
            log.append("reading", DATA)
            times.append(1000 * (time.perf_counter() - start))
        store.close()
        times.sort()
        figures[name] = {"p50": statistics.median(times), "p95": times[int(0.95 * len(times))], "max": times[-1]}
    return figures


def reading(sessions: int, scratch: Path) -> dict[str, float]:
    """Seconds to read a journal of ``sessions`` sessions of 50 records, and its size."""
    path = scratch / "large.sqlite"
    store = open_store(path)
    for number in range(sessions):
        session = f"{number:032x}"
        store.append(
            [Record(session, n, "2024-05-01T07:30:00.000Z", "reading" if n else "header", DATA) for n in range(50)]
        )
    start = time.perf_counter()
    records = store.contents().records
    read_s = time.perf_counter() - start
    store.close()
    return {
        "records": len(records),
        "seconds": read_s,
        "megabytes": path.stat().st_size / 1e6,
        "line_bytes": float(len(encode(records[-1]))),
    }


def _print(figures: dict[str, Any]) -> None:
    k = figures["kills"]
    print(f"{k['kills']} kills: {k['said']} records said, {k['on_record']} on record, {k['lost']} lost, ", end="")
    print(f"{k['not_a_prefix']} stores not a prefix, {k['torn_lines']} torn lines named")
    for name, times in figures["append_ms"].items():
        print(f"append, {name}: median {times['p50']:.2f} ms, 95 % {times['p95']:.2f} ms, most {times['max']:.1f} ms")
    r = figures["read"]
    print(f"reading {r['records']:.0f} records ({r['megabytes']:.1f} MB): {r['seconds']:.2f} s")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
