"""Text, spoken or typed, as tokens: words, runs of digits and marks, each with its place in the text.

Duty: level the many ways of writing (capitals, hyphens, typographic quotes, fraction signs). It must not know
any word's meaning.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_FRACTION_SIGNS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_LEVEL = str.maketrans(
    {"’": "'", "‘": "'", "`": "'", "“": '"', "”": '"', "″": '"', "′": "'", "×": "x", "º": "°", "⁄": "/", "∕": "/"}
    | dict.fromkeys("‐‑‒–—−", "-")
)
# Typed: groups of three parted by a space (ISO 80000-1) are one number, where a group begins with nought or millimetres
# follow; "dash 12 350 bar" are two. More places than anything has are one token, and so refused: cut, it would be
# another; so is a power of ten, 1e3.
_PARTED = r"(?<![\d.,/a-z])\d{1,3}(?: \d{3})*(?: 0\d\d| \d{3}(?= ?mm\b))(?!\d)"
_TOKEN = re.compile(
    rf"\d+\.\d{{7,}}|\d+e[+-]?\d+|{_PARTED}|\d{{1,3}}(?:,\d{{3}})+(?!\d)|\d+|[a-z]+(?:'[a-z]+)*|[^\W\d_]+|[^\sa-z\d]"
)
_PAUSES = frozenset(",;!?()")
_NO_MORE = r"(?!\d|[,.]\d)"
_DECIMAL_COMMA = re.compile(rf"(?<!\d)(?<!\d[,.])(?:\d+,(?:\d{{1,2}}|\d{{4}})|0,\d{{3}}){_NO_MORE}")
# Behind letters that figures begin, as types of hose are printed, a hyphen is a mark: 2SN-8, 100R12-8; not 7/8in-14.
_PRINTED = re.compile(r"(?:\d(?!in\b|mm\b|cm\b|ft\b|m\b)[a-z]{1,3}|r\d\d|\dr\d)-(?=\d)")
_DOTTED = re.compile(r"\b(?:[a-z]\.){2,}")


_SHORT = {
    "can't": "can not",
    "cannot": "can not",
    "won't": "will not",
    "let's": "let us",
    "shan't": "shall not",
    "ain't": "is not",
}
_SHORT_ENDS = {"n't": "not", "'s": "is", "'re": "are", "'ve": "have", "'d": "would", "'ll": "will", "'m": "am"}


def expand(word: str) -> str:
    """A word that is short for two, as two; any other as it is. Phrases and texts are both read so.

    >>> [expand(word) for word in ("isn't", "nut's", "can't", "nut")]
    ['is not', 'nut is', 'can not', 'nut']
    """
    if word in _SHORT:
        return _SHORT[word]
    for end, full in _SHORT_ENDS.items():
        if word.endswith(end) and len(word) > len(end):
            return f"{word[: -len(end)]} {full}"
    return word


def word_set(words: str) -> frozenset[str]:
    """The words of a text, as a set."""
    return frozenset(words.split())


@dataclass(frozen=True, slots=True)
class Token:
    """``text`` levelled; ``start``, ``end`` in the original text; ``joined`` to the token before without a space;
    ``paused``: a comma or a stop lies before it."""

    text: str
    start: int
    end: int
    joined: bool
    paused: bool


def tokenise(text: str, spellings: Mapping[str, str] | None = None) -> tuple[Token, ...]:
    """The tokens of a text, words in the ``spellings`` (another spelling -> the grammar's own) replaced, short forms
    written out ("isn't", "the nut's").

    Hyphens and colons between words, commas and stops become joints, not tokens. A comma between digits is a decimal
    sign, as a caliper set so types it, except before three digits: 12,70 is 12.70, and 3,000 is three thousand.
    """
    tokens: list[Token] = []
    level, places = _levelled(text)
    printed = {match.end() - 1 for match in _PRINTED.finditer(level)}
    last_end, paused = -1, False
    for match in _TOKEN.finditer(level):
        word, start, end = match[0], match.start(), match.end()
        before, after = level[start - 1 : start], level[end : end + 1]
        if word in _PAUSES:
            paused, last_end = True, -1
            continue
        if word in ".:-'" and start not in printed and not _means_something(word, before, after):
            paused, last_end = paused or word in ".:", -1
            continue
        if word[0].isdecimal():
            word = word.replace(",", "").replace(" ", "")
        for part in expand((spellings or {}).get(word, word)).split():
            tokens.append(Token(part, places[start], places[end - 1] + 1, start == last_end, paused))
            paused = False
        last_end = end
    return tuple(tokens) or (tokenise(text) if spellings else ())  # "um" alone is what was said


def _means_something(mark: str, before: str, after: str) -> bool:
    """A decimal point, a colon between digits, a minus sign, a foot mark; else it only joins or parts words."""
    if mark == "'":
        return before.isdecimal()
    if mark == "-":
        return after.isdecimal() and not before.strip()
    return after.isdecimal() and (mark == "." or before.isdecimal())


def _levelled(text: str) -> tuple[str, list[int]]:
    """The levelled text, and for each of its letters the place in the original."""
    letters: list[str] = []
    places: list[int] = []
    for place, letter in enumerate(text):
        sign = _FRACTION_SIGNS.get(letter)
        new = (" " + sign if letters and letters[-1].isdecimal() else sign) if sign else letter.translate(_LEVEL)
        lower = new.casefold()
        new = lower if len(lower) == len(new) else new
        letters.append(new)
        places.extend([place] * len(new))
    level = _DECIMAL_COMMA.sub(lambda match: match[0].replace(",", "."), "".join(letters))
    return _DOTTED.sub(lambda match: match[0].replace(".", " "), level), places
