"""A shop's stock list of many rows: how long its import takes.

    python -m benchmarks stock [--rows N] [--seed S] [--json]

The list is made up of the catalogue's ends in several spellings, with part numbers, bins and quantities; one row in a
hundred says nothing that can be matched. No two rows are alike. Times are of reading, matching and keeping.
"""

from __future__ import annotations

import argparse
import csv
import json
import random
import resource
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from voicefit.catalogue import CandidateEnd, load_catalogue
from voicefit.journal.stock_file import load_stock, read_list, save_stock
from voicefit.ordering.naming import end_name
from voicefit.ordering.stock import StockLine, StockMatcher
from voicefit.ordering.stock_list import columns_of
from voicefit.resources import data_folder, read_texts

ODD = 100  # every so many rows one that is no end
FORMS = ("{name}", "{name} lot {n}", "{name}, steel, zinc {n}", "{upper}, box {n}")


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks stock", description=__doc__.split("\n")[0])
    parser.add_argument("--rows", type=int, default=50_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(argv)
    catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    with tempfile.TemporaryDirectory(prefix="voicefit-stock-") as folder:
        path = Path(folder) / "list.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, delimiter=";").writerows(_rows(catalogue.ends, options.rows, options.seed))
        start, start_cpu = time.perf_counter(), time.process_time()
        heading, rows = read_list(path)
        read_s = time.perf_counter() - start
        matcher = StockMatcher(catalogue)
        results = list(matcher.match(rows, columns_of(heading)))
        matched_s = time.perf_counter() - start
        lines = [each for each in results if isinstance(each, StockLine)]
        save_stock(Path(folder), lines)
        total_s = time.perf_counter() - start
        cpu_s = time.process_time() - start_cpu
        load_stock(Path(folder))
        loaded_s = time.perf_counter() - start - total_s
    figures = {
        "rows": options.rows,
        "matched": len(lines),
        "left_out": len(results) - len(lines),
        "read_s": read_s,
        "match_s": matched_s - read_s,
        "keep_s": total_s - matched_s,
        "import_s": total_s,
        "import_cpu_s": cpu_s,
        "load_s": loaded_s,
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }
    if options.json:
        print(json.dumps(figures))
        return 0
    print(f"{options.rows} rows: {figures['matched']} matched, {figures['left_out']} left out with a reason")
    print(
        f"read {read_s:.1f} s, matched {figures['match_s']:.1f} s, kept {figures['keep_s']:.1f} s: {total_s:.1f} s",
        end="",
    )
    print(f" ({cpu_s:.1f} s of processor time)")
    print(f"loaded at the start of a session: {loaded_s:.2f} s; peak memory {figures['peak_mb']:.0f} MB")
    return 0


def _rows(ends: tuple[CandidateEnd, ...], count: int, seed: int) -> Iterator[tuple[str, ...]]:
    dice = random.Random(seed)
    yield ("Part no", "Description", "Bin", "Qty")
    for n in range(count):
        name = end_name(dice.choice(ends))
        text = f"bracket {n}" if n % ODD == ODD - 1 else dice.choice(FORMS).format(name=name, upper=name.upper(), n=n)
        yield (f"P{n}", text, f"{dice.randrange(40)}-{dice.randrange(12)}", str(dice.randrange(200)))
