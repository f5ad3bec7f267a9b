"""Dialect, haste and English as a second language, in standard words: "cone's stickin' oot", "it no have washer".

How it works. ``grammar/dialect.toml`` has the standard words and the ways in which they are also said. At each place of
the tokens the longest such way is replaced, never across a pause. Four families are read without being listed:

- "-in'" for "-ing", and "-in" where only "-ing" is a word of the grammar;
- any "-nae" of a short verb ("wisnae", "hasny") is its "not", however it is spelled;
- "did" insists: "the gauge did show light";
- a bare "no" or "not" before a verb is "does not": "cone no stick out".

Duty: standard tokens in the place of others, each with the place in the text of what it stands for. It must not know
what any word means but "no" and "not".
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field, replace

from voicefit.interpretation.tokens import Token, tokenise

_NOT = ("does", "not")
_QUESTIONS = frozenset({"what", "which", "who", "how", "why", "where", "when", "and", "so", "but", "neither", "nor"})
_INSISTS = frozenset({"does", "did"})
_O, _OF = "o", "of"
_RINGS = frozenset({"ring", "rings", "clock"})
_BARE = frozenset({"no", "not"})
_DROPPED = "in"  # of "-ing"
_SHORTEST = 5  # letters: "pokin"
_NAE = re.compile(
    r"(?:(?P<was>w[aiu][sz])|(?P<has>h[aeu][szvd]?e?)|(?P<can>c[au]n?|c[ou]+l?d)|(?P<do>d[aeiuo]+[szd]?(?:es)?)"
    r"|(?P<will>w[aeiou]+l?[dl]?|sh[aeiou]+l?d)|(?P<is>is|ar|are|ai))(?:nae|nay|nea|ney|ny|na)"
)


@dataclass(frozen=True, slots=True)
class Dialect:
    """``said`` : the ways, as words -> the standard words. ``verbs`` : after a bare "no" they are denied, but where
    one of the ``helpers`` stands before it."""

    said: Mapping[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)
    verbs: frozenset[str] = frozenset()
    helpers: frozenset[str] = frozenset()
    longest: int = 0

    @classmethod
    def read(
        cls,
        table: Mapping[str, Sequence[str]],
        spellings: Mapping[str, str],
        verbs: Sequence[str] = (),
        helpers: Sequence[str] = (),
    ) -> Dialect:
        """From the standard words and, for each, the ways in which they are also said."""
        said = {_words(way, spellings): _words(standard, spellings) for standard, ways in table.items() for way in ways}
        return cls(said, frozenset(verbs), frozenset(helpers), max(map(len, said), default=0))


def standard(
    text: str, spellings: Mapping[str, str], dialect: Dialect, known: Set[str], numbers: Set[str]
) -> tuple[Token, ...]:
    """The tokens of a text in standard words; ``known`` : the words of the grammar, ``numbers`` : those of numbers."""
    tokens = tuple(_with_its_g(token, text, known) for token in tokenise(text, spellings))
    for _ in range(2):  # what was put in place may be a part of a longer way
        tokens = _replaced(tokens, dialect, known, numbers)
    return tokens


def _replaced(tokens: Sequence[Token], dialect: Dialect, known: Set[str], numbers: Set[str]) -> tuple[Token, ...]:
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        end, words = _way(tokens, at, dialect)
        if end == at and (nae := _NAE.fullmatch(tokens[at].text)) and tokens[at].text not in known:
            end, words = at + 1, (nae.lastgroup or "is", "not")
        if end == at and _denies_a_verb(tokens, at, dialect):
            end, words = at + 1, _NOT
        if end == at and (verb := _insisted(tokens, at, dialect)):
            end, words = at + 2, (verb,)
        if end == at and _is_clipped_of(tokens, at, numbers):
            end, words = at + 1, (_OF,)
        if end == at:
            found.append(tokens[at])
            at += 1
            continue
        first, last = tokens[at], tokens[end - 1]
        found.extend(
            Token(word, first.start, last.end, first.joined and not place, first.paused and not place)
            for place, word in enumerate(words)
        )
        at = end
    return tuple(found)


def _insisted(tokens: Sequence[Token], at: int, dialect: Dialect) -> str:
    """The verb that a "did" behind what it is said of insists on: "the gauge did show light"; else nothing."""
    if tokens[at].text not in _INSISTS or not 0 < at < len(tokens) - 1 or tokens[at].paused or tokens[at + 1].paused:
        return ""
    verb = next(
        (f"{tokens[at + 1].text}{end}" for end in ("s", "es") if f"{tokens[at + 1].text}{end}" in dialect.verbs), ""
    )
    return "" if tokens[at - 1].text in _QUESTIONS else verb


def _is_clipped_of(tokens: Sequence[Token], at: int, numbers: Set[str]) -> bool:
    """Whether an "o" stands between two words that it is no nought, no letter and no ring of: "a bit o tape"."""
    if tokens[at].text != _O or not 0 < at < len(tokens) - 1 or any(token.paused for token in tokens[at : at + 2]):
        return False
    words = {tokens[at - 1].text, tokens[at + 1].text}
    return all(word.isalpha() and len(word) > 1 for word in words) and words.isdisjoint(numbers | _RINGS)


def _words(text: str, spellings: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(token.text for token in tokenise(text, spellings))


def _way(tokens: Sequence[Token], at: int, dialect: Dialect) -> tuple[int, tuple[str, ...]]:
    """Where the longest way that begins here ends, and its standard words."""
    for end in range(min(at + dialect.longest, len(tokens)), at, -1):
        words = dialect.said.get(tuple(token.text for token in tokens[at:end]))
        if words is not None and not any(token.paused for token in tokens[at + 1 : end]):
            return end, words
    return at, ()


def _denies_a_verb(tokens: Sequence[Token], at: int, dialect: Dialect) -> bool:
    if tokens[at].text not in _BARE or at + 1 == len(tokens) or tokens[at + 1].paused:
        return False
    return tokens[at + 1].text in dialect.verbs and (at == 0 or tokens[at - 1].text not in dialect.helpers)


def _with_its_g(token: Token, text: str, known: Set[str]) -> Token:
    """ "Pokin" as "poking"."""
    word = token.text
    written = text[token.end : token.end + 1] in ("'", "’")
    if len(word) < _SHORTEST or not word.endswith(_DROPPED) or word in known:
        return token
    if f"{word}g" not in known and not written:
        return token
    return replace(token, text=f"{word}g", end=token.end + written)
