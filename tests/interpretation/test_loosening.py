"""Words that carry nothing change nothing, wherever they stand; words that turn a meaning are none of them."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.interpretation.examples import spell
from voicefit.records import Context, Measurand, Reading, item_key

PHRASES = (
    "o-ring in the face",
    "the nut has a cone in it",
    "there's a rubber ring behind the thread",
    "copper washer under the hex",
    "tape on the thread",
    "outside nineteen thirty-seconds",
    "not a banjo",
    "there's no washer at the base",
    "it doesn't stick out",
    "just under three quarters outside",
)
HOLLOW = ("actually", "bloody", "nicely", "you know", "let me see", "to be honest", "quite", "definitely")
NOT_HOLLOW = (
    "not",
    "no",
    "never",
    "about",
    "under",
    "over",
    "or",
    "between",
    "was",
    "instead",
    "other",
    "old",
    "nearly",
)


def readings(language: Language, text: str) -> set[object]:
    """What the likeliest meaning reads, each reading's first option."""
    items = language.interpret(text, Context())[0].items
    return {item_key(item)[1] for item in items if isinstance(item, Reading)}


# Each phrase with every other word and each word in every other phrase.
@pytest.mark.parametrize(
    ("phrase", "hollow"),
    [(phrase, hollow) for i, phrase in enumerate(PHRASES) for j, hollow in enumerate(HOLLOW) if (i + j) % 2 == 0],
)
def test_a_hollow_word_changes_nothing_it_does_not_lose(language: Language, phrase: str, hollow: str) -> None:
    """Said between any two words of a phrase, it is that phrase, or a part that is refused; never another reading."""
    wanted = readings(language, phrase)
    words = phrase.split()
    same = 0
    for at in range(len(words) + 1):
        text = " ".join([*words[:at], hollow, *words[at:]])
        found = readings(language, text)
        assert found <= wanted or not found, (text, notes.meaning(language.interpret(text, Context())[0]))
        same += found == wanted
    assert same > len(words) // 2 - 1, (phrase, hollow, same)


@pytest.mark.parametrize("word", NOT_HOLLOW)
def test_words_that_turn_a_meaning_are_not_hollow(language: Language, word: str) -> None:
    hollow = [spell(language.grammar, flat) for f in language.grammar.rules["list-hollow"] for flat in f.phrase]
    assert word not in hollow


def test_no_hollow_word_is_weighty(language: Language) -> None:
    """One word alone; "what" in "what you call it" is none."""
    alone = {
        symbol.text
        for form in language.grammar.rules["list-hollow"]
        for flat in form.phrase
        if len(flat) == 1
        for _, symbol in flat
        if hasattr(symbol, "text")
    }
    assert not alone & language.grammar.weighty


@pytest.mark.parametrize(
    ("text", "name"),
    [("no it's quite shiny there", "no"), ("yes it's all muddy", "yes"), ("nope there is rust all over", "no")],
)
def test_an_answer_may_go_on(language: Language, text: str, name: str) -> None:
    """What is told besides an answer does not spoil it."""
    context = Context(expected=(Measurand.SEAL,), yes_no=True)
    assert notes.meaning(language.interpret(text, context)[0]).startswith(f"!{name}")


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("the nearest I could measure is twenty six outside", "outside_diameter 26 mm /1"),
        ("best we can do is fourteen threads", "pitch 14 tpi"),
        ("a male end with its nut on the pipe", "gender male"),
        ("a nut behind it, and it's male", "gender male"),
        ("male, sorry, a nut", "gender female"),
        ("not male, it's a nut", "not gender male; gender female"),
        ("which measurements are still lacking", "!what-is-missing"),
        ("captured soft ring in the collar", "seal washer; sealed_by captured_ring"),
        ("straight nose sticking out of the nut", "nose straight; seat_form convex"),
        ("a twenty by one and a half thread", "thread_size 20 mm; pitch 3/2 mm"),
        ("let me start on a different adapter", "!other-end"),
    ],
)
def test_what_people_say_besides_is_in_no_way(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning
