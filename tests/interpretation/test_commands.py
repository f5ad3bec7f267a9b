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
    if not {"{term}", "{measured}"} & set(phrase.split()) and entry["id"] != "screws"  # test_screws.py has its own
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


TOOLS = {
    "caliper": "no-caliper",
    "inch thread gauge": "no-pitch-gauge",
    "pitch gauge": "no-pitch-gauge",
    "seat gauge": "no-seat-gauge",
}


@pytest.mark.parametrize(("tool", "command"), TOOLS.items())
@pytest.mark.parametrize(
    "said",
    [
        "I have not the {}", "{} I lent out", "the {} I lent to my mate", "I've lent my {} out", "I haven't got my {}",
        "the {} is in the truck", "my mate has the {}", "lent the {} to somebody",
        "the {} is out on loan", "no {} on me", "I left the {} at home",
    ],
)  # fmt: skip
def test_each_tool_that_is_not_at_hand_is_its_own(language: Language, said: str, tool: str, command: str) -> None:
    (item,) = language.interpret(said.format(tool), Context(expected=(Measurand.OUTSIDE_DIAMETER,)))[0].items
    assert isinstance(item, Command)
    assert item.name == command
