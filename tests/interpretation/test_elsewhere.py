"""What is told of another thing, supposed, wished for or sought is nothing of the end in hand."""

from __future__ import annotations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Measurand, Reading

THINGS = ("male", "a copper washer", "tapered", "seven eighths outside", "M twenty by one and a half", "a flange")
OF_ANOTHER = (
    "the opposite one is {}",
    "the valve it screws into is {}",
    "the bit that goes on it is {}",
    "what it plugs into is {}",
    "the replacement is {}",
    "its neighbour is {}",
    "the one beside it is {}",
    "the ones on the shelf are {}",
    "the manifold's fine but the far end is {}",
    "on the sister machine it's {}",
)
SUPPOSED = (
    "in case it's {}",
    "let's imagine it's {}",
    "as long as it is {}",
    "we ordered {}",
    "fetch me {}",
    "you reckon it's {}",
    "it had been {}",
    "tell me about {}",
)
OF_THE_END = {
    "the pipe is eighteen millimeters": "tube_outside_diameter 18 mm /1",
    "it's male but the other end is female": "gender male",
    "I thought it was male but it's female": "gender female",
    "the end in my hand is female": "gender female",
    "the nut goes on it, so it's the male": "gender male",
    "as far as I know it's tapered": "taper tapered",
}


# Each frame with every other thing.
@pytest.mark.parametrize(
    ("frame", "thing"),
    [(f, t) for i, f in enumerate((*OF_ANOTHER, *SUPPOSED)) for j, t in enumerate(THINGS) if (i + j) % 2 == 0],
)
def test_what_is_told_of_something_else_is_no_reading(language: Language, frame: str, thing: str) -> None:
    for item in language.interpret(frame.format(thing), Context())[0].items:
        assert not isinstance(item, Reading), item
        assert not isinstance(item, Command) or not item.readings, item


@pytest.mark.parametrize(("text", "meaning"), OF_THE_END.items())
def test_what_is_told_of_the_end_stays(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("tapered a bit", "taper tapered"),
        ("recessed a little", "seat_form recessed"),
        ("flared a touch", "seat_form convex"),
        ("lost the washer", "seal washer"),  # it belongs there
    ],
)
def test_who_says_how_it_is_has_done_nothing(language: Language, text: str, meaning: str) -> None:
    """As "dropped a washer" does."""
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


def test_what_is_so_at_another_place_answers_nothing(language: Language) -> None:
    context = Context(yes_no=True)
    assert notes.meaning(language.interpret("on the other one, yes", context)[0]) == "!aside"


@pytest.mark.parametrize(
    ("text", "asked"),
    [("on the other end, male", Measurand.GENDER), ("at the other end, nineteen", Measurand.PITCH)],
)
def test_what_is_so_at_the_other_end_is_of_that_end(language: Language, text: str, asked: Measurand) -> None:
    """It begins that end, and is no answer of the one in hand."""
    assert notes.meaning(language.interpret(text, Context(expected=(asked,)))[0]).startswith("!other-end; ")


def test_an_answer_before_it_is_kept(language: Language) -> None:
    context = Context(expected=(Measurand.SEAT_FORM,))
    assert notes.meaning(language.interpret("male, the other one sticks out", context)[0]) == "gender male"


@pytest.mark.parametrize(
    "text", ["there's a spot for a flange", "I have no room for the washer", "an o-ring on the ground"]
)
def test_what_is_not_there_is_no_reading(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text, Context())[0].items)


@pytest.mark.parametrize(
    "text", ["not sure whether it's metric or imperial", "I can't work out if it's male or female"]
)
def test_who_weighs_two_things_states_neither(language: Language, text: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == "!aside"


@pytest.mark.parametrize("text", ["I can't find the twenty leaf", "can't see it poking out", "I cannot get eighteen"])
def test_what_cannot_be_found_is_no_reading(language: Language, text: str) -> None:
    context = Context(expected=(Measurand.PITCH, Measurand.SEAT_FORM))
    found = [item for item in language.interpret(text, context)[0].items if isinstance(item, Reading)]
    assert all(option.negated for reading in found for option in reading.options), found


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("flat, and there's an o-ring let into it", "seat_form flat; seal face_o_ring"),
        ("the cone sticks out, an o-ring round it", "seat_form convex; seal cone_o_ring"),
        ("flat face, with an o-ring", "seat_form flat; seal face_o_ring"),
        ("a flat face, o-ring, tapered", "seat_form flat; seal face_o_ring; taper tapered"),
        ("flat, and an o-ring", "seat_form flat; seal o_ring"),
        ("o-ring round the back of the thread", "seal base_o_ring"),
        ("not flat, o-ring in it", "not seat_form flat; seal o_ring"),
        ("it's flat, o-ring behind the hex", "seat_form flat; seal base_o_ring"),
    ],
)
def test_a_ring_in_the_seat_is_the_one_of_that_seat(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("what I've got on the bench is a male", "gender male"),
        ("what's left in there is a stud", "gender stud"),
        ("all I can feel is a nose", "seat_form convex"),
        ("what I need is a male", "?out_of_grammar need"),
        ("what is it", "!explain"),
    ],
)
def test_what_is_stated_behind_what_one_has(language: Language, text: str, meaning: str) -> None:
    found = notes.meaning(language.interpret(text, Context())[0])
    assert found == meaning or (meaning[0] in "?!" and "gender" not in found), found


