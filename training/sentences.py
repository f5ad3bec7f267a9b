"""Texts to train on: what a person says to the tool, and what must come out as nothing of it.

    python -m training.sentences COUNT OUT.tsv [--seed N]

Most are drawn from the product's own grammar; around them stand the words that people put there. Numbers as in human
recordings, spelled names and general English (put together from a library's list of words, nobody's text) keep the
weights able to hear what is no sentence of the product. The hearing benchmark's sentences of three words and more
never come out.

Duty: kind and text, one a line. It must not speak them.
"""

from __future__ import annotations

import argparse
import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path

from benchmarks.foreign import FOREIGN
from training.derive import Deriver
from training.english import English
from training.figures import ONES, TEENS_AND_TENS, decimal, digits, whole
from training.values import degrees, length, millimetres, pitch, some_whole
from voicefit.driver import open_knowledge
from voicefit.driver.read_aloud import sentences

Draw = random.Random

_BENCHMARK = ((520, 4), (500, 4), (240, 7))  # count and seed of the sentences that are measured
_BEFORE = (
    "um", "uh", "er", "okay", "ok", "well", "so", "right", "let me see", "i think", "it looks like", "looks like",
    "i make it", "i get", "it reads", "it's", "that's", "this one is", "about", "roughly", "call it", "probably",
    "should be", "must be", "now", "and", "yeah", "alright", "hang on", "here we go", "i'd say", "maybe",
)  # fmt: skip
_AFTER = (
    "i think", "or so", "i guess", "give or take", "more or less", "please", "roughly", "it seems", "i'd say",
    "as far as i can tell", "that's it", "ish", "about", "on the dot", "exactly", "or thereabouts",
)  # fmt: skip
_CORRECTING = (
    "no", "no wait", "sorry", "make that", "no make that", "correction", "i meant", "wait", "scratch that",
    "it's not that it's", "no it's", "not that", "i mean",
)  # fmt: skip
_YES_AND_NO = (
    "yes", "no", "yeah", "yep", "nope", "yes it is", "no it isn't", "it does", "it doesn't", "it is", "it isn't",
    "correct", "that's right", "that's wrong", "sure", "no it does not", "yes it does", "the first one",
    "the second one", "neither", "both", "i don't know", "can't say", "hard to tell", "not really", "of course",
    "right", "wrong", "okay", "all right", "no idea", "can't see", "not sure",
)  # fmt: skip
_SHORT = (
    "twelve", "well", "port", "four", "for", "fort", "forty", "fourteen", "point", "eight", "eighth", "ate", "two",
    "to", "too", "stop", "start", "go", "enter", "erase", "rubout", "repeat", "help", "next", "back", "cancel",
    "undo", "why", "more", "again", "done", "save", "first", "second", "seat", "six", "sixth", "sixteen", "sixty",
    "hose", "nose", "tapered", "parallel", "male", "female", "mail", "nut", "not", "cone", "flat", "flare", "face",
)  # fmt: skip
_MONTHS = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
_ORDINALS = [
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
    "twenty-first",
    "twenty-second",
    "twenty-third",
    "twenty-fourth",
    "twenty-fifth",
    "twenty-sixth",
    "twenty-seventh",
    "twenty-eighth",
    "twenty-ninth",
    "thirtieth",
    "thirty-first",
]
_ASPECTS = ("outside", "inside", "outside diameter", "inside diameter", "o d", "i d")
_METRIC_PITCHES = ("one point five", "two", "one", "three", "one and a half")
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_SPOKEN_LETTERS = [
    "alpha",
    "bravo",
    "charlie",
    "delta",
    "echo",
    "foxtrot",
    "golf",
    "hotel",
    "india",
    "juliet",
    "kilo",
    "lima",
    "mike",
    "november",
    "oscar",
    "papa",
    "quebec",
    "romeo",
    "sierra",
    "tango",
    "uniform",
    "victor",
    "whiskey",
    "x-ray",
    "yankee",
    "zulu",
]
_HOSE_STEMS = ("{} s n", "{} s c", "r {} a t", "one hundred r {}", "{} t e", "r {}", "{} s p", "{} s h", "type {}")


