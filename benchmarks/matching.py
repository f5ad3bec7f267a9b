"""Matching and advice over simulated technicians: right, wrong, open, checks, seconds, speed and growth.

Duty: run jobs, time the two calls that a turn waits for, and print the figures. The technicians' mistakes are those of
``technician.py``, not the matcher's own numbers.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

import numpy as np

from benchmarks.jobs import Tally, advised, calibration, drawn, fixed_order
from benchmarks.policy import Reduced
from benchmarks.spoken import Speaker
from voicefit.catalogue import CandidateEnd, Catalogue, Thread, load_catalogue
from voicefit.errors import BadInput
from voicefit.interpretation import Language
from voicefit.matching import (
    Advisor,
    Checks,
    Matcher,
    MeasurementModel,
    Posterior,
    Prior,
    load_checks,
    load_model,
    load_prior,
)
from voicefit.quantities import Quantity, Unit, exact, inches
from voicefit.records import Measurand, Option, Reading
from voicefit.resources import data_folder, grammar_folder, read_texts
from voicefit.sentences import open_classifier

GROWTH = (2_000, 20_000, 200_000)
STRETCHES = 40  # of the threads in a grown catalogue, so that it has this many times as many threads
REPEATS = 9
REDUCED = ("flare37/6", "flare30-g/6", "flare30-m/6", "bspp-cone60/6", "orb/6", "din24-l/12")

Result = TypeVar("Result")


@dataclass(frozen=True)
class _Ends:
    ends: Sequence[CandidateEnd]


def main(argv: list[str]) -> int:
    arguments = _arguments(argv)
    data, grammar = read_texts(data_folder(), ".csv", ".toml"), read_texts(grammar_folder(), ".toml")
    catalogue, prior, model, checks = load_catalogue(data), load_prior(data), load_model(data), load_checks(grammar)
    advisor = Advisor(Matcher(catalogue, prior, model, checks), checks)
    rows = _rows(catalogue.ends, arguments.ends)
    half = max(arguments.trials // 2, 1)
    words = np.random.default_rng(arguments.seed)
    speaker = Speaker(open_language(catalogue, grammar), words) if arguments.words else None
    tallies = {}
    for name, by_prior in (("uniform", False), ("by_prior", True)):
        jobs = drawn(advisor, rows, arguments.seed, half, by_prior=by_prior)
        tallies[name] = Tally([advised(advisor, row, random, arguments.lasting, speaker) for row, random in jobs])
    both = Tally([job for tally in tallies.values() for job in tally.jobs])
    fixed = Tally(
        [
            fixed_order(advisor, row, random, arguments.lasting)
            for row, random in drawn(advisor, rows, arguments.seed, max(half // 2, 1), by_prior=False)
        ]
    )
    reduced = Reduced([e for e in catalogue.ends if e.id.rsplit("/", 1)[0] in REDUCED], prior, model, checks)
    best, ours = reduced.best(), reduced.advised()
    start = Posterior(advisor.matcher, ())
    worth = max(check.information_bit for check in advisor.worth(start))
    growth = [_speed(catalogue.ends, prior, model, checks)]
    if not arguments.no_growth:
        growth += [_speed(_grown(catalogue.ends, count), prior, model, checks) for count in GROWTH]
    document = {
        "ends": len(rows),
        "parts": len({advisor.matcher.part_of[row] for row in rows}),
        "seed": arguments.seed,
        "lasting": arguments.lasting,
        "words": arguments.words,
        **({} if speaker is None else {"not_understood": speaker.refused / speaker.said}),
        **({} if speaker is None else {"understood_otherwise": speaker.misread / speaker.said}),
        **both.figures(),
        "uniform": tallies["uniform"].figures(),
        "by_prior": tallies["by_prior"].figures(),
        "fixed_order_checks_mean": fixed.figures()["checks_mean"],
        "fixed_order_seconds_mean": fixed.figures()["seconds_mean"],
        "fixed_order_right_at_stop": fixed.figures()["right_at_stop"],
        "prior_entropy_bit": start.entropy_bit,
        "best_check_bit": worth,
        "bound_checks": start.entropy_bit / worth,
        "reduced_best_checks": best,
        "reduced_checks": ours,
        "reduced_ratio": ours / best,
        "update_ms": growth[0]["update_ms"],
        "advice_ms": growth[0]["advice_ms"],
        "growth": growth,
        "calibration": calibration(tallies["by_prior"].jobs),
    }
    if arguments.json:
        print(json.dumps(document, indent=2, allow_nan=False))
    else:
        _print(document)
    return 0


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks matching", description=__doc__)
    parser.add_argument("--ends", default="all", help="all, or series ids with commas")
    parser.add_argument("--trials", type=int, default=400, help="half drawn uniformly, half by the prior")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--lasting", type=float, default=0.0, help="share of mistakes that one person makes again and again on one end"
    )
    parser.add_argument("--words", action="store_true", help="each answer is said in words and interpreted")
    parser.add_argument("--no-growth", action="store_true", help="leave out the large catalogues")
    parser.add_argument("--json", action="store_true")
    return parser.parse_args(argv)


def open_language(catalogue: Catalogue, grammar: Mapping[str, str]) -> Language:
    """The language, with the names that the catalogue has."""
    series = {each.id: each.words for each in catalogue.series.values()}
    return Language.from_texts(
        grammar, series, {hose.type.id: hose.type.words for hose in catalogue.hoses}, classifier=open_classifier()
    )


def _rows(ends: Sequence[CandidateEnd], wanted: str) -> list[int]:
    if wanted == "all":
        return list(range(len(ends)))
    series = set(wanted.split(","))
    unknown = series - {end.series for end in ends}
    if unknown:
        raise BadInput(f"--ends: {', '.join(sorted(unknown))} is no series")
    return [row for row, end in enumerate(ends) if end.series in series]


# ---- speed ----------------------------------------------------------------------------------------------


def _speed(
    ends: Sequence[CandidateEnd], prior: Prior, model: MeasurementModel, checks: Checks
) -> dict[str, float | int]:
    """Medians of the posterior after a new reading, and of the next check, at each of the first four turns.

    Nothing of a reading is in any cache: each repeat says slightly different values.
    """
    matcher = Matcher(_Ends(ends), prior, model, checks)
    advisor = Advisor(matcher, checks)
    advisor.advise(())
    updates: list[float] = []
    advices: list[float] = []
    for repeat in range(REPEATS):
        for count in range(5):
            readings = _job(repeat)[:count]
            elapsed, posterior = _timed(partial(Posterior, matcher, readings))
            if count:
                updates.append(elapsed)
            elapsed, _ = _timed(partial(advisor.advise_on, posterior))
            advices.append(elapsed)
    return {
        "ends": len(ends),
        "threads": len({end.thread for end in ends}),
        "update_ms": statistics.median(updates),
        "update_max_ms": max(updates),
        "advice_ms": statistics.median(advices),
        "advice_max_ms": max(advices),
    }


def _job(repeat: int) -> tuple[Reading, ...]:
    diameter = inches("19/32", exact("1/64"))
    diameter = replace(diameter, value=diameter.value + exact("1/2048") * repeat)
    return (
        Reading("", (Option(Measurand.OUTSIDE_DIAMETER, diameter),)),
        Reading("", (Option(Measurand.PITCH, Quantity(exact(19), Unit.THREADS_PER_INCH)),)),
        Reading("", (Option(Measurand.SEAT_ANGLE, Quantity(exact(30), Unit.DEGREE, exact(1))),)),
        Reading("", (Option(Measurand.SEAT_FORM, "recessed"),)),
    )


def _timed(call: Callable[[], Result]) -> tuple[float, Result]:
    before = time.perf_counter()
    value = call()
    return (time.perf_counter() - before) * 1e3, value


def _grown(ends: Sequence[CandidateEnd], count: int) -> list[CandidateEnd]:
    """A large catalogue: the same ends again and again, each time other parts, on threads stretched a little."""
    grown: list[CandidateEnd] = []
    copy = 0
    threads: dict[tuple[str, int], Thread] = {}
    while len(grown) < count:
        stretch = copy % STRETCHES
        for end in ends[: count - len(grown)]:
            thread = end.thread
            if thread is not None and stretch:
                key = (thread.designation, stretch)
                if key not in threads:
                    threads[key] = _stretched(thread, 1 + 0.004 * (stretch - STRETCHES / 2))
                thread = threads[key]
            grown.append(replace(end, id=f"{end.id}~{copy}", part=f"{end.part}~{copy}", thread=thread))
        copy += 1
    return grown


def _stretched(thread: Thread, by: float) -> Thread:
    return replace(
        thread,
        designation=f"{thread.designation}~{by:.3f}",
        major_diameter_mm=thread.major_diameter_mm * by,
        minor_diameter_mm=thread.minor_diameter_mm * by,
        external_major_mm=(thread.external_major_mm[0] * by, thread.external_major_mm[1] * by),
        internal_minor_mm=(thread.internal_minor_mm[0] * by, thread.internal_minor_mm[1] * by),
    )


# ---- print ----------------------------------------------------------------------------------------------


def _print(document: dict[str, object]) -> None:
    for name, value in document.items():
        if isinstance(value, list):
            print(f"{name}:")
            for row in value:
                print("   ", "  ".join(f"{key} {_short(item)}" for key, item in row.items()))
        elif isinstance(value, dict):
            print(f"{name}:")
            print("   ", "  ".join(f"{key} {_short(item)}" for key, item in value.items()))
        else:
            print(f"{name:<28}{_short(value)}")


def _short(value: object) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)
