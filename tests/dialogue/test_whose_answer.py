"""A yes or no is of what its sentence names; what only fills a pause answers nothing, and what ends a sentence ends no
session."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from tests.dialogue.test_resolving import taken
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def asked_for_yes_or_no(talk: Talk) -> Talk:
    talk.say("male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out")
    talk.say("other end")
    talk.say("female, outside three quarters")
    check = talk.session.state.focus.check
    assert check is not None and check.yes is not None and not check.yes.negated
    return talk


@pytest.mark.parametrize("filler", ["right", "right so", "okay so", "right then"])
def test_right_to_an_open_check_answers_nothing_and_is_not_met_with_silence(talk: Talk, filler: str) -> None:
    asked_for_yes_or_no(talk)
    before = talk.snapshot.readings
    assert talk.say(filler).startswith("Still open:")
    assert talk.snapshot.readings == before


def test_right_to_a_question_that_ends_in_right_is_a_yes(talk: Talk) -> None:
    assert talk.say("turns").endswith("right?")
    assert talk.say("right").startswith("Female.")


@pytest.mark.parametrize("said", ["no light no", "no, no gap", "no daylight"])
def test_light_is_no_answer_where_none_was_asked_about(talk: Talk, said: str) -> None:
    asked_for_yes_or_no(talk)
    before = talk.snapshot.readings
    talk.say(said)
    assert talk.snapshot.readings == before


def test_a_gauge_that_fits_the_seat_is_none_of_the_thread(talk: Talk) -> None:
    talk.say("female, nineteen leaf, sixty degrees, stands out")
    talk.say("sixty degree fits, no light")
    assert Measurand.FLANK_ANGLE not in {each.option.measurand for each in talk.snapshot.readings}
    talk.say("flanks sixty degrees")
    assert Measurand.FLANK_ANGLE in {each.option.measurand for each in talk.snapshot.readings}


@pytest.mark.parametrize(
    "said", ["yes the straight edge lies flat along the nose", "the ruler touches all along the cone"]
)
def test_how_the_straight_edge_lay_is_of_the_nose(talk: Talk, said: str) -> None:
    talk.say("female, nineteen leaf, sixty degrees, stands out")
    talk.say(said)
    assert {Measurand.NOSE: "straight"}.items() <= {
        each.option.measurand: each.option.value for each in talk.snapshot.readings
    }.items()


@pytest.mark.parametrize("said", ["that's all", "it has a bend in it, that's all", "and that's all", "is it all done"])
def test_what_ends_a_sentence_ends_no_session(talk: Talk, said: str) -> None:
    talk.say("male")
    assert "Stopped" not in talk.say(said) and not talk.stopped


@pytest.mark.parametrize("said", ["that's all for today", "we're done", "stop", "that's it for today"])
def test_who_is_done_for_today_stops(talk: Talk, said: str) -> None:
    talk.say("male")
    assert talk.say(said).startswith("Stopped.")


@pytest.mark.parametrize(
    "asked", ["is that everything", "is it settled", "are we done", "is it all done", "are you sure"]
)
def test_whether_it_is_settled_says_what_is_missing_and_sets_nothing(talk: Talk, asked: str) -> None:
    talk.say("swivel nut")
    talk.say("three quarters sixteen")
    reply = talk.say(asked)
    assert reply.startswith("Very likely") and reply.endswith("?")
    assert not talk.deeds


def asked_for_light(talk: Talk) -> Talk:
    for line in ("male", "outside twenty point nine", "fourteen tpi", "no seat, thread seals"):
        talk.say(line)
    check = talk.session.state.focus.check
    assert check is not None and check.measurand is Measurand.FLANK_ANGLE
    return talk


@pytest.mark.parametrize(
    "said",
    [
        "nope, no seat in there at all, just threads",
        "no, there's no seat in it",
        "yes it's a male",
        "yeah, tube's nineteen",
        "nope, it's got no ring",
        "nah, hex is twenty seven",
        "fourteen, and yeah it's got no ring",
    ],
)
def test_a_yes_or_no_that_runs_into_another_fact_answers_no_open_check(talk: Talk, said: str) -> None:
    asked_for_light(talk)
    assert talk.say(said).endswith("Light on the flanks?")
    assert Measurand.FLANK_ANGLE not in {each.option.measurand for each in talk.snapshot.readings}


@pytest.mark.parametrize("said", ["no, and the hex is twenty seven", "no it doesn't, hex is twenty seven", "no light"])
def test_a_yes_or_no_that_answers_is_taken_with_what_goes_on_behind_it(talk: Talk, said: str) -> None:
    asked_for_light(talk)
    talk.say(said)
    assert Measurand.FLANK_ANGLE in {each.option.measurand for each in talk.snapshot.readings}


@pytest.mark.parametrize("said", ["no, only a flat", "nope, just a shoulder", "no it's just flat"])
def test_what_is_there_instead_does_not_hide_the_no(talk: Talk, said: str) -> None:
    for line in ("port", "metric", "twenty and a half inside", "can't tell", "can't tell"):
        talk.say(line)
    check = talk.session.state.focus.check
    assert check is not None and check.id == "port-chamfer"
    talk.say(said)
    taken = {(each.option.measurand, each.option.value, each.option.negated) for each in talk.snapshot.readings}
    assert (Measurand.SEAL, "base_o_ring", True) in taken
    assert Measurand.SEAT_FORM in {measurand for measurand, _, _ in taken}


@pytest.mark.parametrize(
    "said",
    [
        "the O-ring's on its own, no metal",
        "o ring by itself, no washer round it",
        "there's no metal round the ring",
        "no ring, it's alone",
    ],
)
def test_an_o_ring_that_is_alone_has_no_ring_around_it(talk: Talk, said: str) -> None:
    for line in ("stud end", "o ring at the base", "twenty two outside", "one and a half"):
        talk.say(line)
    talk.say(said)
    taken = {(each.option.measurand, each.option.value, each.option.negated) for each in talk.snapshot.readings}
    assert (Measurand.SHOULDER_EDGE, "ring", True) in taken
    assert (Measurand.SEAL, "metal", False) not in taken and (Measurand.SEAL, "o_ring", True) not in taken


NOSE = ("female M24 by 1.5 nose sticks out", "24 degrees", "no O-ring", "can't tell", "can't tell")


@pytest.mark.parametrize(
    ("said", "nose"),
    [
        ("a straight edge touches all along", "straight"),
        ("it touches all along", "straight"),
        ("touching the whole way", "straight"),
        ("straight edge sits true the whole way", "straight"),
        ("it touches from tip to rim", "straight"),
        ("it rocks", "ball"),
        ("it does not touch all along", "ball"),
        ("no, it touches at one point", "ball"),
    ],
)
def test_how_the_edge_lay_answers_whether_it_touches(talk: Talk, said: str, nose: str) -> None:
    for line in NOSE:
        talk.say(line)
    assert talk.say(said).startswith(f"{nose.capitalize()} nose.")
    assert not any(each.option.measurand is Measurand.TAPER for each in talk.snapshot.readings)


@pytest.mark.parametrize(
    "said", ["there is twenty four degree on the cone", "on the cone it is twenty four", "twenty four on the nose"]
)
def test_an_angle_on_the_cone_is_no_ring_there(talk: Talk, said: str) -> None:
    talk.say("female swivel, M twenty two by one and a half")  # the seal is asked for
    talk.say(said)
    assert {each.option.measurand for each in talk.snapshot.readings} >= {Measurand.SEAT_ANGLE}
    assert not any(each.option.measurand is Measurand.SEAL for each in talk.snapshot.readings)


@pytest.mark.parametrize(
    "said", ["the flange head is round", "the end is round", "it has a round shoulder", "the collar is round"]
)
def test_what_is_round_is_a_ball_only_where_the_nose_was_asked(talk: Talk, said: str) -> None:
    talk.say(said)
    assert not any(each.option.measurand is Measurand.NOSE for each in talk.snapshot.readings)


@pytest.mark.parametrize(
    ("said", "outside"),
    [
        ("not thirteen comma one, thirteen comma nine", "13.9"),
        ("I have read the caliper false, it is thirteen comma nine", "13.9"),
        ("sorry that thirteen was wrong, twelve point seven", "12.7"),
        ("hang on, it was fourteen mil, I read it wrong", "14"),
        ("before I told you wrong, the diameter is fourteen", "14"),
        ("I told you wrong before, it is fourteen", "14"),
        ("wait, fourteen point two, I read it false", "14.2"),
        ("the thirteen one was false", None),
        ("the thirteen was wrong", None),
        ("thirteen point one was rubbish", None),
    ],
)
def test_a_late_correction_is_of_the_reading_that_had_the_value(talk: Talk, said: str, outside: str | None) -> None:
    talk.say("outside thirteen comma one")
    talk.say(said)
    readings = [each.option for each in talk.snapshot.readings]
    assert [each.measurand for each in readings] == [Measurand.OUTSIDE_DIAMETER] * (outside is not None)
    assert [float(each.value.mm) for each in readings if isinstance(each.value, Quantity)] == [
        float(each) for each in (outside,) if each is not None
    ]


@pytest.mark.parametrize("said", ["the sixteen was rubbish", "sixteen leaf is rubbish"])
def test_a_leaf_that_was_rubbish_does_not_fit(talk: Talk, said: str) -> None:
    talk.say("outside thirteen comma one")
    talk.say(said)
    last = talk.snapshot.readings[-1].option
    assert last.measurand is Measurand.PITCH and last.negated


_CONE = "male, outside nineteen, sixteen pitch, cone nose"  # asks for light at the thirty-seven degree gauge


@pytest.mark.parametrize(
    "said",
    [
        "I can't see light, what else can I do",
        "I can't see if there's light",
        "can't see the light from here",
        "my eyes are no good, I can't see light",
        "I can't see so well, is there another way",
        "I said I can't see, not that it doesn't fit",
    ],
)
def test_who_cannot_see_light_hears_how_it_is_felt(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    assert "light" in talk.say(_CONE)
    before = taken(talk)
    assert "rocks" in talk.say(said)
    assert taken(talk) == before
    talk.say("no, it doesn't rock")
    assert ("seat_angle", 37, False) in taken(talk)


def test_no_light_is_still_an_answer(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(_CONE)
    talk.say("no light that I can see")
    assert ("seat_angle", 37, False) in taken(talk)
