from __future__ import annotations

import random
import re

import pytest

from voicefit.errors import BadGrammar
from voicefit.interpretation import Language
from voicefit.recognition.constraint import Constraint, Prefix
from voicefit.recognition.vocabulary import END, Vocabulary, read_vocabulary
from voicefit.recognition.weights import TOKENS, find_weights
from voicefit.records import Context, Rejection

GRAMMAR = """
start: number (" " number)* | "start over"
number: "one" | "two" | "thirty" (" " "one")? | digit+ ("." digit+)?
digit: /[0-9]/
"""
LANGUAGE = re.compile(r"number( number)*|start over".replace("number", r"(one|two|thirty( one)?|[0-9]+(\.[0-9]+)?)"))


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return read_vocabulary(find_weights() / TOKENS)


@pytest.fixture(scope="module")
def constraint(vocabulary: Vocabulary) -> Constraint:
    return Constraint(vocabulary, GRAMMAR)


def write(constraint: Constraint, vocabulary: Vocabulary, *words: str) -> Prefix | None:
    """The prefix after the model's own tokens, or ``None`` where one of them is not allowed."""
    tokens = {word: token for token, word in reversed(list(enumerate(vocabulary.written)))}
    prefix = Prefix()
    for word in words:
        left = word.encode()
        while left:
            piece = next(left[:size] for size in range(len(left), 0, -1) if left[:size] in tokens)
            if tokens[piece] not in constraint.allowed(prefix):
                return None
            prefix = constraint.follow(prefix, tokens[piece])
            left = left[len(piece) :]
    return prefix


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ([" Thirty", "-", "one"], "thirty one"),
        ([" one", ",", " two", "."], "one two"),
        ([" One", ".", " Two"], "one two"),
        ([" ", "1", ".", "5"], "1.5"),
        ([" ", "1", ".", " two"], "1 two"),
        ([" ", "1", "5", ",", "2"], "152"),
        (["Start", " over", "!"], "start over"),
    ],
)
def test_what_the_model_writes_is_read_as_the_grammar_has_it(
    constraint: Constraint, vocabulary: Vocabulary, words: list[str], text: str
) -> None:
    prefix = write(constraint, vocabulary, *words)
    assert prefix is not None and prefix.text.decode().strip() == text
    assert END in constraint.allowed(prefix)


@pytest.mark.parametrize(
    "words",
    [[" three"], [" one", "one"], [",", " one"], [" one", ",", "two"], [" one", ",", ","], [" thirty", " ", " "]],
)
def test_what_is_outside_is_not_allowed(constraint: Constraint, vocabulary: Vocabulary, words: list[str]) -> None:
    assert write(constraint, vocabulary, *words) is None


def test_a_comma_does_not_end_a_text(constraint: Constraint, vocabulary: Vocabulary) -> None:
    prefix = write(constraint, vocabulary, " one", ",")
    assert prefix is not None and END not in constraint.allowed(prefix)


def test_any_walk_stays_inside_the_language(constraint: Constraint) -> None:
    draw = random.Random(7)
    finished = 0
    for _ in range(300):
        prefix = Prefix()
        for _ in range(12):
            token = int(draw.choice(constraint.allowed(prefix)))
            if token == END:
                assert LANGUAGE.fullmatch(prefix.text.decode().strip()), prefix
                finished += 1
                break
            prefix = constraint.follow(prefix, token)
    assert finished > 50


def test_resting_changes_no_answer(vocabulary: Vocabulary) -> None:
    rested, other = Constraint(vocabulary, GRAMMAR), Constraint(vocabulary, GRAMMAR)
    for text in (b"", b" thirty", b" 1", b" thirty one", b" thirty", b""):
        for mark in (b"", b".", b","):
            assert list(rested.allowed(Prefix(text, mark))) == list(other.allowed(Prefix(text, mark)))
            rested.rest()


def test_a_grammar_that_does_not_compile_is_named(vocabulary: Vocabulary) -> None:
    with pytest.raises(BadGrammar, match="no_such_rule"):
        Constraint(vocabulary, "start: no_such_rule")
    with pytest.raises(BadGrammar, match="no rule named start"):
        Constraint(vocabulary, 'begin: "one"')


def test_walks_through_the_products_grammar_are_understood_by_it(vocabulary: Vocabulary, language: Language) -> None:
    """What the engine may write, the interpreter reads: random walks come back as readings, commands, or values that
    are refused by name; the rest are filling words without anything to fill."""
    constraint = Constraint(vocabulary, language.constraint(Context()))
    draw = random.Random(11)
    read, refused = 0, []
    for _ in range(60):
        prefix = Prefix()
        for _ in range(30):
            allowed = constraint.allowed(prefix)
            token = END if END in allowed and draw.random() < 0.7 else int(draw.choice(allowed))
            if token == END:
                break
            prefix = constraint.follow(prefix, token)
        if END not in constraint.allowed(prefix):
            continue
        text = prefix.text.decode().strip()
        items = language.interpret(text, Context())[0].items
        foreign = [item for item in items if isinstance(item, Rejection) and item.reason == "out_of_grammar"]
        refused += [text] if foreign else []
        read += 1
    assert read > 10 and len(refused) <= read / 5, refused
