"""Whoever asks states nothing; and what only begins like a question is a statement."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Option, Reading


@pytest.mark.parametrize("text", ["is this British", "could it be tapered", "was that a stud", "would they be metric"])
def test_whether_it_is_so_asks_where_we_are(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Command)
    assert not item.readings


@pytest.mark.parametrize("text", ["does it take a bonded washer", "is there an o-ring in the face"])
def test_whether_something_seals_it_asks_what_seals_it(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Command)
    assert item.name == "what-seals-it"


@pytest.mark.parametrize(
    ("text", "meant"),
    [("what it has is a flat face", "seat_form flat"), ("what you feel is a washer", "seal washer")],
)
def test_a_statement_may_begin_with_what(language: Language, text: str, meant: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meant


@pytest.mark.parametrize("text", ["is it sixty or fifty five", "is sixty degrees or fifty five", "is male or female"])
def test_whoever_asks_for_one_of_two_states_neither(language: Language, text: str) -> None:
    for meaning in language.interpret(text, Context()):
        assert not any(isinstance(item, Reading) for item in meaning.items)


@pytest.mark.parametrize("text", ["fifteen L nut go on it", "a twelve male fit on this"])
def test_a_question_may_lack_its_verb(language: Language, text: str) -> None:
    for meaning in language.interpret(text, Context()):
        assert not any(isinstance(item, Reading) for item in meaning.items)


@pytest.mark.parametrize(
    "text",
    [
        "is three quarters the same as a dash twelve",
        "isn't nineteen a British thread",
        "by nose do you mean the bit that sticks out",
        "male would be which one now",
    ],
)
def test_a_question_may_name_the_thing_before_it_asks(language: Language, text: str) -> None:
    for meaning in language.interpret(text, Context()):
        assert not any(isinstance(item, Reading) for item in meaning.items)


@pytest.mark.parametrize("text", ["it does, doesn't it", "it is, isn't it", "there is, isn't there", "it is isn't it"])
def test_what_is_asked_behind_an_answer_does_not_deny_it(language: Language, text: str) -> None:
    context = Context(expected=(Measurand.SHAPE,), yes_no=True, asked=Option(Measurand.SHAPE, "banjo"))
    (item,) = language.interpret(text, context)[0].items
    assert isinstance(item, Command)
    assert item.name == "yes"
