"""What a reading is by the words in it: wordings that no phrase has; and what is never guessed.

The sentences are written here, apart from the grammar's own wordings.
"""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.interpretation.wordgroups import read_line
from voicefit.records import Context, Measurand, Reading, Rejection

M = Measurand
ANSWERS = (
    (M.SEAT_FORM, "it kind of caves down in the middle there", "recessed"),
    (M.SEAT_FORM, "reminds one of a funnel", "recessed"),
    (M.SEAT_FORM, "my fingertip sinks right into it", "recessed"),
    (M.SEAT_FORM, "there is a snout poking at me", "convex"),
    (M.SEAT_FORM, "as level as a billiard table", "flat"),
    (M.TAPER, "gets skinnier towards the tip end", "tapered"),
    (M.TAPER, "the diameter is constant the whole length", "parallel"),
    (M.GENDER, "it swallows the bolt of the hose", "female"),
    (M.SHAPE, "a horseshoe wire keeps the two in place", "staple"),
    (M.SEAL, "one rubber circle sits far back by the hexagon", "base_o_ring"),
)
BY_THEMSELVES = (
    ("the whole lot hangs on four fat bolts", M.SHAPE, "flange"),
    ("you yank the sleeve and it pops free", M.SHAPE, "coupler"),
    ("some copper crush discs lie about", M.SEAL, "washer"),
    ("some sort of loop with a screw stuck into it", M.SHAPE, "banjo"),
)
NEVER = (
    "does it swallow my finger",
    "it swallows, or it has a snout",
    "somewhere between a snout and a cavity",
    "a cavity instead of a snout",
    "the other one has a cavity",
    "there was a cavity before",
    "the cavity is forty seven",
    "no cavity and no snout",
    "I am not sure there is a cavity",
    "I cannot say if there is a cavity",
    "need one that has a cavity",
)


def readings(language: Language, text: str, asked: Measurand | None) -> list[Reading]:
    context = Context(expected=() if asked is None else (asked,))
    return [item for item in language.interpret(text, context)[0].items if isinstance(item, Reading)]


@pytest.mark.parametrize(("asked", "text", "value"), ANSWERS)
def test_an_answer_in_words_of_its_own(language: Language, asked: Measurand, text: str, value: str) -> None:
    found = [(o.measurand, o.value, o.negated) for r in readings(language, text, asked) for o in r.options]
    assert found == [(asked, value, False)]


@pytest.mark.parametrize(("text", "measurand", "value"), BY_THEMSELVES)
def test_what_was_not_asked_is_asked_about(language: Language, text: str, measurand: Measurand, value: str) -> None:
    (reading,) = readings(language, text, None)
    assert [(o.measurand, o.value) for o in reading.options] == [(measurand, value)]
    assert reading.guessed


@pytest.mark.parametrize("text", NEVER)
def test_nothing_is_guessed_where_a_word_turns_it(language: Language, text: str) -> None:
    assert not readings(language, text, M.SEAT_FORM)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("it does not have any snout", "convex"),
        ("nothing like a snout there", "convex"),
        ("no cavity whatsoever", "recessed"),
    ],
)
def test_what_is_denied_is_denied_and_asked_about(language: Language, text: str, value: str) -> None:
    (reading,) = readings(language, text, M.SEAT_FORM)
    assert [(o.value, o.negated) for o in reading.options] == [(value, True)]
    assert reading.guessed


def test_what_was_understood_besides_is_kept(language: Language) -> None:
    items = language.interpret("nineteen threads per inch, you yank the sleeve back to release", Context())[0].items
    assert not any(isinstance(item, Rejection) for item in items)
    kept, guessed = (item for item in items if isinstance(item, Reading))
    assert kept.measurands == {M.PITCH} and not kept.guessed
    assert guessed.measurands == {M.SHAPE} and guessed.guessed


def test_a_line_finds_its_words_in_any_order_each_for_one_group() -> None:
    line = read_line("oil|fluid <eye> !not", {"eye": ("eye", "eyes", "lid*")})
    assert line.find(["oil", "in", "the", "eye"]) and line.find(["my", "eyelid", "no", "lids", "full", "of", "oil"])
    assert not line.find(["oil", "oil"]) and not line.find(["oil", "not", "in", "the", "eye"])
