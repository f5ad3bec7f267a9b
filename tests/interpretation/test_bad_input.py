"""Whatever text comes, an answer comes back: named, bounded, and nothing understood is lost."""

from __future__ import annotations

import math
import tracemalloc
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.interpretation.test_phrases import ROWS
from voicefit.interpretation import Language
from voicefit.interpretation.repairs import tells_nothing
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Context, Measurand, Reading, Reason, Rejection

WORDS = sorted({word for row in ROWS for word in row[0].split()})


def only(language: Language, text: str) -> Rejection:
    """The rejection that is all of the likeliest meaning; nothing else is likely."""
    meaning = language.interpret(text, Context())[0]
    (item,) = meaning.items
    assert isinstance(item, Rejection)
    assert meaning.log_weight > math.log(0.9)
    return item


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", Reason.SILENCE),
        ("   \n\t ", Reason.SILENCE),
        ("outside " * 1_400, Reason.TOO_LONG),  # 11 kB
        ("nine " * 199, Reason.TOO_LONG),
        ("ä" * 10_240, Reason.TOO_LONG),
        ("!?!?,,;", Reason.OUT_OF_GRAMMAR),
        ("\x00\x01\xff\xfe", Reason.OUT_OF_GRAMMAR),
        ("ÿ" * 100, Reason.OUT_OF_GRAMMAR),
        ("1" * 500, Reason.OUT_OF_GRAMMAR),
        ("outside 1e999 mm", Reason.OUT_OF_GRAMMAR),
        ("1e3", Reason.OUT_OF_GRAMMAR),
        ("9" * 7, Reason.OUT_OF_GRAMMAR),
        ("دستور", Reason.OUT_OF_GRAMMAR),
    ],
)
def test_text_that_says_nothing_is_refused_by_name(language: Language, text: str, reason: Reason) -> None:
    rejection = only(language, text)
    assert rejection.reason is reason
    assert len(rejection.text) <= 80
    assert rejection.text.isprintable()


@pytest.mark.parametrize(
    ("text", "reason", "detail"),
    [
        ("outside ninety-nine inches", Reason.OUT_OF_RANGE, "99 in"),
        ("inside four hundred millimeters", Reason.OUT_OF_RANGE, "400 mm"),
        ("pitch two hundred", Reason.OUT_OF_RANGE, "200"),
        ("pitch minus four", Reason.OUT_OF_RANGE, "-4"),
        ("outside five thousand millimeters", Reason.OUT_OF_RANGE, "5000 mm"),
        ("pressure two million P S I", Reason.OUT_OF_RANGE, "2e+06 psi"),
        ("outside nine thousand kilometers", Reason.UNIT_MISMATCH, "9000 km"),
        ("six hundred threads per inch", Reason.OUT_OF_RANGE, "600 tpi"),
        ("dash ninety-nine", Reason.OUT_OF_RANGE, "99"),
        ("seat four hundred degrees", Reason.OUT_OF_RANGE, "400 deg"),
        ("temperature nine hundred degrees celsius", Reason.OUT_OF_RANGE, "900 celsius"),
        ("nineteen degrees pitch", Reason.UNIT_MISMATCH, "19 deg"),
        ("outside nineteen threads per inch", Reason.UNIT_MISMATCH, "19 tpi"),
        ("seat thirty millimeters", Reason.UNIT_MISMATCH, "30 mm"),
        ("pressure nine inches", Reason.UNIT_MISMATCH, "9 in"),
        ("outside nine sixteenths millimeters", Reason.UNIT_MISMATCH, "0.5625 mm"),
        ("outside", Reason.INCOMPLETE, "outside"),
        ("dash", Reason.INCOMPLETE, "dash"),
        ("flummox", Reason.OUT_OF_GRAMMAR, "flummox"),
    ],
)
def test_each_fault_has_its_name(language: Language, text: str, reason: Reason, detail: str) -> None:
    rejection = only(language, text)
    assert (rejection.reason, rejection.detail, rejection.text) == (reason, detail, text)


