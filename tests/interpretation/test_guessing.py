"""What is made of the parts of a sentence that no phrase took, and of words that were taken for something else."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from tests.interpretation.writing import accepts, matcher
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Reading, Rejection

PASSED_OVER = (
    "male, the gaffer fancies his lunch",
    "came off some old bucket ram, male",
    "hand on heart, male",
)
NAMED = (
    "male, sorry about nineteen",
    "male, wrong",
)
ONLY_TYPED = ("a horseshoe wire", "he does not have a snout", "the sixteen wobbles", "from memory nineteen pitch")


@pytest.mark.parametrize("text", PASSED_OVER)
def test_a_part_that_tells_nothing_is_passed_over(language: Language, text: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == "gender male"


@pytest.mark.parametrize("text", NAMED)
def test_a_part_that_may_turn_something_is_not(language: Language, text: str) -> None:
    """It is refused by name, or understood; never dropped without a word."""
    items = language.interpret(text, Context())[0].items
    assert len(items) > 1 or isinstance(items[0], Rejection)


@pytest.mark.parametrize(
    ("asked", "text", "meant"),
    [
        (Measurand.TAPER, "the same size front and back", "parallel"),
        (Measurand.GENDER, "it's the bit that goes inside", "male"),
    ],
)
def test_an_answer_wins_over_what_was_not_asked(language: Language, asked: Measurand, text: str, meant: str) -> None:
    items = language.interpret(text, Context(expected=(asked,)))[0].items
    assert not any(isinstance(item, Command) for item in items)
    assert any(isinstance(item, Reading) and item.options[0].value == meant for item in items)


def test_what_is_only_said_again_is_dropped(language: Language) -> None:
    best = language.interpret("split flange, with two half clamps", Context())[0]
    assert {item.options[0].value for item in best.items if isinstance(item, Reading)} == {"flange"}
    assert not any(isinstance(item, Rejection) for item in best.items)


def test_a_question_is_answered_in_the_same_breath(language: Language) -> None:
    best = language.interpret("did I say male? I meant female", Context())[0]
    assert notes.meaning(best) == "!correct (gender female)"


@pytest.mark.parametrize("text", ONLY_TYPED)
def test_the_recogniser_writes_none_of_it(language: Language, text: str) -> None:
    """Cues, doubt and other loose wordings cost the recogniser nothing."""
    assert not accepts(matcher(language.constraint(Context())), text)


@pytest.mark.parametrize("text", ["slow as you like with the words, I am old", "my ears are slow tonight, mind that"])
def test_who_says_slow_is_never_guessed_to_want_it_faster(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert "faster" not in {item.name for item in items if isinstance(item, Command)}
