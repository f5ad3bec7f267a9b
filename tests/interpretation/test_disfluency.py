"""Speech that repairs itself: what was meant in the end is what is taken, and a denial is never lost."""

from __future__ import annotations

import itertools
import random

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Option, Reading

ASKED = Context(expected=(Measurand.SHAPE,), yes_no=True, asked=Option(Measurand.SHAPE, "banjo"))
PHRASES = (
    "there is a copper washer under the head",
    "the cone does not stick out",
    "not a flange",
    "outside diameter twenty one point eight",
    "it has no o-ring in the face",
    "the thread is tapered",
)
REPAIRS = (
    "no wait",
    "sorry",
    "I mean",
    "no, I mean",
    "I tell a lie",
    "hang on, no",
    "no sorry",
    "scratch that",
    "oh no",
)
VALUES = (
    ("male", "female"),
    ("nineteen pitch", "eighteen pitch"),
    ("tapered", "parallel"),
    ("quick coupler", "flange"),
)
YES, NO = ("yes", "yeah", "yep", "aye"), ("no", "nope", "nah")
BETWEEN = (", ", ", wait, ", ", hang on, ", ", sorry, ", ", I tell a lie, ", ", I mean ")


def means(language: Language, text: str, context: Context | None = None) -> str:
    return notes.meaning(language.interpret(text, context or Context())[0])


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_beginning_said_twice(language: Language, phrase: str) -> None:
    """Begun anew after any of its words, with a hesitation or a pause, it is what it would have been."""
    words = phrase.split()
    wanted = means(language, phrase)
    for many, between in itertools.product(range(1, len(words)), (", ", ", er, ", " ")):
        begun = words[:many]
        if between == " " and (begun[-1] in ("one", "twenty") or begun == ["not"]):
            continue  # "twenty one twenty one" are two numbers; "not not a flange" may be one
        text = " ".join(begun) + between + phrase
        assert means(language, text) == wanted, text


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("thir- thirteen pitch", "pitch 13 tpi"),
        ("it's a fla- a banjo", "shape banjo | series banjo"),
        ("points ou- no, dips in", "seat_form recessed"),
        ("male- thirty degrees", "gender male; seat_angle 30 deg | …"),
    ],
)
def test_words_broken_off(language: Language, text: str, meaning: str) -> None:
    assert means(language, text) == meaning


@pytest.mark.parametrize("values", VALUES)
@pytest.mark.parametrize("repair", REPAIRS)
def test_after_a_word_of_repair_only_the_last_is_kept(language: Language, repair: str, values: tuple[str, str]) -> None:
    for first, last in (values, values[::-1]):
        wanted = means(language, last)
        assert means(language, f"{first}, {repair}, {last}") == wanted
        assert means(language, f"it's {first} {repair} it's {last}") == wanted


def test_of_several_answers_the_last_counts(language: Language) -> None:
    rng = random.Random(5)
    for _ in range(60):
        said = [rng.choice(YES + NO) for _ in range(rng.randint(3, 5))]
        text = said[0] + "".join(rng.choice(BETWEEN) + each for each in said[1:])
        wanted = "!yes" if said[-1] in YES else "!no"
        assert means(language, text, ASKED) == wanted, text


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("nope, hang about, yes, there it is", "yes"),
        ("no, oh wait, yes, it's under the grease", "yes"),
        ("yep, oh no I was on the wrong side, no", "no"),
        ("no, sorry, I was on the other one, yes", "yes"),
        ("yes, I can see it, I'm looking at it now", "yes"),
        ("yes, I heard you, I'm looking", "pause"),
        ("no, I can hear you, give me a second", "pause"),
    ],
)
def test_of_two_answers_it_is_the_one_that_is_meant(language: Language, text: str, answer: str) -> None:
    items = language.interpret(text, ASKED)[0].items
    assert {item.name for item in items if isinstance(item, Command) and item.name != "aside"} == {answer}


@pytest.mark.parametrize("word", ["yes", "yeah", "yep", "no", "nah", "right", "okay", "well", "so"])
def test_a_word_said_over_and_over(language: Language, word: str) -> None:
    """However often, alone or after a reading, it is no more than once said."""
    for text in (word,) if word in NO else (word, f"nineteen pitch {word}"):  # "nineteen pitch, no no" denies twice
        wanted = means(language, text, ASKED)
        for times in range(2, 8):
            again = text.replace(word, " ".join([word] * times))
            assert means(language, again, ASKED) == wanted, again


