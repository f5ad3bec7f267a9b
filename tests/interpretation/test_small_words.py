"""Sentences of small words: whatever they mean, they are understood as something or refused, and nothing fails."""

from __future__ import annotations

import math
import random

import pytest

from voicefit.interpretation import Language
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Context, Measurand, Reading

SMALL = sorted(
    word_set(
        "is are was it this that these all right so either one kind or and the a not no yes then too what why how can "
        "do i you for of to on in both other end same if me my really actually after instead maybe than as with without"
    )
)


@pytest.mark.parametrize("seed", range(8))
def test_no_sentence_of_small_words_fails(language: Language, seed: int) -> None:
    chosen = random.Random(seed)
    for _ in range(25):
        text = " ".join(chosen.choices(SMALL, k=chosen.randint(1, 5)))
        found = language.interpret(text, Context())
        assert found and all(meaning.items for meaning in found), text
        assert math.isclose(sum(math.exp(meaning.log_weight) for meaning in found), 1.0), text


@pytest.mark.parametrize("text", ["is this all", "is that all", "are these all", "is it right then", "is this one"])
def test_a_question_that_names_nothing_is_none_about_an_end(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text, Context())[0].items)


@pytest.mark.parametrize("yeah", ["yeah", "yep", "aye"])
@pytest.mark.parametrize("said", ["{} thirty degrees", "{} it's thirty degrees", "thirty degrees {}"])
def test_a_yeah_beside_a_value_that_was_not_asked_for_by_yes_or_no_says_nothing(
    language: Language, said: str, yeah: str
) -> None:
    (reading,) = language.interpret(said.format(yeah), Context(expected=(Measurand.SEAL,)))[0].items
    assert isinstance(reading, Reading)
    assert reading.options[0].measurand is Measurand.SEAT_ANGLE


@pytest.mark.parametrize("what", ["speak slower", "speak faster"])
def test_how_something_is_done_by_saying_so_does_it_and_explains_nothing(language: Language, what: str) -> None:
    (command,) = language.interpret(f"how do I make it {what}", Context())[0].items
    assert isinstance(command, Command)
    assert command.name == what.split()[-1]


@pytest.mark.parametrize(
    "said",
    ["it's buried behind the pump", "out of reach", "no access", "tucked away under the tank", "not really",
     "it's up inside the frame", "hard to say", "couldn't tell you"],
)  # fmt: skip
def test_what_is_out_of_reach_cannot_be_told(language: Language, said: str) -> None:
    items = language.interpret(said, Context(expected=(Measurand.SEAL,)))[0].items
    told = [item.name for item in items if isinstance(item, Command)]
    assert told == ["cannot-tell"]
