"""Texts in ordinary wording, as people talk: from lists of sentences, one a line.

    python -m training.ordinary COUNT OUT.tsv LIST... [--without LIST...] [--seed N]

Every sentence comes as it stands; the rest of COUNT are the same with other numbers, the beginning of one with the end
of another, and two in one breath. What is put together so makes little sense, which is meant: who hears it has the
sound alone to go by, and does not learn the sentences by heart.

Duty: kind and text, one a line. It must not speak them, nor know what they mean.
"""

from __future__ import annotations

import argparse
import random
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from training.figures import ONES, TENS

KIND = "ordinary"
_LONGEST = 90
_ONES = tuple(ONES[2:])
_NUMBER = re.compile(rf"\b({'|'.join(TENS)}|{'|'.join(sorted(_ONES, key=len, reverse=True))})\b")
_SAID = re.compile(r"[A-Za-z ,.'?!-]+")


def texts(lines: Iterable[str], count: int, draw: random.Random) -> Iterator[str]:
    """The lines, those with figures or signs left out, then others made of them, ``count`` together."""
    said = [line for line in dict.fromkeys(map(str.strip, lines)) if _SAID.fullmatch(line) and len(line) <= _LONGEST]
    yield from said[:count]
    made = len(said)
    while made < count:
        text = draw.choice((_renumbered, _spliced, _spliced, _together))(said, draw)
        if len(text) <= _LONGEST:
            made += 1
            yield text


def _renumbered(said: list[str], draw: random.Random) -> str:
    """
    >>> _renumbered(["no pitch here"], random.Random(1))
    'no pitch here'
    """
    return _NUMBER.sub(lambda found: draw.choice(TENS if found[0] in TENS else _ONES), draw.choice(said))


def _spliced(said: list[str], draw: random.Random) -> str:
    before, after = (draw.choice(said).rstrip(".?!").split() for _ in range(2))
    return " ".join(before[: draw.randint(1, len(before))] + after[draw.randrange(len(after)) :])


def _together(said: list[str], draw: random.Random) -> str:
    return draw.choice([", ", " ", " and "]).join(draw.choice(said).rstrip(".?!") for _ in range(2))


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m training.ordinary", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("count", type=int)
    parser.add_argument("out", type=Path)
    parser.add_argument("lists", type=Path, nargs="+")
    parser.add_argument("--without", type=Path, nargs="*", default=[], help="lists of what is measured with")
    parser.add_argument("--seed", type=int, default=7)
    options = parser.parse_args()
    measured = {_plain(line) for path in options.without for line in _lines(path)}
    lines = [line for path in options.lists for line in _lines(path) if _plain(line) not in measured]
    with options.out.open("w", encoding="utf-8") as file:
        file.writelines(f"{KIND}\t{text}\n" for text in texts(lines, options.count, random.Random(options.seed)))


def _lines(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").splitlines()


def _plain(text: str) -> str:
    return re.sub(r"[^a-z]", "", text.lower())


if __name__ == "__main__":
    main()
