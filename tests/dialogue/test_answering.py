"""A bare value answers what was asked; of two checks asked in one breath, the one that it can be of."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Measurand, Option


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def asked(talk: Talk, *checks: str) -> None:
    """As if these had just been asked in one breath."""
    session = talk.session
    open_ = [Check(each, talk.knowledge.checks[each].measurand, 10.0) for each in checks]
    focus = replace(session.state.focus, check=open_[0], beside=tuple(open_[1:]))
    session.state = replace(session.state, focus=focus)


def asked_whether(talk: Talk, check: str, value: Quantity | str) -> None:
    """As if this yes-or-no check had just been asked."""
    entry = talk.knowledge.checks[check]
    so, not_so = Option(entry.measurand, value), Option(entry.measurand, value, negated=True)
    yes, no = (so, not_so) if entry.yes == "is" else (not_so, so)
    session = talk.session
    slots = {} if isinstance(value, str) else {entry.slot or "": value}
    asked_now = Check(check, entry.measurand, 10.0, slots=slots, yes=yes, no=no)
    focus = replace(session.state.focus, check=asked_now, beside=())
    session.state = replace(session.state, focus=focus)


def taken(talk: Talk, before: int = 0) -> list[tuple[str, str]]:
    """Of the readings after the first ones, what each was taken as."""
    return [
        (
            each.option.measurand.value,
            f"{float(v.value):g} {v.unit}" if isinstance(v := each.option.value, Quantity) else v,
        )
        for each in talk.snapshot.readings[before:]
    ]


TUBE_FIRST, ANGLE_FIRST = ("tube", "seat-angle"), ("seat-angle", "pitch")


@pytest.mark.parametrize(
    ("checks", "said", "values"),
    [
        (("tube", "pitch"), "one point seven five", [("pitch", "1.75 mm")]),  # no tube is so thin
        (("tube", "pitch"), "eleven and a half", [("pitch", "11.5 tpi")]),
        (("tube", "pitch"), "one point oh", [("pitch", "1 mm")]),
        (("tube", "pitch"), "a millimeter and a half", [("pitch", "1.5 mm")]),
        (("tube", "pitch"), "the nineteen one", [("pitch", "19 tpi")]),
        (("tube", "pitch"), "um, like, twenty", [("tube_outside_diameter", "20 mm")]),  # both exist: asked first
        (("pitch", "tube"), "twenty", [("pitch", "20 tpi")]),
        (TUBE_FIRST, "sixteen", [("tube_outside_diameter", "16 mm")]),
        (TUBE_FIRST, "sixty", [("seat_angle", "60 deg")]),
        (TUBE_FIRST, "fourteen, twelve", [("tube_outside_diameter", "14 mm"), ("seat_angle", "12 deg")]),
        (TUBE_FIRST, "twelve, fourteen", [("seat_angle", "12 deg"), ("tube_outside_diameter", "14 mm")]),
        (ANGLE_FIRST, "one and a half", [("pitch", "1.5 mm")]),
        (ANGLE_FIRST, "sixty, fourteen", [("seat_angle", "60 deg"), ("pitch", "14 tpi")]),
        (ANGLE_FIRST, "fourteen, sixty", [("pitch", "14 tpi"), ("seat_angle", "60 deg")]),
        (ANGLE_FIRST, "twelve, twelve", [("seat_angle", "12 deg"), ("pitch", "12 tpi")]),
        (
            ("outside-diameter",),
            "seventeen point nine, one and a half",
            [("outside_diameter", "17.9 mm"), ("pitch", "1.5 mm")],
        ),
        (
            ("outside-diameter", "seal"),
            "three quarters, sixteen",
            [("outside_diameter", "0.75 in"), ("pitch", "16 tpi")],
        ),
        (ANGLE_FIRST, "fourteen pitch, thirty", [("pitch", "14 tpi"), ("seat_angle", "30 deg")]),
    ],
)
def test_two_asked_at_once(talk: Talk, checks: tuple[str, str], said: str, values: list[tuple[str, str]]) -> None:
    talk.say("male, twenty outside, cone goes in")
    asked(talk, *checks)
    talk.say(said)
    assert taken(talk, 3) == values


@pytest.mark.parametrize(
    ("said", "value", "left_out"),
    [
        ("can't tell, twelve", ("seat_angle", "12 deg"), "tube"),
        ("twelve, can't tell", ("tube_outside_diameter", "12 mm"), "seat-angle"),
    ],
)
def test_cannot_tell_is_one_of_two_answers(talk: Talk, said: str, value: tuple[str, str], left_out: str) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say(said)
    assert taken(talk, 2) == [value]
    assert talk.session.record.work.piece.impossible == {left_out}


def test_cannot_tell_of_the_one_keeps_the_other_that_is_named(talk: Talk) -> None:
    """Of two checks only the second was in vain: what was said of the first is on record."""
    talk.say("female, twenty two inside")
    before = len(talk.snapshot.readings)
    asked(talk, "seat-form", "tube")
    talk.say("there's a cone sticking up in the bottom, can't tell")
    assert taken(talk, before) == [("seat_form", "convex")]
    assert talk.session.record.work.piece.impossible == {"tube"}


def test_a_correction_in_one_breath_answers(talk: Talk) -> None:
    """Nineteen was never on record: eighteen is the answer, and replaces nothing."""
    talk.say("male, nine sixteenths outside, cone goes out")
    asked(talk, "pitch")
    talk.say("nineteen nah it's eighteen")
    assert taken(talk, 3) == [("pitch", "18 tpi")]


def test_neither_leaves_out_both(talk: Talk) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("neither")
    assert talk.session.record.work.piece.impossible == set(TUBE_FIRST)


def test_a_value_that_no_gauge_has_is_no_angle(talk: Talk) -> None:
    """It was asked for an angle, and "eighteen" is none: the pitch is not known yet."""
    talk.say("male, outside three quarters, metal on metal")
    asked(talk, "seat-angle")
    talk.say("eighteen")
    assert ("seat_angle", "18 deg") not in taken(talk)


@pytest.mark.parametrize("words", ["no, the angle", "no that's the angle", "I meant the angle", "that was the angle"])
def test_what_a_value_is_of_is_put_right(talk: Talk, words: str) -> None:
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("thirty")
    assert taken(talk, 2) == [("tube_outside_diameter", "30 mm")]
    talk.say(words)
    assert taken(talk, 2) == [("seat_angle", "30 deg")]


def test_no_gauge_is_the_gauge_that_was_asked_for(talk: Talk) -> None:
    """Of a caliper and a gauge, asked for at once, "no gauge" is the gauge."""
    talk.say("male, cone goes in")
    asked(talk, *TUBE_FIRST)
    talk.say("I haven't got a gauge")
    assert talk.session.record.without == {"seat-gauge"}


FITS = [
    "no", "nope", "nah", "no light", "not a glimmer", "nope, spot on", "sits perfect", "it sits dead flat",
    "yes it fits", "yeah it fits", "no daylight at all", "touches all along", "that one fits", "dead on", "yeah nah",
]  # fmt: skip
STANDS_OFF = [
    "yes", "yeah", "yep", "a bit of light at the tip", "there's a fair bit of light", "only a hair", "not quite",
    "no it doesn't fit", "it rocks a bit", "no good", "I can see light at the back", "miles off",
    "no it's the wrong one",
]  # fmt: skip


@pytest.mark.parametrize(("said", "fits"), [*((each, True) for each in FITS), *((each, False) for each in STANDS_OFF)])
def test_any_light(talk: Talk, said: str, fits: bool) -> None:
    """Whoever says "yes, it fits" to "Any light?" says that there is none."""
    talk.say("male, three quarters outside, sixteen pitch, sticks out")
    asked_whether(talk, "seat-gauge", Quantity(Fraction(37), Unit.DEGREE))
    talk.say(said)
    option = talk.snapshot.readings[-1].option
    assert option.measurand is Measurand.SEAT_ANGLE
    assert option.negated is not fits


RING = ["yes, with a ring in it", "it had one", "there's a groove but no ring", "the groove's empty but it's there"]
NO_RING = [
    "no it hasn't got one",
    "yeah nah, it isn't",
    "not any more",
    "no, smooth all the way",
    "no, it's just plain metal",
]


@pytest.mark.parametrize(("said", "ring"), [*((each, True) for each in RING), *((each, False) for each in NO_RING)])
def test_is_there_a_ring(talk: Talk, said: str, ring: bool) -> None:
    """An empty groove says that it has one."""
    talk.say("female, twenty inside, cone goes out")
    asked_whether(talk, "cone-o-ring", "cone_o_ring")
    talk.say(said)
    option = talk.snapshot.readings[-1].option
    assert (option.measurand, option.value, option.negated) == (Measurand.SEAL, "cone_o_ring", not ring)


def test_the_same_words_once_more_are_a_yes(talk: Talk) -> None:
    """Whoever is asked "...: right?" and says it again has said yes, whatever was made of it."""
    talk.say("male, twenty outside, cone goes in")
    talk.hear(("forty-five degrees", 0.6), ("hello", 0.4))
    assert talk.reply.endswith("right?")
    talk.hear(("forty-five degrees", 0.6), ("forty-five degrees", 0.1))
    assert ("seat_angle", "45 deg") in taken(talk)


BOLTS = [("bolt_long", "57 mm"), ("bolt_short", "28 mm")]


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("bolts are fifty seven by twenty eight", BOLTS),
        ("fifty seven by twenty eight", BOLTS),
        ("across the bolts it's fifty seven and twenty eight", BOLTS),
        ("bolt holes fifty seven and twenty eight", BOLTS),
        ("head is fifty", [("flange_head_diameter", "50 mm")]),
        ("fifty outside", [("flange_head_diameter", "50 mm")]),
        ("fifty", [("flange_head_diameter", "50 mm")]),
    ],
)
def test_numbers_of_a_flange(talk: Talk, said: str, values: list[tuple[str, str]]) -> None:
    """They are of its head and its bolts, never of a thread or a hexagon."""
    talk.say("it's a flange")
    talk.say(said)
    assert taken(talk, 1) == values


@pytest.mark.parametrize("shape", ["quick coupler", "staple"])
def test_a_diameter_of_what_has_no_thread(talk: Talk, shape: str) -> None:
    talk.say(f"{shape}, male")
    before = len(talk.snapshot.readings)
    talk.say("eighteen point nine outside")
    assert taken(talk, before) == [("profile_diameter", "18.9 mm")]


@pytest.mark.parametrize(
    ("said", "length"),
    [
        ("length a meter twenty", "1200 mm"),
        ("a metre and a half", "1500 mm"),
        ("one metre two hundred", "1200 mm"),
        ("two metres fifty", "2500 mm"),
        ("one metre two hundred and fifty", "1250 mm"),
        ("a metre and a quarter", "1250 mm"),
    ],
)
def test_metres_and_more_are_one_length(talk: Talk, said: str, length: str) -> None:
    talk.say("this is a hose")
    talk.say(said)
    assert taken(talk) == [("length", length)]


def test_one_metre_two_is_asked(talk: Talk) -> None:
    """Two centimetres, or twenty: nobody can know."""
    talk.say("this is a hose")
    talk.say("one metre two")
    assert taken(talk) == []
    assert talk.snapshot.pending is not None


def test_a_fraction_of_an_inch_is_the_bore_of_a_hose(talk: Talk) -> None:
    talk.say("this is a hose")
    talk.say("there's no print on it")
    talk.say("half inch")
    assert taken(talk) == [("hose_bore", "0.5 in")]


def test_what_was_left_out_and_would_tell_is_named(talk: Talk) -> None:
    """Fourteen heavy and fifteen light have one thread and one cone: the tube tells, and it was left out."""
    replies = [talk.say("male, twenty two outside, one point five pitch, it goes in, twelve degrees")]
    while talk.check is not None:
        replies.append(talk.say("can't tell"))
    assert not talk.snapshot.advice.identified
    [asked_again] = [reply for reply in replies if "This would tell: What tube" in reply]
    assert len(asked_again.split()) <= 30
    assert replies[-2:] == [asked_again, replies[-1]]  # not told again either: then it is left at that
    assert "Only a sample or the maker's data tells." in replies[-1]
    assert len(set(replies)) == len(replies)


@pytest.mark.parametrize("words", ["sort of, hard to say", "kind of, I can't tell", "no, can't really tell"])
def test_an_answer_that_ends_in_not_knowing_is_none(talk: Talk, words: str) -> None:
    talk.say("male, nineteen pitch")
    asked_whether(talk, "banjo", "banjo")
    before = talk.snapshot.readings
    talk.say(words)
    assert talk.snapshot.readings == before


def test_the_first_candidate_is_the_variant_that_was_said(talk: Talk) -> None:
    """A stud with a metal edge is ordered under the name of its part, and shown as what it is."""
    for text in ("stud, parallel, sharp edge on the shoulder", "sixteen and a half outside, nineteen pitch"):
        talk.say(text)
    talk.say("flat shoulder, metal seat, no washer, no o ring")
    assert talk.leader == "bspp-port/6/stud-edge"
