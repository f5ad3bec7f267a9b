"""The compact notation in which the files of ``grammar/`` write phrases, and its syntax tree.

    the outside [is] {diameter}        words, an optional part, a slot
    (male|external) thread             one of several
    <outside> {diameter}               the same words as in the list ``outside`` of words.toml
    JIC                                capitals: said letter by letter or as a word
    M~{metric-size}                    with or without a space between
    {int}.{int}                        written together: no space between
    {whole} and {fraction} -> sum @ -1 the operator that makes the value, and the log weight of the form
    {int}/{int} -> ratio !             understood, but not offered to a speech engine

Duty: read the notation and expand it into sequences. It must not know what any word or slot means.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise, product


class Join(Enum):
    """What stands between an element and the one before it."""

    SPACE = " "
    EITHER = "~"
    NOTHING = ""


@dataclass(frozen=True, slots=True)
class Word:
    """``spoken``: false for what is only written so: NPT as one word, mm."""

    text: str
    spoken: bool = True


@dataclass(frozen=True, slots=True)
class Slot:
    """A reference to a rule; ``keeps`` its value, or only its words."""

    name: str
    keeps: bool = True


@dataclass(frozen=True, slots=True)
class Sequence:
    parts: tuple[tuple[Join, Node], ...]


@dataclass(frozen=True, slots=True)
class Choice:
    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Optional:
    part: Node


Node = Word | Slot | Sequence | Choice | Optional
Symbol = Word | Slot
Flat = tuple[tuple[Join, Symbol], ...]
Phrase = tuple[Flat, ...]  # all the sequences of words and slots that a phrase stands for


@dataclass(frozen=True, slots=True)
class Form:
    """One phrase of a rule, with the operator that makes its value and the log weight of saying it so."""

    phrase: Phrase
    operator: str = ""
    log_weight: float = 0.0
    offered: bool = True


_TOKEN = re.compile(
    r"\s*(\{[a-z0-9-]+\}|<[a-z0-9-]+>|[\[\]()|~]|[A-Z]{2,}|[a-z]+(?:'[a-z]+)*|[A-Z]|\d+|[^\sA-Za-z0-9])"
)
_TAIL = re.compile(
    r"^(?P<phrase>.*?)(?:\s+->\s+(?P<operator>[a-z0-9 -]+?))?(?:\s+@\s+(?P<weight>-?\d+(?:\.\d+)?))?"
    r"(?P<kept>\s+!)?\s*$",
    re.S,
)
MOST_EXPANSIONS = 4096


class BadNotation(ValueError):
    """The phrase cannot be read; the text says what and at which letter."""


def parse_form(text: str) -> Form:
    """Read one form. Raises :class:`BadNotation`."""
    match = _TAIL.match(text)
    if match is None:
        raise BadNotation(f"cannot read {text!r}")
    weight = match["weight"]
    log_weight = float(weight) if weight else 0.0
    return Form(read_phrase(match["phrase"]), match["operator"] or "", log_weight, match["kept"] is None)


def read_phrase(text: str) -> Phrase:
    """All the sequences that one phrase stands for. Raises :class:`BadNotation`."""
    flats = _expand(_parse(text))
    for flat in flats:
        if not flat:
            raise BadNotation(f"{text!r} may be empty")
        for (_, one), (join, two) in pairwise(flat):
            if (
                join is Join.NOTHING
                and isinstance(one, Word)
                and isinstance(two, Word)
                and (one.text + two.text).isalpha()
            ):
                raise BadNotation(f"{one.text!r} and {two.text!r} of {text!r} are written together: write one word")
    return tuple(flats)


def _parse(text: str) -> Node:
    tokens = list(_tokens(text))
    node, at = _choice(tokens, 0, text)
    if at < len(tokens):
        raise BadNotation(f"unexpected {tokens[at][1]!r} at letter {tokens[at][2] + 1} of {text!r}")
    return node


def _tokens(text: str) -> Iterator[tuple[bool, str, int]]:
    """Whether white space lies before, the token, its place."""
    at = 0
    while at < len(text.rstrip()):
        match = _TOKEN.match(text, at)
        if match is None or match[1] in "{}<>":
            raise BadNotation(f"cannot read {text[at:].strip()[:12]!r} at letter {at + 1} of {text!r}")
        yield match.start(1) > at or at == 0, match[1], match.start(1)
        at = match.end()


def _choice(tokens: list[tuple[bool, str, int]], at: int, text: str) -> tuple[Node, int]:
    parts: list[Node] = []
    while True:
        part, at = _sequence(tokens, at, text)
        parts.append(part)
        if at == len(tokens) or tokens[at][1] != "|":
            return Choice(tuple(parts)), at
        at += 1


def _sequence(tokens: list[tuple[bool, str, int]], at: int, text: str) -> tuple[Node, int]:
    parts: list[tuple[Join, Node]] = []
    join = None
    while at < len(tokens):
        spaced, token, place = tokens[at]
        if token in ")]|":
            break
        if token == "~":
            join, at = Join.EITHER, at + 1
            continue
        join = join or (Join.SPACE if spaced or not parts else Join.NOTHING)
        node: Node
        if token in "([":
            node, at = _choice(tokens, at + 1, text)
            close = ")" if token == "(" else "]"
            if at == len(tokens) or tokens[at][1] != close:
                raise BadNotation(f"{token!r} at letter {place + 1} of {text!r} is not closed")
            node = Optional(node) if token == "[" else node
        elif token[0] == "{" and len(token) > 2:
            node = Slot(token[1:-1])
        elif token[0] == "<" and len(token) > 2:
            node = Slot(token[1:-1], keeps=False)
        elif token.isupper() and len(token) > 1:
            letters = Sequence(tuple((Join.SPACE, Word(letter)) for letter in token.lower()))
            node = Choice((Word(token.lower(), spoken=False), letters))
        else:
            node = Word(token.lower())
        parts.append((join, node))
        join, at = None, at + 1
    if not parts:
        raise BadNotation(
            f"nothing stands before letter {(tokens[at][2] if at < len(tokens) else len(text)) + 1} of {text!r}"
        )
    return Sequence(tuple(parts)), at


def _expand(node: Node) -> list[Flat]:
    if isinstance(node, Word | Slot):
        return [((Join.SPACE, node),)]
    if isinstance(node, Optional):
        return [(), *_expand(node.part)]
    if isinstance(node, Choice):
        return [flat for part in node.parts for flat in _expand(part)]
    lists = [[_joined(flat, join) for flat in _expand(part)] for join, part in node.parts]
    count = 1
    for each in lists:
        count *= len(each)
    if count > MOST_EXPANSIONS:
        raise BadNotation(f"the phrase stands for more than {MOST_EXPANSIONS} sequences")
    return [tuple(element for flat in flats for element in flat) for flats in product(*lists)]


def _joined(flat: Flat, join: Join) -> Flat:
    return ((join, flat[0][1]), *flat[1:]) if flat else flat


def slots(phrase: Phrase) -> Iterator[Slot]:
    """The slots in the phrase's sequences, in order."""
    return (symbol for flat in phrase for _, symbol in flat if isinstance(symbol, Slot))


def words(phrase: Phrase, *, spoken: bool = False) -> Iterator[str]:
    """The words in the phrase's sequences, slots left out; ``spoken``: without what is only written so."""
    for flat in phrase:
        for at, (join, symbol) in enumerate(flat):
            if isinstance(symbol, Word):
                only_written = not symbol.spoken or (at and join is Join.NOTHING)
                if not (spoken and only_written):
                    yield symbol.text


def unspoken(phrase: Phrase) -> Phrase:
    """The same phrase as one that is only written."""
    return tuple(
        tuple((join, replace(symbol, spoken=False) if isinstance(symbol, Word) else symbol) for join, symbol in flat)
        for flat in phrase
    )
