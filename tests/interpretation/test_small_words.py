"""Sentences of small words: whatever they mean, they are understood as something or refused, and nothing fails."""

from __future__ import annotations

import math
import random

import pytest

from voicefit.interpretation import Language
from voicefit.interpretation.tokens import word_set
from voicefit.records import Context, Reading

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
