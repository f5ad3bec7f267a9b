from __future__ import annotations

import doctest
import random
from collections import Counter

import training.figures
import training.ordinary
import training.voices
import training.written_forms
from training.sentences import Texts
from training.tokens import Tokens
from training.written_forms import figures, forms
from voicefit.driver import open_knowledge
from voicefit.driver.read_aloud import sentences
from voicefit.recognition.weights import TOKENS, find_weights


def test_the_examples_hold() -> None:
    for module in (training.figures, training.ordinary, training.voices, training.written_forms):
        assert doctest.testmod(module).failed == 0


def test_texts_are_the_same_for_a_seed_and_hold_no_sentence_that_is_measured() -> None:
    texts = list(Texts(3).some(600))
    assert texts[:200] == list(Texts(3).some(200)) != list(Texts(4).some(200))
    measured = {each.text for each in sentences(520) if len(each.text.split()) >= 3}
    assert not measured & {text for _, text in texts}
    kinds = Counter(kind for kind, _ in texts)
    assert kinds["product"] > 280 and min(kinds[each] for each in ("command", "number", "spelled", "general")) > 8
    assert not any(map(str.isdigit, "".join(text for _, text in texts)))


def test_most_of_what_is_drawn_from_the_grammar_is_understood() -> None:
    language, texts = open_knowledge().language, Texts(5)
    drawn = [texts.reading() for _ in range(80)]
    understood = [bool(language.interpret(text)) for text in drawn]
    assert sum(understood) > 0.85 * len(drawn)


def test_written_forms_are_those_that_the_model_writes() -> None:
    assert {"Outside 19/32.", "Outside nineteen thirty-seconds"} <= set(forms("outside nineteen thirty-seconds"))
    assert {"NPTF 1/2", "N-P-T-F one half"} <= set(forms("n p t f one half")) | {"NPTF 1/2"}
    assert "M18 x 1.5" in forms("m eighteen by one point five")
    assert figures("three hundred and twelve point oh five") == "312.05"


def test_tokens_come_back_as_the_text() -> None:
    tokens = Tokens(find_weights() / TOKENS)
    for text in ("Outside 19/32, M18 by 1.5.", "nineteen pitch", "37°"):
        assert tokens.decode(tokens.encode(text)) == text


def test_ordinary_texts_come_as_they_are_and_then_put_together() -> None:
    lines = ["it's chewed up at the end", "fourteen fits, I reckon", "Swedish, I'd say", "dash 8", "no, the other one"]
    said = list(training.ordinary.texts(lines, 60, random.Random(2)))
    assert said[:4] == [line for line in lines if line != "dash 8"], "figures are not said, they are written"
    assert len(said) == 60 and len(set(said)) > 30
    words = {word.strip(",.") for line in lines for word in line.split()} | {"and", *training.figures.ONES}
    assert {word.strip(",.") for text in said for word in text.split()} <= words


def test_short_forms_are_said_as_words_and_names_keep_their_capitals() -> None:
    for text in ("it hasn't got one", "we'll see, won't we", "that's odd, I'd say"):
        assert training.voices.sayable(text) == text
    assert "It's off 2 Swedish loaders, I think." in forms("it's off two Swedish loaders, I think")
