"""One registry: an entry has a function, a function has an entry; each phrase is understood, answered and helped."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from voicefit.dialogue import Knowledge
from voicefit.dialogue.functions import FUNCTIONS, collected
from voicefit.dialogue.functions.hoses import FLUIDS
from voicefit.dialogue.registry import Function, parse
from voicefit.errors import BadGrammar
from voicefit.records import Command

SLOTS = {
    "series": "british taper",
    "number": "one",
    "reading": "eighteen pitch",
    "name": "alpha bravo one two",
    "term": "seat",
    "measured": "pitch",
}
PHRASES = [
    (function, phrase) for function in knowledge_of_the_project().registry.functions for phrase in function.phrases
]
# What must have happened for a function to have something to work on; the others work at any time.
IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


def test_every_entry_has_a_function_and_every_function_an_entry(knowledge: Knowledge) -> None:
    assert set(FUNCTIONS) == {function.id for function in knowledge.registry.functions}


@pytest.mark.parametrize(("function", "phrase"), PHRASES, ids=[f"{f.id}: {p}" for f, p in PHRASES])
def test_phrase_calls_its_function(knowledge: Knowledge, function: Function, phrase: str) -> None:
    best = knowledge.language.interpret(phrase.format(**SLOTS))[0]
    (item,) = best.items
    assert isinstance(item, Command)
    assert item.name == function.id
    if "reading" in function.slots and "{reading}" in phrase:
        assert item.readings
    elif "{" in phrase:
        assert item.argument


@pytest.mark.parametrize("before", ["", "nineteen pitch", IDENTIFIED], ids=["fresh", "one reading", "identified"])
@pytest.mark.parametrize(("function", "phrase"), PHRASES, ids=[f"{f.id}: {p}" for f, p in PHRASES])
def test_function_answers(knowledge: Knowledge, function: Function, phrase: str, before: str) -> None:
    talk = Talk(knowledge)
    if before:
        talk.say(before)
    reply = talk.say(phrase.format(**SLOTS))
    assert reply or talk.deeds, "neither words nor a deed"
    assert talk.replayed().record == talk.session.record


def test_every_help_line_is_read_out(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    heard = talk.say("help")
    for _ in range(len(knowledge.registry.functions)):
        heard += " " + talk.say("more")
        if "That was all." in heard:
            break
    for function in knowledge.registry.functions:
        assert function.help in heard


def test_help_names_first_what_makes_sense_now(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(IDENTIFIED)
    talk.say("help")
    assert talk.say("more").startswith("What fits names what it mates with.")


def test_fluids_are_those_of_the_table(knowledge: Knowledge) -> None:
    assert set(FLUIDS) == set(knowledge.aftercare.ordering.fluids)


def test_two_functions_of_one_name_are_an_error() -> None:
    with pytest.raises(ValueError, match="two functions"):
        collected({"a": FUNCTIONS["yes"]}, {"a": FUNCTIONS["no"]})


ENTRY = '[[command]]\nid = "{id}"\ngroup = "g"\nphrases = {phrases}\nhelp = "{help}"\n'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (ENTRY.format(id="a", phrases='["Upper case"]', help="Help."), "lower-case"),
        (ENTRY.format(id="a", phrases='["a {thing}"]', help="Help."), "unknown slot"),
        (ENTRY.format(id="a", phrases="[]", help="Help."), "phrases"),
        (ENTRY.format(id="a", phrases='["a"]', help="Press 1."), "cannot be spoken"),
        (ENTRY.format(id="a", phrases='["a"]', help="Help.") * 2, "is taken by"),
        (ENTRY.format(id="a", phrases='["a"]', help="Help.") + 'when = ["never"]\n', "unknown situation"),
        ("[[command]\n", "TOML"),
    ],
)
def test_a_wrong_entry_is_named(text: str, says: str) -> None:
    with pytest.raises(BadGrammar, match=says):
        parse(text)
