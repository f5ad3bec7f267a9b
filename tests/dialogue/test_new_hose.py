"""What the new hose is to be replaces what the old one is; how its ends are bent is no seat's angle."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


def taken(knowledge: Knowledge, *texts: str) -> dict[Measurand, str]:
    talk = Talk(knowledge)
    for text in texts:
        talk.say(text)
    return {each.option.measurand: str(each.option.value) for each in talk.snapshot.readings}


@pytest.mark.parametrize(
    ("said", "wires"),
    [
        ("I'd like the new one in four spiral", "four_wire_spirals"),
        ("make the new one one wire", "one_wire_braid"),
        ("put four spiral on instead", "four_wire_spirals"),
        ("I want the new hose in two wire", "two_wire_braids"),
        ("new hose in six spiral please", "six_wire_spirals"),
        ("I want it in four wire", "four_wire_spirals"),
        ("the replacement is to be two braid", "two_wire_braids"),
    ],
)
@pytest.mark.parametrize("old", ["R2AT half inch", "half inch, six spiral"])
def test_a_wish_for_the_new_hose_is_what_is_ordered(knowledge: Knowledge, old: str, said: str, wires: str) -> None:
    found = taken(knowledge, "this is a hose", old, said)
    assert found[Measurand.REINFORCEMENT] == wires
    assert Measurand.HOSE_TYPE not in found and Measurand.HOSE_BORE in found


def test_a_kind_of_hose_may_be_wished_for(knowledge: Knowledge) -> None:
    found = taken(knowledge, "this is a hose", "half inch, two wire", "I want the replacement in four S P")
    assert found[Measurand.HOSE_TYPE] == "en-856-4sp" and Measurand.REINFORCEMENT not in found


@pytest.mark.parametrize("said", ["yes", "yep", "that's right"])
def test_a_print_that_was_read_back_is_agreed_to(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("S A E one hundred R two A T dash eight")
    reply = talk.say(said)
    assert reply.endswith("What length?") and "need to know" not in reply


def test_two_standards_hoses_of_one_name_are_said_once(knowledge: Knowledge) -> None:
    assert Talk(knowledge).say("R12 dash eight").startswith("A hose, then. Hose R twelve, dash eight.")


@pytest.mark.parametrize(
    "said",
    [
        "other end a ninety dash eight JIC", "the other end is a ninety dash eight JIC", "dash eight ninety degree JIC",
        "dash eight JIC with a ninety", "dash eight JIC, it's a ninety", "second end forty-five dash eight JIC",
    ],
)  # fmt: skip
def test_how_an_end_is_bent_is_no_seats_angle(knowledge: Knowledge, said: str) -> None:
    found = taken(knowledge, "half inch, two wire", said)
    assert Measurand.SEAT_ANGLE not in found and found[Measurand.SERIES] == "flare37" and Measurand.DASH in found


@pytest.mark.parametrize(
    "said", ["one end three eighths JIC", "one end straight three eighths JIC", "other end half inch BSP"]
)
def test_a_size_behind_the_name_of_an_end_is_taken(knowledge: Knowledge, said: str) -> None:
    found = taken(knowledge, "half inch, two wire", said)
    assert len(found) >= 2 and Measurand.TAPER not in found


@pytest.mark.parametrize("said", ["coolant", "it's a coolant line", "it carries coolant"])
def test_a_coolant_is_no_refrigerant(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("this is a hose")
    assert talk.say(said).startswith("Water glycol.")


def test_the_adapter_that_was_named_is_ordered_and_not_the_end(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, nine sixteenths eighteen, thirty seven degrees, sticks out, metal")
    talk.say("adapter to BSP")
    reply = talk.say("order that adapter")
    assert reply.startswith("On the slip: adapter from") and "The end itself is not on it." in reply
    assert talk.say("read the slip line by line").startswith("Slip of job one: adapter from")


def test_what_lies_between_bolts_is_one_size(knowledge: Knowledge) -> None:
    reply = Talk(knowledge).say("flange, bolts seventy-nine point four by thirty-six and a half millimeters")
    assert "bolts seventy-nine point four by thirty-six and a half millimeters" in reply


@pytest.mark.parametrize("said", ["2SN 12", "EN 853 2SN twelve", "two S N twelve working pressure two seventy five"])
@pytest.mark.parametrize(("answer", "of"), [("dash twelve", Measurand.DASH), ("the second", Measurand.HOSE_BORE)])
def test_a_number_by_itself_behind_a_type_is_asked_about(
    knowledge: Knowledge, said: str, answer: str, of: Measurand
) -> None:
    """A print may give the nominal bore or the dash, and the two are different hoses."""
    talk = Talk(knowledge)
    assert "Dash twelve? Or twelve millimeters" in talk.say(said)
    assert not {Measurand.DASH, Measurand.HOSE_BORE} & set(taken(knowledge, said))
    talk.say(answer)
    sizes = {Measurand.DASH, Measurand.HOSE_BORE} & {each.option.measurand for each in talk.snapshot.readings}
    assert sizes == {of}
