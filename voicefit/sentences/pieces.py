"""Word pieces: a text as the numbers that the classifier reads. Training uses the same."""

from __future__ import annotations

import re
from collections.abc import Mapping

_WORD = re.compile(r"[a-z]+|[^\sa-z]")
_GOES_ON = "##"  # before a piece that is not the first of its word
BEGINS, ENDS, UNKNOWN = "[CLS]", "[SEP]", "[UNK]"
MOST = 48  # pieces of a text
LONGEST_WORD = 100  # letters: what is longer is no word, and cutting it takes the square of its length (as BERT does)


def pieces(text: str, vocabulary: Mapping[str, int], most: int = MOST) -> list[int]:
    """The numbers of the pieces of a text, from beginning to end mark; what is beyond ``most`` is left out.

    >>> pieces("Nuts", {"[CLS]": 0, "[SEP]": 1, "[UNK]": 2, "nut": 3, "##s": 4})
    [0, 3, 4, 1]
    """
    found = [vocabulary[BEGINS]]
    for word in _WORD.findall(text.lower().replace("’", "'")):
        found += _of_word(word, vocabulary)
    return [*found[: most - 1], vocabulary[ENDS]]


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