class Texts:
    """Draws texts; each method one kind."""

    def __init__(self, seed: int) -> None:
        self._draw = random.Random(seed)
        self._derive = Deriver(open_knowledge().language.grammar, self._draw)
        self._english = English(self._draw)
        self._not = {each.text for count, seed in _BENCHMARK for each in sentences(count, seed)} | set(FOREIGN)
        self._makers: list[tuple[float, str, Callable[[], str]]] = [
            (0.30, "product", self.reading),
            (0.12, "product", self.together),
            (0.08, "product", self.surrounded),
            (0.06, "product", self.alike),
            (0.11, "command", lambda: self._derive.phrase("command")),
            (0.02, "command", lambda: self._draw.choice(_YES_AND_NO)),
            (0.03, "command", lambda: self._draw.choice(_SHORT)),
            (0.03, "product", self.hose_print),
            (0.13, "number", self.number),
            (0.04, "spelled", self.spelled),
            (0.08, "general", self._english.sentence),
        ]

    def some(self, count: int) -> Iterator[tuple[str, str]]:
        """``count`` pairs of kind and text."""
        shares = [share for share, _, _ in self._makers]
        made = 0
        while made < count:
            _, kind, maker = self._draw.choices(self._makers, shares)[0]
            text = re.sub(r"\s+", " ", maker()).strip()
            if text and len(text) <= 90 and not (text in self._not and len(text.split()) >= 3):
                made += 1
                yield kind, text

    def reading(self) -> str:
        """A reading: plain ones, that make the most of what is said, and any that the grammar has."""
        draw = self._draw
        plain: list[Callable[[], str]] = [
            lambda: f"{draw.choice(_ASPECTS)} {length(draw)}",
            lambda: length(draw),
            lambda: f"{pitch(draw)} {draw.choice(['pitch', 'threads per inch', 'pitch', 'thread pitch'])}",
            lambda: f"{degrees(draw)} {draw.choice(['', 'flare', 'cone', 'seat'])}",
            lambda: f"m {whole(draw.randint(5, 64))} by {draw.choice(_METRIC_PITCHES)}",
        ]
        return (
            draw.choice(plain)()
            if draw.random() < 0.45
            else self._derive.phrase(draw.choice(["said", "said", "said", "turn"]))
        )

    def together(self) -> str:
        """Two or three readings in one breath."""
        parts = [self.reading() for _ in range(self._draw.choice([2, 2, 3]))]
        return self._draw.choice([", ", " ", ", ", " and "]).join(parts).replace(" ,", ",")

    def surrounded(self) -> str:
        """A reading or command with fillers, hedges and corrections around it."""
        draw = self._draw
        inner = self.reading() if draw.random() < 0.8 else self._derive.phrase("command")
        kind = draw.random()
        if kind < 0.35:
            return f"{draw.choice(_CORRECTING)} {inner}"
        before = f"{draw.choice(_BEFORE)} " if kind < 0.85 else ""
        return f"{before}{inner}" + (f" {draw.choice(_AFTER)}" if kind > 0.7 else "")

    def alike(self) -> str:
        """Teens and tens, and what else sounds alike, where the end of the word is easily lost."""
        draw = self._draw
        number = whole(draw.choice(TEENS_AND_TENS))
        tail = draw.choice(["", f" point {ONES[draw.randint(0, 9)]}", " point five", " and a half"])
        unit = draw.choice(
            ["", " millimeters", " millimeter", " pitch", " degrees", " inches", " threads per inch", " bar"]
        )
        lead = draw.choice(
            ["", "outside ", "inside ", "the ", "dash ", "m ", "hex ", "bore ", "about ", "port ", "for "]
        )
        return f"{lead}{number}{tail}{unit}"

    def number(self) -> str:
        """Numbers and dates as people read them out."""
        draw = self._draw
        makers: list[Callable[[], str]] = [
            lambda: digits(draw.randint(1, 4), draw),
            lambda: digits(draw.randint(5, 10), draw),
            lambda: whole(some_whole(draw, 0, 999), draw),
            lambda: f"{whole(draw.randint(1, 99))} {whole(draw.randint(10, 99))}",
            lambda: f"{whole(draw.randint(1, 99))} {digits(2, draw)}",
            lambda: f"{draw.choice(['enter', 'enter', 'go', 'erase'])} {whole(draw.randint(1, 9999), draw)}",
            lambda: f"{whole(some_whole(draw, 1, 999), draw)} point {digits(draw.randint(1, 3), draw)}",
            lambda: decimal(f"{draw.randint(0, 99)}.{draw.randint(0, 99)}", draw),
            lambda: f"{draw.choice(_MONTHS)} {draw.choice(_ORDINALS)} nineteen {whole(draw.randint(10, 99))}",
        ]
        return draw.choice(makers)()

    def spelled(self) -> str:
        """Letters: names spelled out, in letters or in words that stand for them, with figures."""
        draw = self._draw
        if draw.random() < 0.5:
            return " ".join(draw.choice(_LETTERS) for _ in range(draw.randint(2, 8)))
        return " ".join(draw.choice([*_SPOKEN_LETTERS, *ONES[:10]]) for _ in range(draw.randint(1, 4)))

    def hose_print(self) -> str:
        """What is printed on a hose: construction, size, pressure, date."""
        draw = self._draw
        stem = draw.choice(_HOSE_STEMS).format(whole(draw.randint(1, 17)))
        tail = [f"dash {whole(draw.randint(2, 32))}", f"{whole(draw.randrange(10, 450, 5), draw)} bar",
                f"e n {whole(draw.randint(853, 857), draw)}", millimetres(draw), ""]  # fmt: skip
        return f"{stem} {draw.choice(tail)}"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.sentences", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("count", type=int)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    lines = [f"{kind}\t{text}\n" for kind, text in Texts(options.seed).some(options.count)]
    options.out.write_text("".join(lines), encoding="utf-8")
    print(f"{len(lines)} texts, {len(set(lines))} different, in {options.out}")


if __name__ == "__main__":
    main()
