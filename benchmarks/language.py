"""The spoken language: time to build it, to interpret a sentence, to write, compile and walk the constraint."""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable
from functools import partial

SENTENCES = (
    "nineteen",
    "can't tell",
    "no, twenty pitch",
    "outside nineteen thirty-seconds, nineteen pitch, thirty degrees",
    "bolts fifty two point four by twenty six point two",
    "inside fifteen point one millimeters nineteen threads per inch "
    "female swivel nut the cone goes in thirty degree seat dash six",
    " ".join(["nine sixteen"] * 40),  # the most ambiguous text that is still read
)


def _median_ms(do: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        do()
        times.append(1e3 * (time.perf_counter() - begun))
    return statistics.median(times)


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m benchmarks language", description=__doc__)
    parser.add_argument("--runs", type=int, default=30, help="runs of each figure (default 30)")
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    options = parser.parse_args(argv)

    import llguidance
    from llguidance.numpy import allocate_token_bitmask, fill_next_token_bitmask

    from voicefit.driver import open_knowledge
    from voicefit.interpretation import Language
    from voicefit.interpretation.constraint import lark
    from voicefit.records import Context, Measurand
    from voicefit.resources import grammar_folder, read_texts

    knowledge = open_knowledge()
    texts = read_texts(grammar_folder(), ".toml")
    series = {each.id: each.words for each in knowledge.catalogue.series.values()}
    hoses = {hose.type.id: hose.type.words for hose in knowledge.catalogue.hoses}
    language = Language.from_texts(texts, series, hoses)
    letters = llguidance.LLTokenizer("byte")
    bits = allocate_token_bitmask(1, letters.vocab_size)

    def walk(matcher: object) -> list[float]:
        """Time of each mask along one sentence, in ms."""
        taken = matcher.deep_copy()  # type: ignore[attr-defined]  # llguidance publishes no types
        times = []
        for letter in SENTENCES[3].replace(",", "").encode():
            begun = time.perf_counter()
            fill_next_token_bitmask(taken, bits, 0)
            times.append(1e3 * (time.perf_counter() - begun))
            if not taken.consume_token(letter):
                raise AssertionError("the constraint does not allow its own sentence")
        return times

    figures: dict[str, object] = {
        "build_ms": _median_ms(partial(Language.from_texts, texts, series, hoses), options.runs),
        "interpret_ms": {
            f"{len(text.split())} words, {text[:32]}": _median_ms(partial(language.interpret, text), options.runs)
            for text in SENTENCES
        },
    }
    for name, context in (("loose", Context()), ("tight", Context(expected=(Measurand.OUTSIDE_DIAMETER,)))):
        grammar = lark(language.grammar, context)
        figures[f"constraint_{name}"] = {
            "letters": len(grammar),
            "write_ms": _median_ms(partial(lark, language.grammar, context), options.runs),
            "compile_ms": _median_ms(partial(llguidance.LLMatcher, letters, grammar), options.runs),
        }
    matcher = llguidance.LLMatcher(letters, lark(language.grammar, Context()), log_level=0)
    cold = walk(matcher)
    warm = walk(matcher)
    figures["mask_ms"] = {
        "cold_median": statistics.median(cold),
        "cold_most": max(cold),
        "warm_median": statistics.median(warm),
        "warm_most": max(warm),
    }
    if options.json:
        print(json.dumps(figures, indent=2))
    else:
        _show(figures)
    return 0


def _show(figures: dict[str, object], before: str = "") -> None:
    for name, value in figures.items():
        if isinstance(value, dict):
            print(f"{before}{name}")
            _show(value, before + "  ")
        else:
            print(f"{before}{name:<44}{value:>10.3f}" if isinstance(value, float) else f"{before}{name:<44}{value:>10}")
