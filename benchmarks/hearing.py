"""How well an engine hears: right, wrong and accepted, rejected, by kind; and how fast.

    python -m benchmarks hearing --corpus DIR [--noise FILE --snr DB] [--grammar NAME] [--engine NAME]
                                     [--context | --loose] [--json]
    python -m benchmarks hearing --render DIR [--sentences N]
    python -m benchmarks hearing --corpus DIR --noise FILE --against OLD_WEIGHTS --picture FILE.svg
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
import json
import math
import re
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from benchmarks import hearing_dump
from benchmarks.hearing_corpus import (
    NOISE,
    PARTS,
    Noise,
    Samples,
    active_level,
    part_of,
    samples_of,
    with_backwards,
)
from benchmarks.hearing_languages import GRAMMARS, Grammar, grammars_for
from benchmarks.hearing_report import Outcome, edit_distance, print_report, report
from voicefit.driver.labelled import ReadAloud, read_manifest
from voicefit.errors import BadInput
from voicefit.recognition import ENGINES, Recogniser, open_recogniser
from voicefit.recognition.acceptance import read_acceptance
from voicefit.recognition.neural import NeuralRecogniser
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Transcript, Utterance

NOISE_PIECES = 40
BACKWARDS_EVERY = 4
_WARM_UP = 3


@dataclass(slots=True)
class Bench:
    """An engine, the name of the grammar for each kind, and which of the two modes."""

    engine: Recogniser
    grammar_of: Callable[[str], str]
    in_context: bool
    grammars: dict[str, Grammar] = field(default_factory=dict)

    def hear(self, row: ReadAloud, samples: Samples) -> Outcome:
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
    corpus: Path, rows: Sequence[ReadAloud], noise: Noise | None, *, alone: bool = True
) -> Iterator[tuple[ReadAloud, Samples]]:
    """Each row with its audio under noise, and then noise alone at the level it had under the last of them."""
    level = 0.1
    for row in rows:
        samples = samples_of(corpus, row)
        level = active_level(samples)
        yield row, samples if noise is None else noise.under(samples, row.file)
    if noise is not None and alone:
        for number, piece in enumerate(noise.alone(NOISE_PIECES, level / 10 ** (noise.snr_db / 20))):
            yield ReadAloud(f"noise-{number}", "none", NOISE, ""), piece


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
    return _picture(options) if options.picture else _measure(options)


def _measure(options: argparse.Namespace) -> int:
    if len(options.noise) > 1:
        raise BadInput("one noise at a time is measured")
    rows = _rows(options)
    noise = Noise(options.noise[0], options.snr, tuning=_tunes(options)) if options.noise else None
    began = time.perf_counter()
    engine = _engine(options)
    load_s = time.perf_counter() - began
    outcomes = _hear_all(options, engine, rows, noise)
    if options.dump:
        with options.dump.open("w", encoding="utf-8") as file:
            for each in outcomes:
                hearing_dump.write(file, _heard(each, noise))
    document = report(outcomes, load_s)
    if options.json:
        print(json.dumps(document))
    else:
        print_report(document)
    return 0


def _picture(options: argparse.Namespace) -> int:
    """The same rows under one noise at several levels, heard by two sets of weights."""
    from benchmarks.hearing_picture import SNRS_DB, Point, draw, table

    if len(options.noise) != 1 or options.against is None:
        raise BadInput("a picture wants one --noise and the weights to compare with, --against")
    rows = [row for row in _rows(options) if in_grammar(row.kind)]
    points = []
    for name, model in (("old weights", options.against), ("these weights", options.model)):
        engine = open_recogniser(options.engine, model)
        for snr_db in SNRS_DB:
            noise = Noise(options.noise[0], snr_db, tuning=_tunes(options))
            outcomes = _hear_all(options, engine, rows, noise, alone=False)
            points.append(Point.of(name, snr_db, outcomes))
    draw(points, noise.name.replace("_", " "), options.picture)
    print(table(points))
    return 0


def _tunes(options: argparse.Namespace) -> bool:
    return bool(options.part == "fitting" or options.fitting_noise)


def _rows(options: argparse.Namespace) -> list[ReadAloud]:
    rows = part_of(read_manifest(options.corpus), options.part)
    if options.speakers:
        rows = [row for row in rows if re.fullmatch(options.speakers, row.speaker)]
    return list(with_backwards(rows, BACKWARDS_EVERY))[options.first :: options.every]


def _engine(options: argparse.Namespace) -> Recogniser:
    if options.dump:
        return NeuralRecogniser(options.model, hearing_dump.OPEN_TO_ALL)
    return open_recogniser(options.engine, options.model)


def _hear_all(
    options: argparse.Namespace,
    engine: Recogniser,
    rows: Sequence[ReadAloud],
    noise: Noise | None,
    *,
    alone: bool = True,
) -> list[Outcome]:
    named = options.grammar
    grammar_of = grammars_for({row.kind for row in rows}) if named is None else lambda kind: named
    bench = Bench(engine, grammar_of, options.in_context)
    for row in rows[:_WARM_UP]:
        bench.hear(row, samples_of(options.corpus, row))
    outcomes = []
    for row, samples in utterances(options.corpus, rows, noise, alone=alone and not options.first):
        outcomes.append(bench.hear(row, samples))
        if options.verbose and outcomes[-1].accepted != outcomes[-1].right:
            print(outcomes[-1].detail, file=sys.stderr)
    return outcomes


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


def _detail(row: ReadAloud, transcript: Transcript) -> str:
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
    parser.add_argument("--engine", choices=list(ENGINES), default="neural")
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
    parser.add_argument("--picture", type=Path, metavar="SVG", help="draw right and taken by level of noise there")
    parser.add_argument("--against", metavar="DIR", help="with --picture: the weights to compare with")
    parser.add_argument("--fit", type=Path, metavar="FILE", help="fit the acceptance on dumps, write it there")
    parser.add_argument("--judge", type=Path, metavar="FILE", help="what this acceptance takes of dumps")
    parser.add_argument("dumps", type=Path, nargs="*", metavar="DUMP")
    return parser
