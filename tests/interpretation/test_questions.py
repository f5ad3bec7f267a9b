"""Whoever asks states nothing, wherever the question stands in what is said, with a question mark or without."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.interpretation.questions import parts
from voicefit.interpretation.tokens import tokenise
from voicefit.records import Command, Context, Item, Measurand, Reading


def items_of(language: Language, text: str, *expected: Measurand) -> tuple[Item, ...]:
    return language.interpret(text, Context(expected=expected))[0].items


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("so could that be metric", ["?could that be metric"]),
        ("well now, a flat face is it", ["well now", "?a flat face is it"]),
        ("metric, would it be?", ["?metric, would it be"]),
        ("sixteen threads, how tight does it go", ["sixteen threads", "?how tight does it go"]),
        ("it has a nose how do I know it is not the other", ["it has a nose", "?how do I know it is not the other"]),
        ("washers, and how tight", ["?washers", "?how tight"]),
        ("is it a stud? I feel a ring", ["?is it a stud", "I feel a ring"]),
        # what only begins like a question, or tells of one
        ("what I can see is a cone", ["what I can see is a cone"]),
        ("I can't see what is in there", ["I can't see what is in there"]),
        ("it's a nut, which is flat inside", ["it's a nut, which is flat inside"]),
        ("when I lay it on it sits", ["when I lay it on it sits"]),
        ("is male, has a nose", ["is male, has a nose"]),
    ],
)
def test_a_text_is_cut_into_what_asks_and_what_states(text: str, cut: list[str]) -> None:
    found = parts(text, tokenise(text))
    assert [f"{'?' if part.asks else ''}{part.text}" for part in found] == cut


@pytest.mark.parametrize(
    "text",
    [
        "so is that a face seal then",
        "right, would this be the NPT",
        "half inch BSP, is it?",
        "what else could that be, a JIC perhaps",
        "M twenty two maybe?",
        "okay and could it be a banjo instead",
        "how do you know it's not metric",
        "is it the same as the Japanese one",
        "might be tapered, do you think",
        "would a thirty degree seat be possible",
        "what would make it the British one",
        "how about the forty five one",
        "any washer on this",
        "so what seal does a flange take",
        "what screws on there, a female JIC",
        "is it alright for two hundred bar",
        "good for three thousand psi?",
        "safe at two fifty bar",
    ],
)
def test_nothing_of_a_question_is_a_reading(language: Language, text: str) -> None:
    items = items_of(language, text)
    assert items
    assert all(isinstance(item, Command) and not item.readings for item in items), items


@pytest.mark.parametrize(
    ("text", "names", "measurands"),
    [
        ("how do you know it's not metric", ["why-not"], {Measurand.THREAD_SYSTEM}),
        ("could it be thirty instead", ["why-not"], {Measurand.SEAT_ANGLE}),
        ("is it alright for two hundred bar", ["pressure"], {Measurand.PRESSURE}),
        ("safe at two fifty bar", ["pressure"], {Measurand.PRESSURE}),
        ("will it stand four thousand psi", ["pressure"], {Measurand.PRESSURE}),
        ("any washer on this", ["what-seals-it"], set()),
        ("what ring, and what torque", ["what-seals-it", "torque"], set()),
        ("what about the seal and the pressure", ["what-seals-it", "pressure"], set()),
        ("which bolts does it want and how tight", ["sizes", "torque"], set()),
        ("what does this weigh", ["beyond"], set()),
    ],
)
def test_what_a_question_calls_and_names(
    language: Language, text: str, names: list[str], measurands: set[Measurand]
) -> None:
    items = [item for item in items_of(language, text) if isinstance(item, Command)]
    assert [item.name for item in items] == names
    about = {m for item in items for reading in item.about for m in reading.measurands}
    assert measurands <= about
    assert bool(measurands) == bool(about)


def test_what_is_asked_whether_it_is_not_so_is_asked_whether_it_is(language: Language) -> None:
    (item,) = items_of(language, "how can I tell it's not metric")
    assert isinstance(item, Command)
    assert [option.negated for reading in item.about for option in reading.options] == [False]


def test_what_is_stated_beside_a_question_is_taken(language: Language) -> None:
    first, second = items_of(language, "sixteen threads, no light. could it be metric")
    assert isinstance(first, Reading)
    assert first.options[0].measurand is Measurand.PITCH
    assert isinstance(second, Command)
    assert not second.readings


def test_an_answer_with_a_question_mark_is_asked_about(language: Language) -> None:
    """ "Male?" answers "male or female?", and nobody was sure of it."""
    (item,) = items_of(language, "male?", Measurand.GENDER)
    assert isinstance(item, Reading)
    assert item.guessed


def test_what_was_said_before_is_no_question_about_the_end(language: Language) -> None:
    (item,) = items_of(language, "did I say female? I meant male")
    assert isinstance(item, Command | Reading)
    readings = item.readings if isinstance(item, Command) else (item,)
    assert [option.value for reading in readings for option in reading.options] == ["male"]
