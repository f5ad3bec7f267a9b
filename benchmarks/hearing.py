"""How well an engine hears: right, wrong and accepted, rejected, by kind; and how fast.

    python -m benchmarks hearing --corpus DIR [--noise FILE --snr DB] [--grammar NAME] [--engine NAME]
                                     [--context | --loose] [--json]
    python -m benchmarks hearing --render DIR [--sentences N]
    python -m benchmarks hearing --corpus DIR --dump FILE ...
    python -m benchmarks hearing --fit FILE DUMP [DUMP ...]
    python -m benchmarks hearing --judge FILE DUMP [DUMP ...]

``DIR`` holds ``manifest.tsv`` (file, speaker, kind, transcript; optionally asked, a measurand) and the audio. A
transcript of the grammar counts as right when the best meaning is its meaning, whether it was accepted or not; of
kinds that are out of the grammar (spelled letters, foreign sentences, speech played backwards, noise alone) everything
accepted is wrong. Noise is laid ``--snr`` dB under the active speech level (ITU-T P.56); numbers are fitted on one
half of the speakers with the first half of each noise, and reported with the second half of the noise.
Latency is that of one call from the end of speech, without the hang-over of endpointing. Duty: run and count; it must
not tune.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import re
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks import hearing_dump
from benchmarks.hearing_corpus import (
    NOISE,
    PARTS,
    Noise,
    Samples,
    Spoken,
    active_level,
    part_of,
    read_manifest,
    samples_of,
    with_backwards,
)
from benchmarks.hearing_languages import GRAMMARS, Grammar, grammars_for
from voicefit.errors import BadInput
from voicefit.recognition import ENGINES, Recogniser, open_recogniser
from voicefit.recognition.acceptance import read_acceptance
from voicefit.recognition.neural import NeuralRecogniser
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Transcript, Utterance

NOISE_PIECES = 40
BACKWARDS_EVERY = 4
_EDGES = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)
_WARM_UP = 3


@dataclass(frozen=True, slots=True)
class Outcome:
    """One utterance heard. ``known``: it has a meaning in the grammar. ``right``: the best alternative has that."""

    kind: str
    known: bool
    right: bool
    accepted: bool
    probability: float  # of the best alternative
    seconds: float
    latency_s: float
    errors: int  # words
    words: int
    scores: Mapping[str, float]
    detail: str = ""


@dataclass(slots=True)
class Bench:
    """An engine, the name of the grammar for each kind, and which of the two modes."""

    engine: Recogniser
    grammar_of: Callable[[str], str]
    in_context: bool
    grammars: dict[str, Grammar] = field(default_factory=dict)

    def hear(self, row: Spoken, samples: Samples) -> Outcome:
        grammar = self._grammar(row.kind)
        context = grammar.context(row) if self.in_context else Context()
        meaning = grammar.meaning(row.transcript) if in_grammar(row.kind) else None
        utterance = Utterance(samples)
        began = time.perf_counter()
        transcript = self.engine.recognise(utterance, grammar.language, context)
        latency = time.perf_counter() - began
        heard = [(grammar.meaning(each.text), each.log_probability) for each in transcript.alternatives]
        right = bool(heard) and meaning is not None and heard[0][0] == meaning
        said = grammar.words(row.transcript) if meaning is not None else []
        return Outcome(
            kind=row.kind,
            known=meaning is not None,
            right=right,
            accepted=transcript.rejection is None,
            probability=math.exp(heard[0][1]) if heard else 0.0,
            seconds=len(samples) / SAMPLE_RATE_HZ,
            latency_s=latency,
            errors=edit_distance(said, grammar.words(transcript.text)) if said else 0,
            words=len(said),
            scores=transcript.scores,
            detail=_detail(row, transcript),
        )

    def _grammar(self, kind: str) -> Grammar:
        name = self.grammar_of(kind)
        if name not in self.grammars:
            self.grammars[name] = GRAMMARS[name]()
        return self.grammars[name]


def in_grammar(kind: str) -> bool:
    """Kinds that no grammar here has: letters, and what the benchmark makes itself."""
    return kind not in ("spelled", "sentence", "backwards", NOISE)


def utterances(
    corpus: Path, rows: Sequence[Spoken], noise: Noise | None, *, alone: bool = True
) -> Iterator[tuple[Spoken, Samples]]:
    """Each row with its audio under noise, and then noise alone at the level it had under the last of them."""
    level = 0.1
    for row in rows:
        samples = samples_of(corpus, row)
        level = active_level(samples)
        yield row, samples if noise is None else noise.under(samples, row.file)
    if noise is not None and alone:
        for number, piece in enumerate(noise.alone(NOISE_PIECES, level / 10 ** (noise.snr_db / 20))):
            yield Spoken(f"noise-{number}", "none", NOISE, ""), piece


def report(outcomes: Sequence[Outcome], load_s: float) -> dict[str, Any]:
    """The figures as one document."""
    kinds: dict[str, dict[str, int]] = defaultdict(
        lambda: dict.fromkeys(("n", "right", "wrong_accepted", "rejected"), 0)
    )
    for outcome in outcomes:
        counts = kinds[outcome.kind]
        counts["n"] += 1
        counts["right"] += outcome.right
        counts["wrong_accepted"] += outcome.accepted and not outcome.right
        counts["rejected"] += not outcome.accepted
    known = [outcome for outcome in outcomes if outcome.known]
    latencies = [1000 * outcome.latency_s for outcome in known] or [0.0]
    words = sum(outcome.words for outcome in known)
    return {
        "kinds": dict(kinds),
        "word_error": round(sum(outcome.errors for outcome in known) / words, 4) if words else None,
        "calibration": [
            {"from": low, "to": high, "n": len(inside), "right": sum(outcome.right for outcome in inside)}
            for low, high in itertools.pairwise(_EDGES)
            if (inside := [each for each in known if low <= each.probability < high or each.probability >= high == 1.0])
        ],
        "latency_ms": {name: round(float(np.percentile(latencies, at)), 1) for name, at in (("p50", 50), ("p95", 95))},
        "real_time_factor": round(
            sum(outcome.latency_s for outcome in outcomes) / max(sum(outcome.seconds for outcome in outcomes), 1e-9), 4
        ),
        "utterance_s": {"p50": round(float(np.median([each.seconds for each in known] or [0.0])), 2)},
        "load_s": round(load_s, 3),
        "rss_mb": round(resident_mb(), 1),
    }


def resident_mb() -> float:
    """The most memory this process has had, MB (10^6 byte). Not on Windows."""
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most * 1024 / 1e6


def edit_distance(said: Sequence[str], heard: Sequence[str]) -> int:
    """Words to insert, delete or replace (Levenshtein)."""
    row = list(range(len(heard) + 1))
    for i, word in enumerate(said, 1):
        left = row[0]
        row[0] = i
        for j, other in enumerate(heard, 1):
            left, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, left + (word != other))
    return row[-1]


def main(argv: list[str]) -> int:
    options = _parser().parse_args(argv)
    if options.render:
        from benchmarks.rendering import render

        count = render(options.render, options.sentences)
        print(f"{count} utterances in {options.render}")
        return 0
    if options.fit:
        from benchmarks.hearing_fit import fit

        fit(options.dumps, options.fit)
        return 0
    if options.judge:
        table = read_acceptance(options.judge)
        for path in options.dumps:
            print(hearing_dump.row(path.stem, hearing_dump.counts(hearing_dump.read(path), table)))
        return 0
    if options.corpus is None:
        raise BadInput("name a corpus with --corpus, or render one with --render")
    return _measure(options)


def _measure(options: argparse.Namespace) -> int:
    tuning = options.part == "fitting" or options.fitting_noise
    if len(options.noise) > 1:
        raise BadInput("one noise at a time is measured")
    noise = Noise(options.noise[0], options.snr, tuning=tuning) if options.noise else None
    rows = part_of(read_manifest(options.corpus), options.part)
    if options.speakers:
        rows = [row for row in rows if re.fullmatch(options.speakers, row.speaker)]
    rows = list(with_backwards(rows, BACKWARDS_EVERY))[options.first :: options.every]
    began = time.perf_counter()
    if options.dump:
        engine: Recogniser = NeuralRecogniser(options.model, hearing_dump.OPEN_TO_ALL)
    else:
        engine = open_recogniser(options.engine, options.model)
    load_s = time.perf_counter() - began
    named = options.grammar
    grammar_of = grammars_for({row.kind for row in rows}) if named is None else lambda kind: named
    bench = Bench(engine, grammar_of, options.in_context)
    for row in rows[:_WARM_UP]:
        bench.hear(row, samples_of(options.corpus, row))
    outcomes = []
    for row, samples in utterances(options.corpus, rows, noise, alone=not options.first):
        outcomes.append(bench.hear(row, samples))
        if options.verbose and outcomes[-1].accepted != outcomes[-1].right:
            print(outcomes[-1].detail, file=sys.stderr)
    if options.dump:
        with options.dump.open("w", encoding="utf-8") as file:
            for each in outcomes:
                hearing_dump.write(file, _heard(each, noise))
    document = report(outcomes, load_s)
    if options.json:
        print(json.dumps(document))
    else:
        _print(document)
    return 0


def _heard(outcome: Outcome, noise: Noise | None) -> hearing_dump.Heard:
    return hearing_dump.Heard(
        outcome.kind,
        outcome.known,
        outcome.right,
        {name: round(value, 4) for name, value in outcome.scores.items()},
        noise.name if noise else "",
        noise.snr_db if noise else None,
        outcome.detail,
    )


def _print(document: Mapping[str, Any]) -> None:
    for kind, counts in document["kinds"].items():
        shares = ", ".join(
            f"{name} {counts[name] / counts['n']:.1%}" for name in ("right", "wrong_accepted", "rejected")
        )
        print(f"{kind:<20}{counts['n']:>5}  {shares}")
    for name in ("word_error", "latency_ms", "real_time_factor", "utterance_s", "load_s", "rss_mb"):
        print(f"{name:<20}{document[name]}")
    for each in document["calibration"]:
        span = f"{each['from']:.2f} to {each['to']:.2f}"
        print(f"probability {span}  right {each['right'] / each['n']:.3f} of {each['n']}")


def _detail(row: Spoken, transcript: Transcript) -> str:
    best: tuple[Alternative, ...] = transcript.alternatives[:2]
    texts = " | ".join(f"{each.text} {math.exp(each.log_probability):.2f}" for each in best)
    verdict = transcript.rejection.reason if transcript.rejection else "accepted"
    scores = " ".join(f"{name}={value:.2f}" for name, value in transcript.scores.items())
    return f"{row.file} {row.kind}: {row.transcript!r} -> {texts} {verdict} {scores}"


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m benchmarks hearing", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--corpus", type=Path, metavar="DIR", help="folder with manifest.tsv and the audio")
    parser.add_argument("--noise", type=Path, action="append", default=[], metavar="FILE", help="noise to mix in")
    parser.add_argument("--snr", type=float, default=10.0, metavar="DB", help="speech over noise (default 10)")
    parser.add_argument("--fitting-noise", action="store_true", help="the half of the noise that is not reported on")
    parser.add_argument("--grammar", choices=GRAMMARS, help="default: the one that fits the kind")
    parser.add_argument("--engine", choices=[name for name in ENGINES if name != "text"], default="neural")
    parser.add_argument("--model", help="the engine's model: a folder or a name")
    mode = parser.add_mutually_exclusive_group()
    mode.add_argument("--context", dest="in_context", action="store_true", help="the question asked is known (default)")
    mode.add_argument("--loose", dest="in_context", action="store_false", help="nothing was asked")
    parser.set_defaults(in_context=True)
    parser.add_argument("--part", choices=PARTS, default="all", help="which speakers")
    parser.add_argument("--speakers", metavar="REGEX", default="", help="only speakers whose whole name matches")
    parser.add_argument("--first", type=int, default=0, metavar="K", help="begin at the Kth: one share of several")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth utterance")
    parser.add_argument("--json", action="store_true", help="one document on stdout")
    parser.add_argument("--verbose", action="store_true", help="what went wrong, on stderr")
    parser.add_argument("--render", type=Path, metavar="DIR", help="make a corpus of the product's sentences there")
    parser.add_argument("--sentences", type=int, default=500, metavar="N", help="how many to render")
    parser.add_argument("--dump", type=Path, metavar="FILE", help="keep every utterance's scores, all taken")
    parser.add_argument("--fit", type=Path, metavar="FILE", help="fit the acceptance on dumps, write it there")
    parser.add_argument("--judge", type=Path, metavar="FILE", help="what this acceptance takes of dumps")
    parser.add_argument("dumps", type=Path, nargs="*", metavar="DUMP")
    return parser
