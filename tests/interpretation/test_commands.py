"""Every phrase of ``grammar/commands.toml`` calls its function, and nothing else."""

from __future__ import annotations

import math
import tomllib

import pytest

from tests.interpretation.writing import accepts, matcher
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand
from voicefit.resources import grammar_folder, read_texts

FILE = tomllib.loads(read_texts(grammar_folder(), ".toml")["commands.toml"])
PHRASES = [
    (entry["id"], phrase)
    for entry in FILE["command"]
    for phrase in entry["phrases"]
    if not {"{term}", "{measured}"} & set(phrase.split())
]
FIRST = frozenset((entry["id"], entry["phrases"][0]) for entry in FILE["command"])  # as a sentence and politely, too
FILLED = {
    "{series}": ("JIC", "flare37"),
    "{number}": ("two", "2"),
    "{reading}": ("eighteen pitch", None),
    "{name}": ("alpha bravo one", "AB1"),
}
CLEAR = 0.9


@pytest.mark.parametrize(("name", "phrase"), PHRASES, ids=lambda value: value)
def test_phrase_calls_its_function(language: Language, name: str, phrase: str) -> None:
    argument, written = None, phrase
    for slot, (words, value) in FILLED.items():
        if slot in phrase:
            phrase, argument = phrase.replace(slot, words), value
    first = (name, written) in FIRST
    for text in (phrase, *((f"{phrase.capitalize()}.", f"please {phrase}") if first else ())):
        meaning = language.interpret(text, Context())[0]
        (command,) = meaning.items
        assert isinstance(command, Command)
        assert (command.name, command.argument) == (name, argument)
        assert math.exp(meaning.log_weight) > CLEAR
        assert [reading.measurands for reading in command.readings] == (
            [{Measurand.PITCH}] if "eighteen" in phrase else []
        )


def test_commands_can_be_said_whatever_was_asked(language: Language) -> None:
    for context in (Context(), Context(expected=(Measurand.SEAL,), yes_no=True), Context(expected=(Measurand.LENGTH,))):
        whole = matcher(language.constraint(context))
        for _, phrase in PHRASES:
            if "{" not in phrase:
                assert accepts(whole, phrase), phrase
