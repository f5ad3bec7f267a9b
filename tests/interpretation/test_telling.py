"""Of a sentence in which some words tell of the end in hand and others do not, only the former are read."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.interpretation.tokens import tokenise
from voicefit.interpretation.witness import without_talk
from voicefit.records import Command, Context, Measurand, Reading

TEXT = "the card says nine, it's tapered"
CARD, OWN = TEXT.index("nine") + 4, TEXT.index("it's")
TOLD = {
    "the receipt has twelve on it, I make it fourteen threads": "pitch 14 tpi",
    "grandad swore blind it was a banjo, it's a female with a flat seat": "gender female; seat_form flat",
    "the one on the shelf is a male, this one's a female": "gender female",
    "pass me the big hammer, ta, nineteen pitch": "pitch 19 tpi",
    "my phone's flat, the thread is tapered": "taper tapered",
}
NOT_TOLD = (
    "the thirty degree gauge went missing in the river",
    "put twelve of the straight ones on the list",
    "if there was a washer I'd have seen it by now",
    "yes Bert I can hear you",
)


def shares(text: str, *likely: tuple[int, float]) -> list[float]:
    """Of each letter, up to each place in turn."""
    found: list[float] = []
    for end, share in likely:
        found += [share] * (end - len(found))
    return found + [likely[-1][1]] * (len(text) - len(found))


@pytest.mark.parametrize(
    ("low", "high", "kept"),
    [(0.29, 0.71, "it is tapered"), (0.31, 0.71, None), (0.29, 0.69, None)],
)
def test_words_that_surely_tell_nothing_are_left_out_where_others_surely_do(
    low: float, high: float, kept: str | None
) -> None:
    found = without_talk(tokenise(TEXT), shares(TEXT, (OWN, low), (len(TEXT), high)), frozenset(), frozenset())
    assert (found and " ".join(token.text for token in found)) == kept


def test_a_word_that_turns_the_rest_is_not_cut_off() -> None:
    text = "sixteen threads over ten psi"
    told = shares(text, (text.index("over"), 0.9), (len(text), 0.1))
    assert without_talk(tokenise(text), told, frozenset({"over"}), frozenset()) is None
    assert without_talk(tokenise(text), told, frozenset(), frozenset()) is not None


@pytest.mark.parametrize(("text", "meaning"), TOLD.items())
def test_what_is_told_is_taken_and_nothing_else(language: Language, text: str, meaning: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert "; ".join(notes.item(item) for item in items if isinstance(item, Reading)) == meaning


@pytest.mark.parametrize("text", NOT_TOLD)
def test_what_is_not_told_is_not_taken(language: Language, text: str) -> None:
    asked = Context(expected=(Measurand.SEAL,), yes_no=True)
    items = language.interpret(text, asked)[0].items
    assert not any(isinstance(i, Reading) or (isinstance(i, Command) and i.name in ("yes", "no")) for i in items)
