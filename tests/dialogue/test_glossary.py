"""Every word of the trade that the tool itself speaks is explained when it is asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from voicefit.dialogue import Knowledge
from voicefit.records import Command, Context
from voicefit.resources import grammar_folder

# Words of the trade in prompts, how-tos, cautions and replies: common practice, no source.
SPOKEN = (
    "adapter", "bar", "banjo", "bore", "caliper", "chamfer", "convex", "crests", "cutting ring", "flange", "flanks",
    "flats", "flare", "identified", "jaws", "leaf", "male", "mouth", "newton meters", "nominal", "o-ring", "pitch",
    "port", "seat", "series", "shank", "shoulder", "slip", "spot face", "straight edge", "stud", "tapered",
    "to be sure", "very likely", "washer",
)  # fmt: skip
ASKED = ("minor diameter", "u n f", "spigot", "included angle", "p s i", "dash", "half angle", "lubricated")


@pytest.fixture(scope="module")
def spoken() -> str:
    return " ".join(Path(each).read_text(encoding="utf-8").casefold() for each in grammar_folder().glob("*.toml"))


@pytest.mark.parametrize("word", [*SPOKEN, *ASKED])
def test_what_it_says_it_explains(knowledge: Knowledge, word: str) -> None:
    asked = f"what does {word.replace('-', ' ')} mean"
    items = knowledge.language.interpret(asked, Context())[0].items
    assert [item.name for item in items if isinstance(item, Command)] == ["what-is"], items
    (command,) = items
    assert isinstance(command, Command) and command.argument in knowledge.glossary.means


@pytest.mark.parametrize("word", SPOKEN)
def test_the_words_of_the_list_are_spoken(spoken: str, word: str) -> None:
    assert re.search(rf"\b{re.escape(word)}\b", spoken)


@pytest.mark.parametrize(
    ("asked", "term"),
    [
        ("what means look-alike", "to-be-sure"),
        ("what is meant by a seal", "what-seals"),
        ("what is a seal", "what-seals"),
    ],
)
def test_it_is_asked_in_other_words_too(knowledge: Knowledge, asked: str, term: str) -> None:
    items = knowledge.language.interpret(asked, Context())[0].items
    assert [(item.name, item.argument) for item in items if isinstance(item, Command)] == [("what-is", term)]
