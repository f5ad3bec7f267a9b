"""Words of the trade explained for the ear, and readings by the name of what they are of: ``grammar/glossary.toml``.

Duty: parse and validate. What is said with them is for the functions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from voicefit import toml_data
from voicefit.errors import BadGrammar
from voicefit.records import Measurand

FILE = "glossary.toml"
MOST_WORDS = 25
Words = Annotated[tuple[str, ...], Field(min_length=1)]


class _Term(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    words: Words
    means: Annotated[str, Field(pattern=r"^[A-Z][A-Za-z,.:; '-]*\.$")]


class _Thing(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    words: Words
    of: frozenset[Measurand]


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    term: tuple[_Term, ...]
    thing: tuple[_Thing, ...]


@dataclass(frozen=True, slots=True)
class Glossary:
    """``means`` : by term, its explanation. ``things`` : by name, the measurands that it stands for."""

    means: Mapping[str, str]
    things: Mapping[str, frozenset[Measurand]]
    words: Mapping[str, Mapping[str, Sequence[str]]]  # by slot of the commands, what each is called


def parse(texts: Mapping[str, str]) -> Glossary:
    """The glossary of the ``glossary.toml`` among ``texts``.

    Raises ``BadGrammar`` naming the entry and what is wrong with it.
    """
    file = toml_data.read(texts, FILE, _File, toml_data.in_grammar)
    for term in file.term:
        if len(term.means.split()) > MOST_WORDS:
            raise BadGrammar(FILE, term.id, f"more than {MOST_WORDS} words")
    words = {
        "term": {each.id: each.words for each in file.term},
        "measured": {each.id: each.words for each in file.thing},
    }
    return Glossary({each.id: each.means for each in file.term}, {each.id: each.of for each in file.thing}, words)