def test_answers_that_belong_together(language: Language) -> None:
    assert means(language, "yes and no", ASKED) == "!cannot-tell"
    assert means(language, "I don't think so", ASKED) == "!no"
    assert means(language, "no, no washer", ASKED) == "!no; not seal washer"


@pytest.mark.parametrize("thing", ["a flange", "a banjo", "a shoulder", "a washer"])
@pytest.mark.parametrize(
    ("so", "not_so"), [("it's {}", "it isn't"), ("there's {}", "there isn't"), ("it has {}", "it hasn't")]
)
def test_a_clause_that_denies_what_was_said(language: Language, thing: str, so: str, not_so: str) -> None:
    """Never is the thing recorded; where subject and verb are the same it is denied."""
    for joint in (", no ", ", but ", " but ", ", oh "):
        found = language.interpret(f"{so.format(thing)}{joint}{not_so}", Context())[0].items
        readings = [item for item in found if isinstance(item, Reading)]
        assert readings and all(option.negated for item in readings for option in item.options), (thing, joint)


def test_a_denial_of_something_else_denies_nothing(language: Language) -> None:
    """ "There isn't one" answers what was asked; where nothing was, nothing is taken from what stands before it."""
    assert means(language, "flat face, there isn't one", ASKED) == "seat_form flat; !no"
    assert not any(
        isinstance(item, Reading) for item in language.interpret("flat face, there isn't one", Context())[0].items
    )


def test_half_of_a_choice_says_nothing(language: Language) -> None:
    found = language.interpret("could be a banjo, could be the wotsit my brother has", Context())[0].items
    assert not any(isinstance(item, Reading) for item in found)


@pytest.mark.parametrize("tag", ["isn't it", "innit", "eh", "so it is"])
def test_a_tag_asks_nothing(language: Language, tag: str) -> None:
    assert means(language, f"it's a flange, {tag}") == "shape flange"
    assert not any(
        isinstance(item, Reading)
        for item in language.interpret("isn't it a flange?", Context())[0].items
        if not getattr(item, "guessed", False)
    )


@pytest.mark.parametrize(
    "text",
    [
        "bay seven",
        "loader number three",
        "truck twelve",
        "half the thread",
        "pump number two",
        "number four on the rail",
    ],
)
def test_the_numbers_of_other_things(language: Language, text: str) -> None:
    asked = Context(expected=(Measurand.OUTSIDE_DIAMETER, Measurand.PITCH, Measurand.DASH))
    for context in (Context(), asked):
        found = language.interpret(text, context)[0].items
        assert not any(isinstance(item, Reading) for item in found), notes.meaning(language.interpret(text)[0])


@pytest.mark.parametrize("thing", ["washer", "flange", "staple", "cone"])
@pytest.mark.parametrize(
    "lead", ["there's room for a {}", "it could do with a {}", "somebody's nicked the {}", "it hasny a {}"]
)
def test_what_would_go_there_is_not_there(language: Language, thing: str, lead: str) -> None:
    found = language.interpret(lead.format(thing), Context())[0].items
    assert not any(
        isinstance(i, Reading) and not o.negated and o.hedge is None for i in found for o in getattr(i, "options", ())
    )


def test_a_point_said_anew_keeps_what_stands_before_it(language: Language) -> None:
    assert means(language, "outside eighteen point three, sorry, point eight") == "outside_diameter 18.8 mm /10"


def test_the_o_of_a_ring_is_no_figure(language: Language) -> None:
    assert means(language, "there's one o-ring in the face") == "seal face_o_ring"


@pytest.mark.parametrize("text", ["the machine's from nineteen ninety one", "my set goes up to thirty two"])
def test_numbers_of_years_and_of_tools(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text, Context())[0].items)


def test_what_is_denied_is_not_said_again_by_a_longer_number(language: Language) -> None:
    found = language.interpret(
        "not the thirty, the thirty seven, that one sits flat", Context(expected=(Measurand.SEAT_ANGLE,))
    )[0]
    assert notes.meaning(found).startswith("not seat_angle 30 deg")
    assert "; seat_angle 37 deg" in notes.meaning(found)
