"""Remarks hung to what is told, and what else people put between a thing and its value. Common practice, no source."""

from __future__ import annotations

import pytest

from voicefit.interpretation import remarks
from voicefit.interpretation.language import Language
from voicefit.records import Command, Context, KindShares, Measurand, Reading, Rejection, item_key


class Told:
    """A classifier to which some clauses are talk, and a text tells what has a number."""

    def __init__(self, **talk: float) -> None:
        self._talk = {clause.replace("_", " "): share for clause, share in talk.items()}

    def of(self, text: str) -> KindShares:
        told = tuple(float(letter.isdigit()) for letter in text)
        return KindShares(shares={"nothing": self._talk.get(text, 0.0)}, denied=0.0, told=told)


def test_a_clause_that_is_surely_talk_is_a_remark() -> None:
    assert remarks.without("19, gone green", Told(gone_green=0.95)) == "19"
    assert remarks.without("19, gone green", Told(gone_green=0.65)) == "19"  # nothing of it is told, too
    assert remarks.without("19, gone 20", Told(gone_20=0.55)) == ""


def test_a_text_of_one_clause_or_of_remarks_alone_is_left_as_it_is() -> None:
    assert remarks.without("gone green", Told(gone_green=1.0)) == ""
    assert remarks.without("gone green, gone green", Told(gone_green=1.0)) == ""


@pytest.mark.parametrize(
    "text",
    [
        "seven sixteenths outside, and I had to lie in the mud for it",
        "it's three quarters outside, took me ten minutes to get at it",
        "it stands proud, I was on my back half an hour for that",
    ],
)
def test_remarks_beside_a_reading_are_passed_over(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert [type(item) for item in items] == [Reading], items


def test_a_side_may_stand_apart_from_its_number(language: Language) -> None:
    items = language.interpret("inside, let's see, and that's eighteen point seven millimeters", Context())[0].items
    assert [item.measurands for item in items if isinstance(item, Reading)] == [{Measurand.INSIDE_DIAMETER}]
    assert not any(isinstance(item, Rejection) for item in items)


@pytest.mark.parametrize("text", ["inside she's seventeen and a half mil", "he is male"])
def test_a_thing_may_be_she_or_he(language: Language, text: str) -> None:
    assert [type(item) for item in language.interpret(text, Context())[0].items] == [Reading]


@pytest.mark.parametrize(
    "text",
    ["what if I read it wrong and it's eighteen threads, what would that make it", "what if it's eighteen threads"],
)
def test_what_is_supposed_states_and_corrects_nothing(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert not any(isinstance(item, Reading) or (isinstance(item, Command) and item.readings) for item in items)


@pytest.mark.parametrize(("text", "called"), [("eighteen, I tried all of them", False), ("I tried all of them", True)])
def test_who_tried_them_all_and_names_one_says_that_it_fits(language: Language, text: str, *, called: bool) -> None:
    items = language.interpret(text, Context(expected=(Measurand.PITCH,)))[0].items
    assert any(isinstance(item, Command) and item.name == "none-fits" for item in items) is called


def test_a_word_at_the_end_of_one_clause_and_the_beginning_of_the_next_is_no_stammer(language: Language) -> None:
    items = language.interpret("nut, cutting ring on the pipe, pipe is fifteen", Context())[0].items
    assert any(isinstance(item, Reading) and item.measurands == {Measurand.TUBE_OUTSIDE_DIAMETER} for item in items), (
        items
    )


def test_what_comes_to_the_same_is_one_meaning(language: Language) -> None:
    found = language.interpret("no, that was the angle", Context(yes_no=True))
    keys = [tuple(map(item_key, meaning.items)) for meaning in found]
    assert len(keys) == len(set(keys))


def test_fifty_fifty_is_no_length(language: Language) -> None:
    """Of who cannot tell, only a clause counts that may be told of the end."""
    items = language.interpret("fifty fifty, I honestly can't say", Context(yes_no=True))[0].items
    assert not any(isinstance(item, Reading) for item in items)


@pytest.mark.parametrize(
    "said",
    [
        "the staple gun's jammed and the clip's come off my pen, what a day",
        "port and brandy, that's what you want on a night like this",
    ],
)
def test_no_part_of_talk_is_read_as_if_it_stood_alone(language: Language, said: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(said, Context())[0].items)
