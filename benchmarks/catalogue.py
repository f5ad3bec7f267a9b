"""How long the whole catalogue takes to load, from texts to ends: it is on the path of every cold command."""

from __future__ import annotations

import argparse
import statistics
import time


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks catalogue", description=__doc__)
    parser.add_argument("--runs", type=int, default=9, help="loads after the first (default 9)")
    options = parser.parse_args(argv)
    begun = time.perf_counter()
    from voicefit.catalogue import load_catalogue
    from voicefit.resources import data_folder, read_texts

    imported = time.perf_counter()
    texts = read_texts(data_folder(), ".csv")
    read = time.perf_counter()
    catalogue = load_catalogue(texts)
    first = time.perf_counter() - read
    again = []
    for _ in range(options.runs):
        started = time.perf_counter()
        load_catalogue(texts)
        again.append(time.perf_counter() - started)
    print(f"{len(catalogue.ends)} ends of {len(catalogue.series)} series, {len(catalogue.hoses)} hose sizes")
    print(f"import {1e3 * (imported - begun):.0f} ms, read {1e3 * (read - imported):.1f} ms")
    print(f"first load {1e3 * first:.0f} ms, further loads median {1e3 * statistics.median(again):.0f} ms")
    return 0
