"""The grammars that the hearing benchmark can hold an engine to, by name.

Duty: for each, the language, the question that was open when a row was spoken, and what counts as the same meaning.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass

from benchmarks.census import QUESTIONS, Census, context_of, flatten
from voicefit.driver import open_knowledge
from voicefit.driver.labelled import ReadAloud
from voicefit.recognition import SpokenLanguage
from voicefit.records import Context, Measurand, item_key

# What each prompt of the human corpus asked for, by the first part of the file's name; the rest were control words.
_ASKED = {"cen3": "house", "cen6": "postal", "cen7": "telephone", "cen8": "birth"}


@dataclass(frozen=True, slots=True)
class Grammar:
    """``context`` of a row; ``meaning`` of a text, ``None`` for no meaning; ``words`` for the word error."""

    language: SpokenLanguage
    context: Callable[[ReadAloud], Context]
    meaning: Callable[[str], object]
    words: Callable[[str], list[str]]


def census(grammar: str) -> Grammar:
    return Grammar(Census(grammar), _question, lambda text: flatten(text) or None, _symbols)


def product() -> Grammar:
    language = open_knowledge().language

    def meaning(text: str) -> object:
        found = language.interpret(text)
        return tuple(item_key(item) for item in found[0].items) if found else None

    def context(row: ReadAloud) -> Context:
        return Context(expected=(Measurand(row.asked),)) if row.asked else Context()

    return Grammar(language, context, meaning, lambda text: re.findall(r"[a-z']+|\d+", text.lower()))


GRAMMARS: dict[str, Callable[[], Grammar]] = {
    "numbers": lambda: census("numbers"),
    "dates": lambda: census("dates"),
    "product": product,
}


_CENSUS = {"date": "dates", "number-or-command": "numbers"}


def grammars_for(kinds: Collection[str]) -> Callable[[str], str]:
    """The grammar that each kind of a corpus' utterances is held to when none is named: those of the human corpus to
    the one that fits them, and all of any other corpus to the product's."""
    other = "numbers" if _CENSUS.keys() & set(kinds) else "product"
    return lambda kind: _CENSUS.get(kind, other)


def _question(row: ReadAloud) -> Context:
    """The question of the prompt. What no grammar fits is put to the questions in turn."""
    if row.kind in ("number-or-command", "date"):
        return context_of(_ASKED.get(row.file.partition("-")[0], "control"))
    return context_of(QUESTIONS[hashlib.sha256(row.file.encode()).digest()[0] % len(QUESTIONS)])


def _symbols(text: str) -> list[str]:
    """Digits and words of the flattened text: fifteen and one five are the same."""
    return re.findall(r"[a-z]+|\d", flatten(text))
