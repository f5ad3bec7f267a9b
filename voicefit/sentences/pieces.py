"""Word pieces: a text as the numbers that the classifier reads, and where each stands. Training uses the same."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

_WORD = re.compile(r"[a-z]+|[^\sa-z]")
_GOES_ON = "##"  # before a piece that is not the first of its word
BEGINS, ENDS, UNKNOWN = "[CLS]", "[SEP]", "[UNK]"
MOST = 48  # pieces of a text
LONGEST_WORD = 100  # letters: what is longer is no word, and cutting it takes the square of its length (as BERT does)


class WordPiece(NamedTuple):
    """A word piece: its number, and the place of its word in the text; the marks at both ends have an empty one."""

    number: int
    start: int
    end: int


def pieces(text: str, vocabulary: Mapping[str, int], most: int = MOST) -> list[WordPiece]:
    """The pieces of a text, from beginning to end mark; what is beyond ``most`` is left out.

    >>> [piece.number for piece in pieces("Nuts", {"[CLS]": 0, "[SEP]": 1, "[UNK]": 2, "nut": 3, "##s": 4})]
    [0, 3, 4, 1]
    """
    found = [WordPiece(vocabulary[BEGINS], 0, 0)]
    for word in _WORD.finditer(text.lower().replace("’", "'")):
        found += [WordPiece(number, word.start(), word.end()) for number in _of_word(word[0], vocabulary)]
    return [*found[: most - 1], WordPiece(vocabulary[ENDS], len(text), len(text))]


def _of_word(word: str, vocabulary: Mapping[str, int]) -> list[int]:
    """The longest pieces, from the left; one unknown where the word is too long or cannot be made of them."""
    if len(word) > LONGEST_WORD:
        return [vocabulary[UNKNOWN]]
    found: list[int] = []
    at = 0
    while at < len(word):
        lead = _GOES_ON if at else ""
        end = next((end for end in range(len(word), at, -1) if lead + word[at:end] in vocabulary), at)
        if end == at:
            return [vocabulary[UNKNOWN]]
        found.append(vocabulary[lead + word[at:end]])
        at = end
    return found