@pytest.mark.parametrize(
    ("text", "refused"),
    [
        ("outside eighteen millimeters, pitch five hundred", "pitch five hundred"),
        ("pitch five hundred, thirty degrees", "pitch five hundred"),
        ("nineteen pitch, outside two hundred inches, male", "outside two hundred inches"),
        ("outside two hundred inches nineteen pitch", "outside two hundred inches"),
        ("male, outside nine meters", "outside nine meters"),
        ("length nine thousand miles, two wire", "length nine thousand miles"),
    ],
)
def test_a_number_that_is_refused_is_nothing_else_beside_a_good_one(
    language: Language, text: str, refused: str
) -> None:
    items = language.interpret(text, Context())[0].items
    assert [item.text for item in items if isinstance(item, Rejection)] == [refused]
    readings = [item for item in items if isinstance(item, Reading)]
    assert readings and not any(reading.heard in refused for reading in readings)


def test_a_refusal_knows_what_it_could_have_been(language: Language) -> None:
    least, greatest = only(language, "inside four hundred millimeters").limits
    assert (least.measurand, least.value) == (
        Measurand.INSIDE_DIAMETER,
        Quantity(Fraction(5), Unit.MILLIMETRE, Fraction(1)),
    )
    assert isinstance(greatest.value, Quantity)
    assert greatest.value.mm == 120
    assert not only(language, "seven hundred degrees").limits  # of the seat, of the flanks, of an elbow


def test_what_was_understood_is_kept_beside_what_was_not(language: Language) -> None:
    items = language.interpret("outside nine sixteenths, not thingummy, nineteen degrees pitch, recessed")[0].items
    kinds = [item.reason if isinstance(item, Rejection) else type(item) for item in items]
    assert kinds == [Reading, Reason.OUT_OF_GRAMMAR, Reason.UNIT_MISMATCH, Reading]


@pytest.mark.parametrize(
    "text",
    [
        "hardly nineteen",
        "less than nine sixteenths",
        "the mate is recessed",
        "it was recessed last time",
        "if it is recessed",
        "grab the washer driver",
        "nineteen point",
        "nine thirds",
        "do not start over",
        "not nine sixteenths eighteen",
        "inches nineteen pitch",
    ],
)
def test_a_word_that_may_turn_the_meaning_spoils_it(language: Language, text: str) -> None:
    """Neither the value nor the command is taken, in any meaning that is not far-fetched."""
    for meaning in language.interpret(text, Context()):
        if meaning.log_weight > math.log(0.05):
            assert all(isinstance(item, Rejection) or tells_nothing(item) for item in meaning.items), meaning


def test_work_is_bounded_by_the_longest_text_that_is_read(language: Language) -> None:
    """The most ambiguous texts that are still read: memory stays small, and the answer is whole."""
    for text in (" ".join(["one"] * 80), " ".join(["nine sixteen"] * 40), "1 " * 80, "not " * 80, "1.1.1" * 40):
        tracemalloc.start()
        found = language.interpret(text, Context())
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert found and peak < 40_000_000


@settings(max_examples=60, deadline=None)
@example(text="eighteen threads over sixty degrees")
@given(text=st.text(max_size=200))
def test_no_text_raises(language: Language, text: str) -> None:
    found = language.interpret(text, Context())
    assert found and all(meaning.items for meaning in found)
    assert math.isclose(sum(math.exp(meaning.log_weight) for meaning in found), 1.0)


@pytest.mark.parametrize("along", ["one inch", "twenty millimeters", "two centimeters"])
@pytest.mark.parametrize("not_along", ["one foot", "two feet", "two meters", "two degrees", "ten bar", "ten psi"])
@pytest.mark.parametrize("said", ["sixteen threads in {}", "sixteen threads over {}"])
def test_threads_are_counted_along_short_lengths_and_nothing_else_raises(
    language: Language, said: str, along: str, not_along: str
) -> None:
    def pitched(length: str) -> bool:
        items = language.interpret(said.format(length), Context())[0].items
        return any(isinstance(item, Reading) and Measurand.PITCH in item.measurands for item in items)

    assert pitched(along) and not pitched(not_along)


@settings(max_examples=60, deadline=None)
@given(words=st.lists(st.sampled_from(WORDS), min_size=1, max_size=12))
@example(words=["-6", "can't", "forty"])
@example(words=["M18x1.5", "well", ".594"])
def test_no_jumble_of_its_own_words_raises(language: Language, words: list[str]) -> None:
    found = language.interpret(" ".join(words), Context())
    assert found and all(meaning.items for meaning in found)
    for meaning in found:
        for item in meaning.items:
            for reading in item.readings if isinstance(item, Command) else [item] if isinstance(item, Reading) else []:
                assert reading.options
                assert max(option.log_prior for option in reading.options) == 0.0
