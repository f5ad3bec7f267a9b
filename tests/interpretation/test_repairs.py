"""What is taken back, denied or left open in the breath in which it was said."""

from __future__ import annotations

import math

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Rejection

YES_OR_NO = Context(yes_no=True)


@pytest.mark.parametrize("between", ["sorry", "hang on", "wait", "I tell a lie"])
@pytest.mark.parametrize(("first", "last"), [("yes", "no"), ("nope", "yep"), ("yeah", "nah")])
def test_the_last_of_two_answers_holds_where_a_word_takes_the_first_back(
    language: Language, first: str, between: str, last: str
) -> None:
    (item,) = language.interpret(f"{first}, {between}, {last}", YES_OR_NO)[0].items
    assert isinstance(item, Command)
    assert item.name == ("yes" if last in ("yes", "yep") else "no")


def test_the_second_of_two_answers_holds_where_the_first_is_denied(language: Language) -> None:
    found = language.interpret("not out, in", Context(expected=(Measurand.SEAT_FORM,)))[0]
    assert notes.meaning(found) == "not seat_form convex; seat_form recessed"


def test_two_answers_without_such_a_word_are_neither(language: Language) -> None:
    assert any(isinstance(item, Rejection) for item in language.interpret("no, yes", YES_OR_NO)[0].items)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("fourteen maybe, could be thirteen", "pitch 27/2"),
        ("I think eleven, might be twelve", "pitch 23/2"),
    ],
)
def test_what_a_value_might_be_as_well_is_no_second_reading(language: Language, text: str, meant: str) -> None:
    items = language.interpret(text, Context(expected=(Measurand.PITCH,)))[0].items
    assert len(items) == 1
    assert notes.meaning(language.interpret(text, Context(expected=(Measurand.PITCH,)))[0]).startswith(meant)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("it should be tapered but it isn't", "not taper tapered"),
        ("it looks like a flange, but it isn't", "not shape flange"),
        ("it's a copper washer, no it isn't", "not seal washer"),
    ],
)
def test_what_is_then_said_not_to_be_so_is_denied(language: Language, text: str, meant: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("nothing", "!no"),
        ("none there", "!no"),
        ("no, it has not a washer", "!no; not seal washer"),
        ("nah hang on, fourteen pitch", "!correct (pitch 14 tpi)"),
    ],
)
def test_what_is_said_to_a_question_of_yes_or_no(language: Language, text: str, meant: str) -> None:
    """And nothing else is likely."""
    found = language.interpret(text, Context(yes_no=True, expected=(Measurand.SEAL,)))
    assert [notes.meaning(each) for each in found if each.log_weight > math.log(0.1)] == [meant]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("bonded washer, sorry, no washer", "not seal washer"),
        ("recessed, no, not recessed", "not seat_form recessed"),
        ("stud, I mean stud", "gender stud"),
        ("female, sorry, not male", "!correct (not gender male; gender female)"),
        ("oops, I meant eighteen pitch", "!correct (pitch 18 tpi)"),
        ("outside twenty six point four, sorry, point six", "outside_diameter 26.6 mm /10"),
    ],
)
def test_what_is_corrected_to_its_denial_is_denied(language: Language, text: str, meant: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meant