@pytest.mark.parametrize(
    ("text", "right", "wrong"),
    [
        ("more like thirty than thirty seven", "30", "37"),
        ("forty five fits better than thirty seven", "45", "37"),
        ("closer to thirty seven than to thirty", "37", "30"),
    ],
)
def test_of_two_that_are_weighed_the_better_is_meant(language: Language, text: str, right: str, wrong: str) -> None:
    (item,) = language.interpret(text, Context(expected=(Measurand.SEAT_ANGLE,)))[0].items
    assert isinstance(item, Command) and item.name == "correct"
    options = [option for reading in item.readings for option in reading.options]
    said = {
        (str(o.value.value), o.negated)
        for o in options
        if isinstance(o.value, Quantity) and o.measurand == "seat_angle"
    }
    assert said == {(right, False), (wrong, True)}


@pytest.mark.parametrize(
    "text",
    [
        "thirty seven degrees in the shade",
        "about forty out there",
        "it must be minus twelve this morning",
        "nine below freezing",
        "I haven't tried the thirty yet",
        "we didn't get round to trying the thirty seven",
        "all the others are thirty seven degrees",
        "we counted eleven threads all told",
        "it was forty five degrees last night",
        "I've only got a sixteen and an eighteen",
        "my sixteen leaf is snapped",
        "my vernier is a Swedish one",
        "it's tilted about thirty degrees sideways",
        "sixty feet up the mast",
    ],
)
def test_the_weather_and_what_was_not_tried_are_no_reading(language: Language, text: str) -> None:
    for expected in ((Measurand.SEAT_ANGLE,), (Measurand.PITCH, Measurand.SEAT_FORM), ()):
        items = language.interpret(text, Context(expected=expected))[0].items
        assert not any(isinstance(item, Reading) for item in items), items


@pytest.mark.parametrize(
    "text", ["the tube is eighteen by two", "eight by one pipe", "the pipe is ten with a two mil wall"]
)
def test_a_tube_by_its_wall_is_no_thread(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Reading) and item.measurands == {Measurand.TUBE_OUTSIDE_DIAMETER}


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("came off a big old Korean crane", "country korea"),
        ("it's off an old French mower", "country france"),
        ("I was in two minds, it's tapered", "taper tapered"),
        ("there's three of them here and they're all females", "gender female"),
        ("no washer and no o-ring that I can make out", "not seal washer; not seal o_ring"),
        ("there's no pipe, just a hose that goes on it", "!no-tube"),
        ("there isn't any tubing here to caliper", "!no-tube"),
        ("the pump is a Japanese one", "!aside"),
        ("all the rest are metric", "!aside"),
        ("twenty mil from the bracket", "!aside"),
    ],
)
def test_what_it_is_off_and_how_many_there_are(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


@pytest.mark.parametrize("text", ["is twenty seven NPT", "which is stronger, fourteen or eighteen", "nineteen BSP"])
def test_a_number_beside_a_name_is_no_dash_that_does_not_exist(language: Language, text: str) -> None:
    asked = text != "nineteen BSP"
    for meaning in language.interpret(text, Context(expected=(Measurand.PITCH,)))[:1]:
        readings = [item for item in meaning.items if isinstance(item, Reading)]
        assert not readings or not asked, meaning
        assert all(Measurand.DASH not in reading.measurands for reading in readings), meaning


@pytest.mark.parametrize("text", ["I'm flat on my back", "mind the stop", "it's next to the elbow"])
def test_a_thing_is_no_command(language: Language, text: str) -> None:
    items = language.interpret(text, Context(expected=(Measurand.SEAT_FORM,)))[0].items
    assert not any(isinstance(item, Command) and item.name in ("back", "next", "stop") for item in items), items


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("it's off a dirty Japanese excavator", "?"),
        ("they're off some large Korean crane", "?"),
        ("it's off the machine, male", "!on-the-bench; gender male"),
        ("I've got it in my hand", "!on-the-bench"),
    ],
)
def test_only_who_says_so_has_it_on_the_bench(language: Language, text: str, meaning: str) -> None:
    found = notes.meaning(language.interpret(text, Context())[0])
    assert found == meaning or (meaning == "?" and "on-the-bench" not in found), found
