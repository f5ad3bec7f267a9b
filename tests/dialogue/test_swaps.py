"""One value in the place of another, whichever is said first: the one on record is the wrong one."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.quantities import Quantity

SWAPS = (
    "put sixteen instead of nineteen",
    "swap the nineteen for a sixteen",
    "sixteen, I gave you nineteen by accident",
    "I put nineteen, it should read sixteen",
)


@pytest.mark.parametrize("text", SWAPS)
def test_the_value_on_record_goes(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, five eighths outside, nineteen pitch")
    talk.say(text)
    pitches = [taken.option for taken in talk.session.snapshot().readings if taken.option.measurand == "pitch"]
    values = [each.value for each in pitches if not each.negated]
    assert [each.value for each in values if isinstance(each, Quantity)] == [16] and len(values) == 1


def test_where_neither_is_on_record_nothing_goes(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, five eighths outside, nineteen pitch")
    before = talk.session.snapshot().readings
    talk.say("put twenty-four instead of twenty-eight")
    assert [each.reading for each in talk.session.snapshot().readings][: len(before)] == [r.reading for r in before]


def test_what_is_said_again_stands_in_place_of_nothing(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, fifteen point eight outside")
    assert "instead" not in talk.say("no, sorry, it's fifteen point eight outside").casefold()
    assert "instead" in talk.say("no, sixteen").casefold()


@pytest.mark.parametrize(
    ("text", "gender"),
    [
        ("hang about, it's a female, I said male", "female"),
        ("it's female, sorry, I said male", "female"),
        ("oh, that's a female, I'd said male", "female"),
        ("you've got female, I said male", "male"),
        ("it's a female? No, I said male", "male"),
    ],
)
def test_what_was_said_gives_way_to_what_it_is(knowledge: Knowledge, text: str, gender: str) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    talk.say(text)
    taken = [each.option for each in talk.session.snapshot().readings if not each.option.negated]
    assert {each.value for each in taken} == {gender}


@pytest.mark.parametrize(
    "text",
    [
        "not thirteen one, thirteen nine",
        "no, not thirteen one, it's thirteen nine",
        "thirteen one is rubbish, it's thirteen nine",
    ],
)
def test_a_number_read_out_by_its_figures_is_the_one_on_record(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, outside thirteen point one millimeters")
    talk.say(text)
    taken = [each.option for each in talk.session.snapshot().readings]
    assert [(each.measurand, float(each.value.value)) for each in taken if isinstance(each.value, Quantity)] == [
        ("outside_diameter", 13.9)
    ]


def test_a_gauge_called_by_its_number_is_no_length(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("outside thirteen point one millimeters")
    talk.say("the thirteen one rocks")
    assert [each.option.measurand for each in talk.session.snapshot().readings] == ["outside_diameter", "pitch"]


@pytest.mark.parametrize("text", ["no hex, I never said hex", "I never gave you a hex"])
def test_what_was_never_said_goes(knowledge: Knowledge, text: str) -> None:
    talk = Talk(knowledge)
    talk.say("inside eighteen, hex twenty two")
    talk.say(text)
    assert [taken.option.measurand for taken in talk.session.snapshot().readings] == ["inside_diameter"]


@pytest.mark.parametrize(
    ("guess", "measured"),
    [("let's call it thirty seven degrees", "forty five gauge sits lovely"), ("maybe sixteen pitch", "eighteen pitch")],
)
def test_a_guess_gives_way_to_what_is_measured(knowledge: Knowledge, guess: str, measured: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, three quarters outside, sticks out")
    talk.say(guess)
    talk.say(measured)
    values = [taken.option.value for taken in talk.session.snapshot().readings[3:]]
    assert [each.value for each in values if isinstance(each, Quantity)] in ([45], [18])


def test_a_gauge_that_shows_light_is_kept_in_mind(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, three quarters outside, sticks out, oil in it")
    assert talk.say("no, gauge did show light")
    assert "no-gauge" not in talk.called


def test_whoever_asks_how_to_tell_states_nothing(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("could be a washer one, how do I tell")
    assert not talk.session.snapshot().readings
