"""Plain sentences of the shop, whole: nothing of them is refused, turned round, or taken for something else."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def taken(talk: Talk) -> dict[Measurand, str]:
    """What is on record, without what is denied."""
    options = [reading.option for reading in talk.snapshot.readings]
    return {
        option.measurand: str(getattr(option.value, "value", option.value)) for option in options if not option.negated
    }


@pytest.mark.parametrize("angle", ["sixty", "thirty seven", "forty five"])
def test_two_readings_of_one_text_that_go_together_are_no_doubt(talk: Talk, angle: str) -> None:
    """An angle, and an angle and a cone: the one only leaves more open."""
    reply = talk.say(f"it's a female with a loose nut, it's a {angle} degree cone, eleven threads")
    assert "right?" not in reply
    assert taken(talk)[Measurand.PITCH] == "11"
    assert Measurand.SEAT_ANGLE in taken(talk)


@pytest.mark.parametrize("said", ["out, no sorry, in", "out, scratch that, in", "out, sorry, it goes in"])
def test_of_two_seats_the_last_one_is_the_answer(talk: Talk, said: str) -> None:
    talk.say("male, twenty-two outside, fourteen pitch")
    assert talk.check == "seat-form"
    talk.say(said)
    assert taken(talk)[Measurand.SEAT_FORM] == "recessed"


@pytest.mark.parametrize(
    ("said", "measurand", "value"),
    [
        ("there is an o ring but I can't tell where it sits", Measurand.SEAL, "o_ring"),
        ("there's a washer but I don't know what kind", Measurand.SEAL, "washer"),
    ],
)
def test_who_cannot_tell_the_rest_has_told_this(talk: Talk, said: str, measurand: Measurand, value: str) -> None:
    talk.say(said)
    assert taken(talk)[measurand] == value


@pytest.mark.parametrize("said", ["I meant inside", "I meant to say inside", "sorry, inside I meant"])
def test_a_bare_number_moves_to_the_side_that_is_said_then(talk: Talk, said: str) -> None:
    talk.say("fourteen threads, male")
    talk.say("twenty-two")
    talk.say(said)
    assert taken(talk)[Measurand.INSIDE_DIAMETER] == "22"
    assert Measurand.OUTSIDE_DIAMETER not in taken(talk)


def test_what_should_be_is_asked_about_where_nothing_was_said(talk: Talk) -> None:
    assert talk.say("outside should be twenty two") == "Twenty-two millimeters outside: right?"
    talk.say("yes")
    assert taken(talk)[Measurand.OUTSIDE_DIAMETER] == "22"


def test_a_left_handed_thread_is_not_a_worn_one(talk: Talk) -> None:
    talk.say("male, twenty-two outside")
    assert "orn" not in talk.say("left hand thread")


@pytest.mark.parametrize(("said", "reply"), [("and two males", "male"), ("order it and two females", "female")])
def test_ends_are_ordered_beside_the_end(talk: Talk, said: str, reply: str) -> None:
    talk.say("half inch NPT male, tapered, sealing thread, flanks sixty degrees")
    talk.say("order slip")
    assert f"{reply}, dash eight" in talk.say(said)


@pytest.mark.parametrize("said", ["lubricated or dry", "is that with the threads oiled or dry", "dry or greased"])
def test_whether_a_thread_is_oiled_is_what_a_sealant_is(talk: Talk, said: str) -> None:
    talk.say(said)
    assert talk.called == {"sealant"}


def test_a_line_that_it_is_not_leaves_the_question_open(talk: Talk) -> None:
    for said in ("new hose", "two wire, half inch", "one meter long", "eighty degrees"):
        talk.say(said)
    assert talk.say("no, not suction").endswith("Pressure, return, suction, pilot or drain line, or a note?")


@pytest.mark.parametrize(
    "said",
    [
        "outside twenty two and under the collar it's eighteen",
        "outside twenty two, in front of it eighteen",
        "outside twenty two, past the shoulder eighteen",
        "outside twenty two, behind it eighteen",
    ],
)
def test_a_number_that_cannot_be_placed_is_asked_about_and_the_rest_is_kept(talk: Talk, said: str) -> None:
    assert talk.say(said).endswith("eighteen: is that the thread, the hex, the tube or the seat?")
    assert taken(talk) == {Measurand.OUTSIDE_DIAMETER: "22"}


@pytest.mark.parametrize("answer", ["the hex", "hex", "that's the nut", "the hex is eighteen"])
def test_what_it_is_of_is_the_answer(talk: Talk, answer: str) -> None:
    talk.say("outside twenty two and under the collar it's eighteen")
    talk.say(answer)
    assert taken(talk) == {Measurand.OUTSIDE_DIAMETER: "22", Measurand.HEX: "18"}


@pytest.mark.parametrize("answer", ["no", "none of them", "neither", "forget it", "can't tell"])
def test_none_of_those_is_an_answer_too(talk: Talk, answer: str) -> None:
    talk.say("outside twenty two and under the collar it's eighteen")
    assert talk.say(answer).endswith("Out, in, flat, a shoulder, or none?")
    assert taken(talk) == {Measurand.OUTSIDE_DIAMETER: "22"}


def test_something_else_is_taken_and_the_number_left(talk: Talk) -> None:
    talk.say("outside twenty two and under the collar it's eighteen")
    talk.say("tapered")
    assert taken(talk) == {Measurand.OUTSIDE_DIAMETER: "22", Measurand.TAPER: "tapered"}
    talk.say("the hex")
    assert Measurand.HEX not in taken(talk)


@pytest.mark.parametrize("said", ["should have been thirty seven degrees", "it should've been male"])
def test_what_should_have_been_corrects_nothing_where_nothing_was_said(talk: Talk, said: str) -> None:
    assert talk.say(said) == "No value to correct."


@pytest.mark.parametrize(
    "said", ["a jic three quarter on it", "three quarter jic female", "male, thirty-seven degrees"]
)
def test_an_end_said_of_a_hose_that_is_empty_leaves_the_hose(talk: Talk, said: str) -> None:
    talk.say("new hose")
    assert "End, piece two of job one." in talk.say(said)
    assert [piece.kind for piece in talk.session.state.record.work.job.pieces] == ["hose", "end"]


@pytest.mark.parametrize(
    "where",
    [
        "inside that",
        "inside it",
        "beside it",
        "behind that",
        "next to it",
        "on the other side",
        "yesterday",
        "last week",
    ],
)
@pytest.mark.parametrize("said", ["outside twenty two, {} eighteen", "{} eighteen, outside twenty two"])
def test_a_number_at_another_place_or_time_is_asked_about_alone(talk: Talk, where: str, said: str) -> None:
    """It is no second size, and the size beside it is kept."""
    reply = talk.say(said.format(where))
    assert set(taken(talk)) == {Measurand.OUTSIDE_DIAMETER}
    assert f"{where.capitalize()} eighteen: is that the thread, the hex, the tube or the seat?" in reply


def test_whose_number_it_was_answers_no_open_question(talk: Talk) -> None:
    talk.say("outside 24.9")
    assert talk.check == "face-o-ring"
    talk.say("no, that 24.9 is the nut's")
    assert taken(talk) == {Measurand.HEX: "249/10"}
    assert not [each for each in talk.snapshot.readings if each.option.negated]


def test_the_two_codes_of_flanges_are_no_size_between_them(talk: Talk) -> None:
    assert "Code sixty one flange" in talk.say("sixty one or sixty two")
    assert set(taken(talk)) == {Measurand.SERIES}


def test_a_value_that_was_read_wrong_before_is_taken_in_its_place(talk: Talk) -> None:
    talk.say("pitch nineteen")
    talk.say("pitch is eighteen, I read it wrong")
    assert taken(talk) == {Measurand.PITCH: "18"}


@pytest.mark.parametrize(
    ("said", "check"),
    [
        ("let's do the pitch", "pitch"), ("I'll give you the pitch", "pitch"), ("next is the hex", "hex"),
        ("tube first", "tube"), ("shall we measure the tube now", "tube"), ("now for the taper", "taper"),
        ("I'd rather check the seal first", "seal"),
    ],
)  # fmt: skip
def test_what_the_person_wants_to_check_is_asked_now(talk: Talk, said: str, check: str) -> None:
    talk.say("outside 16.6")
    assert talk.check == "seat-form"
    talk.say(said)
    assert talk.check == check
    assert set(taken(talk)) == {Measurand.OUTSIDE_DIAMETER}


@pytest.mark.parametrize(
    ("beside", "said", "check"),
    [
        ("outside 22", "cone not", "seat-form"), ("male", "ring beyond", "seal"),
        ("outside 16.6", "cone between", "seat-form"),
    ],
)  # fmt: skip
def test_a_phrase_that_cannot_be_placed_is_asked_about_by_the_check_of_what_it_names(
    talk: Talk, beside: str, said: str, check: str
) -> None:
    reply = talk.say(f"{beside}, {said}")
    assert f"I did not place: {said.removeprefix('the ')}" in reply.replace("place: the ", "place: ")
    assert reply.endswith("?") and talk.check == check
    assert len(talk.snapshot.readings) == 1


@pytest.mark.parametrize(
    ("said", "pitch"),
    [
        ("pitch should be eighteen, my mistake", "eighteen"),
        ("make that nineteen pitch, my error", "nineteen"),
    ],
)  # fmt: skip
def test_what_is_put_right_is_not_taken_back_by_saying_that_it_was_wrong(talk: Talk, said: str, pitch: str) -> None:
    talk.say("male, seven eighths outside, fourteen pitch")
    assert f"Instead of fourteen pitch: {pitch.capitalize()} pitch" in talk.say(said)
    assert len(talk.snapshot.readings) == 3
