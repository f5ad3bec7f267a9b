"""What was asked moves the weights, and forbids nothing."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.interpretation import notes
from tests.interpretation.test_phrases import ROWS
from voicefit.interpretation import Language
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Context, Measurand, Reading, Reason, Rejection

NOTHING = Context()
PITCH = Context(expected=(Measurand.PITCH,))
LEAF = Context(expected=(Measurand.PITCH,), yes_no=True, misfit=True)


def best(language: Language, text: str, context: Context) -> str:
    return notes.meaning(language.interpret(text, context)[0])


def test_a_bare_number_is_a_hexagon_only_where_one_was_asked_for(language: Language) -> None:
    for text in ("thirty-seven", "forty-five", "two", "twenty-two"):
        (reading,) = language.interpret(text, PITCH)[0].items
        assert isinstance(reading, Reading) and Measurand.HEX not in reading.measurands


@pytest.mark.parametrize(
    ("asked", "text", "meaning"),
    [
        (Measurand.PITCH, "nineteen", "pitch 19 tpi | …"),
        (Measurand.PITCH, "one point five", "pitch 3/2 mm | …"),
        (Measurand.PITCH, "eleven and a half", "pitch 23/2 tpi | …"),
        (Measurand.SEAT_ANGLE, "thirty", "seat_angle 30 deg | …"),
        (Measurand.SEAT_ANGLE, "thirty-seven", "seat_angle 37 deg"),
        (Measurand.INSIDE_DIAMETER, "fifteen point one", "inside_diameter 15.1 mm /10 | …"),
        (Measurand.INSIDE_DIAMETER, "nineteen thirty-seconds", "inside_diameter 19/32 in /32 | …"),
        (Measurand.DASH, "six", "dash 6 1 | …"),
        (Measurand.HEX, "twenty-two", "hex 22 mm /1 | …"),
        (Measurand.TUBE_OUTSIDE_DIAMETER, "twelve", "tube_outside_diameter 12 mm /1 | …"),
        (Measurand.FLANGE_HEAD_THICKNESS, "eight point one", "flange_head_thickness 8.1 mm /10 | …"),
        (Measurand.BOLT_LONG, "fifty-two point four", "bolt_long 52.4 mm /10 | …"),
        (Measurand.FIRST_THREAD_DIAMETER, "thirteen point two", "first_thread_diameter 13.2 mm /10 | …"),
        (Measurand.PROFILE_DIAMETER, "thirty", "profile_diameter 30 mm /1 | …"),
        (Measurand.MOUTH_DIAMETER, "twenty-nine point four", "mouth_diameter 29.4 mm /10 | …"),
        (Measurand.MOUTH_DIAMETER, "no chamfer", "mouth_diameter absent"),
        (Measurand.MOUTH_DIAMETER, "there is none", "mouth_diameter absent"),
        (Measurand.MOUTH_DIAMETER, "the chamfer is twenty-nine", "mouth_diameter 29 mm /1"),
        (Measurand.CREST, "rounded", "crest rounded | …"),
        (Measurand.CREST, "cut flat", "crest flat | …"),
        (Measurand.BOLT_CIRCLE, "fifty-eight point six", "bolt_circle 58.6 mm /10 | …"),
        (Measurand.HOSE_BORE, "half inch", "hose_bore 1/2 in /16 | …"),
        (Measurand.LENGTH, "six hundred", "length 600 mm /1 | length 600 in /8"),
        (Measurand.PRESSURE, "three thousand", "pressure 3000 psi | …"),
        (Measurand.TEMPERATURE, "eighty", "temperature 80 degC | temperature 80 degF | …"),
        (Measurand.ELBOW_ANGLE, "ninety", "elbow_angle 90 deg | …"),
        (Measurand.FLANK_ANGLE, "fifty-five", "flank_angle 55 deg"),
        (Measurand.THREAD_SIDE, "inside", "thread_side internal"),
        (Measurand.THREAD_SIDE, "outside", "thread_side external"),
        (Measurand.SEAT_FORM, "in", "seat_form recessed"),
        (Measurand.SEAT_FORM, "none", "seat_form none"),
        (Measurand.NOSE, "straight", "nose straight"),
    ],
)
def test_a_bare_answer_is_of_what_was_asked(language: Language, asked: Measurand, text: str, meaning: str) -> None:
    found = best(language, text, Context(expected=(asked,)))
    assert found == meaning or found.startswith(meaning.removesuffix(" | …"))


@pytest.mark.parametrize("asked", list(Measurand))
def test_whatever_was_asked_anything_may_be_said(language: Language, asked: Measurand) -> None:
    """A measurand that is said is never overruled by the question."""
    context = Context(expected=(asked,), yes_no=True)
    for text, meaning in [
        ("outside nineteen thirty-seconds", "outside_diameter 19/32 in /32"),
        ("nineteen pitch", "pitch 19 tpi"),
        ("dash six", "dash 6 1"),
        ("recessed", "seat_form recessed"),
        ("can't tell", "!cannot-tell"),
        ("undo three", "!undo 3"),
        ("what can i say", "!help"),
    ]:
        assert best(language, text, context) == meaning


def test_a_leaf_that_was_asked_about(language: Language) -> None:
    """ "Any gap?": a gap says yes, a good fit says no; where nothing was asked they say nothing."""
    for text in ("gap", "there's a gap", "it rocks", "light"):
        assert best(language, text, LEAF) == "!yes"
        assert isinstance(language.interpret(text, PITCH)[0].items[0], Rejection)
    assert best(language, "it doesn't fit", LEAF) == "!yes"
    assert best(language, "it doesn't fit", PITCH) == "!none-fits"
    assert best(language, "it fits", LEAF) == best(language, "fits", LEAF) == "!no"
    for text in ("no gap", "no light"):
        assert best(language, text, LEAF) == "!no"
        first = language.interpret(text, PITCH)[0].items[0]
        assert isinstance(first, Rejection) or (isinstance(first, Reading) and first.guessed)


def test_values_of_the_matcher_decide_between_readings(language: Language) -> None:
    nine_sixteenths = Quantity(Fraction(9, 16), Unit.INCH)
    millimetres = Quantity(Fraction("9.16"), Unit.MILLIMETRE)
    for likely, unlikely in ((nine_sixteenths, millimetres), (millimetres, nine_sixteenths)):
        listed = ((likely, 0.9), (unlikely, 0.001))
        context = Context(expected=(Measurand.OUTSIDE_DIAMETER,), values={Measurand.OUTSIDE_DIAMETER: listed})
        reading = language.interpret("9.16", context)[0].items[0]
        assert isinstance(reading, Reading)
        value = reading.options[0].value
        assert isinstance(value, Quantity)
        assert (value.value, value.unit) == (likely.value, likely.unit)


def test_the_users_habit_settles_a_unit_left_unsaid(language: Language) -> None:
    for unit in ("in", "mm"):
        reading = language.interpret("length sixty", Context(preferred_length=unit))[0].items[0]
        assert isinstance(reading, Reading)
        value = reading.options[0].value
        assert isinstance(value, Quantity)
        assert value.unit == unit
        assert len(reading.options) == 2


def test_yes_and_no_belong_to_a_question(language: Language) -> None:
    (yes,) = language.interpret("yes")
    assert language.log_prior(yes, Context(yes_no=True)) > language.log_prior(yes, Context())
    (repeat,) = language.interpret("repeat")
    assert language.log_prior(repeat, Context()) == 0.0
    assert language.log_prior(repeat, Context(commands=frozenset({"wake-up"}))) < 0.0
    (junk,) = language.interpret("banana")
    assert language.log_prior(junk, Context()) < 0.0


def test_prior_of_a_meaning_leans_to_the_question_and_to_its_values(language: Language) -> None:
    leaves = (
        (Quantity(Fraction(19), Unit.THREADS_PER_INCH), 1.0),
        (Quantity(Fraction(18), Unit.THREADS_PER_INCH), 0.2),
    )
    context = Context(expected=(Measurand.PITCH,), values={Measurand.PITCH: leaves})
    priors = {
        text: language.log_prior(language.interpret(text, context)[0], context)
        for text in ("nineteen pitch", "eighteen pitch", "fourteen pitch", "recessed")
    }
    assert priors["nineteen pitch"] > priors["eighteen pitch"] > priors["fourteen pitch"]
    assert priors["nineteen pitch"] > priors["recessed"] == 0.0
    assert all(math.isfinite(prior) for prior in priors.values())


# ---- merge ----------------------------------------------------------------------------------------------------


def test_what_exists_and_what_is_talked_of_is_likelier(language: Language) -> None:
    """Without any context: a pitch of fifty does not exist, and nobody measures an end in feet."""

    def prior(text: str, context: Context = NOTHING) -> float:
        return language.log_prior(language.interpret(text, context)[0], context)

    assert prior("nineteen pitch") == prior("seat thirty") == prior("dash six") == 0.0
    assert prior("fifty pitch") < 0.0 and prior("seat forty") < 0.0 and prior("dash seven") < 0.0
    assert prior("nineteen foot") < prior("nineteen pitch")
    hose = Context(expected=(Measurand.HOSE_BORE,))
    assert prior("length six hundred", hose) == 0.0 > prior("length six hundred")


def test_a_number_without_unit_beside_a_whole_reading_is_unlikely(language: Language) -> None:
    def prior(text: str, *asked: Measurand) -> float:
        context = Context(expected=asked)
        return language.log_prior(language.interpret(text, context)[0], context)

    whole, lost = "outside nineteen thirty-seconds nineteen pitch", "outside nineteen thirty-seconds nineteen"
    assert prior(lost) < prior(whole) == 0.0
    outside = Measurand.OUTSIDE_DIAMETER
    assert prior(lost, outside) < prior(whole, outside)  # the question is answered: what is the other number?
    for text in ("inside sixty-four, five millimeters", "outside twenty-three millimeters length eleven inches"):
        assert prior(text) <= -3.0  # what the recogniser is sure of is asked about all the same
    assert prior("nineteen") == 0.0 and prior("yes nineteen", Measurand.PITCH) > prior("yes nineteen")


@pytest.mark.parametrize(
    ("unlikely", "likely"),
    [
        ("outside 34 3mm 19 threads per inch", "outside 34.3mm 19 threads per inch"),
        ("outside twenty-one, outside twenty-two", "outside twenty-one, inside twenty-two"),
        ("nineteen pitch, one point five millimeter pitch", "nineteen pitch, no, one point five millimeter pitch"),
        ("nineteen pitch, one point five millimeter pitch", "not nineteen pitch, one point five millimeter pitch"),
        ("outside 0.4261 inches", "outside 0.426 inches"),
        ("outside 0.4261 inches", "outside 0.4375 inches"),
    ],
)
def test_what_nobody_measures_at_once_is_unlikely(language: Language, unlikely: str, likely: str) -> None:
    odd, usual = (language.log_prior(language.interpret(text)[0], NOTHING) for text in (unlikely, likely))
    assert odd <= -3.0 < usual


def test_what_a_text_means_depends_on_the_context_of_the_moment(language: Language) -> None:
    asked = Context(expected=(Measurand.PITCH,))
    for context in (NOTHING, asked, NOTHING, asked):
        assert (best(language, "nineteen", context).startswith("pitch 19 tpi")) == (context is asked)


@settings(max_examples=30, deadline=None)
@given(row=st.sampled_from(ROWS))
def test_the_meanings_of_a_text_share_all_the_weight(language: Language, row: tuple[str, ...]) -> None:
    meanings = language.interpret(row[0])
    assert math.isclose(sum(math.exp(meaning.log_weight) for meaning in meanings), 1.0, rel_tol=1e-9)


def test_no_and_a_value_is_a_correction_or_an_answer(language: Language) -> None:
    found = language.interpret("no, twenty", PITCH)
    correction, answer = found[0].items[0], found[1].items
    assert isinstance(correction, Command) and correction.name == "correct"
    assert correction.readings[0].options[0].measurand is Measurand.PITCH
    assert [type(item) for item in answer] == [Command, Reading]


def test_nothing_but_words_passed_over_is_named(language: Language) -> None:
    (meaning,) = language.interpret("it is the")
    assert meaning.items == (Rejection("it is the", Reason.OUT_OF_GRAMMAR, "it is the"),)


@pytest.mark.parametrize(
    "text", ["no, the gauge shows light", "no, gauge did show light", "the gauge shows a bit of light"]
)
def test_a_gauge_that_shows_light_is_not_missing(language: Language, text: str) -> None:
    asked = Context(expected=(Measurand.SEAT_ANGLE,), yes_no=True, misfit=True)
    assert [item.name for item in language.interpret(text, asked)[0].items if isinstance(item, Command)] == ["yes"]


@pytest.mark.parametrize(
    "text",
    [
        "the ring came off with the fitting", "it went with the old plug", "the seal stayed on the other half",
        "nothing there now", "there's nothing left in it any more", "it must have come out with the hose",
    ],
)  # fmt: skip
def test_a_seal_that_went_with_the_other_part_is_missing(language: Language, text: str) -> None:
    """It tells nothing of this end, and nothing leaks."""
    asked = Context(expected=(Measurand.SEAL,))
    assert [item.name for item in language.interpret(text, asked)[0].items if isinstance(item, Command)] == ["missing"]


@pytest.mark.parametrize(
    "text", ["the ring is in the other end", "that'll be in the mating half", "the o-ring must be on the other half"]
)
def test_a_seal_that_lies_in_the_mate_is_the_seal(language: Language, text: str) -> None:
    [meaning, *_] = language.interpret(text, Context(expected=(Measurand.SEAL,)))
    said = [(o.measurand, o.value) for item in meaning.items if isinstance(item, Reading) for o in item.options]
    assert said == [(Measurand.SEAL, "o_ring")] and len(meaning.items) == 1


def test_a_ring_around_the_ring_is_told_with_a_yes(language: Language) -> None:
    asked = Context(expected=(Measurand.SEAL,), yes_no=True)
    found = language.interpret("yes with a steel ring round it", asked)[0].items
    said = {(o.measurand, o.value) for item in found if isinstance(item, Reading) for o in item.options}
    assert (Measurand.SHOULDER_EDGE, "ring") in said
