"""What was said, as what it is of the piece in hand; and what all that is still possible has in common, aloud."""

from __future__ import annotations

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Measurand


def taken(talk: Talk) -> list[tuple[str, object, bool]]:
    readings = (each.option for each in talk.session.snapshot().readings)
    return [(o.measurand.value, getattr(o.value, "value", o.value), o.negated) for o in readings]


def test_a_size_said_in_inches_and_again_in_millimeters_is_one(knowledge: Knowledge) -> None:
    """7/8 in is 22.2 mm (an inch is 25.4 mm, ISO 80000-3); 20 mm is another size."""
    for again, count in (("twenty two point two mil", 2), ("twenty mil", 3)):
        talk = Talk(knowledge)
        talk.say(f"male, seven eighths outside, {again}")
        assert len(taken(talk)) == count, again


def test_an_angle_said_while_leaves_are_laid_in_is_that_of_the_flanks(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for text in ("male, twenty six point three outside, fourteen threads", "it goes in", "no o ring, metal to metal"):
        talk.say(text)
    check = talk.session.snapshot().advice.check
    assert check is not None and check.measurand is Measurand.FLANK_ANGLE
    talk.say("no light, fifty five sits lovely")
    assert taken(talk)[-1] == ("flank_angle", 55, False)
    said = taken(talk)
    talk.say("yes, fifty five")  # what was read back, said again
    assert taken(talk) == said


def test_the_nut_of_a_male_is_male_and_a_bolt_with_a_bore_no_seat(knowledge: Knowledge) -> None:
    for text, meant in (
        ("a male nut", [("gender", "male", False)]),
        ("a hollow bolt with two holes through the side", [("shape", "banjo", False)]),
        ("two inch and an eighth outside", [("outside_diameter", 17 / 8, False)]),
    ):
        talk = Talk(knowledge)
        talk.say(text)
        assert taken(talk) == meant, text


def test_the_kind_of_a_hose_makes_a_size_its_bore(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("two wire half inch")
    assert talk.session.snapshot().hose is not None
    assert ("hose_bore", 0.5, False) in taken(talk)


def test_the_thread_that_all_share_is_said_where_none_leads(knowledge: Knowledge) -> None:
    """16.6 mm and 19 to the inch: G 3/8 or R 3/8 (ISO 228-1, ISO 7-1: 16.662 mm, 19)."""
    talk = Talk(knowledge)
    talk.say("outside sixteen point six")
    talk.say("nineteen threads to the inch")
    assert "three-eighths British pipe, nineteen" in talk.say("where are we")


def test_series_and_size_that_all_share_are_said_and_answered_for(knowledge: Knowledge) -> None:
    """Head 47.6 mm, bolts 57.2 by 27.8 mm: code 62, one inch (SAE J518, ISO 6162-2)."""
    talk = Talk(knowledge)
    for text in ("flange", "forty seven point five across the head", "fifty seven by twenty eight"):
        talk.say(text)
    assert "one inch code sixty two flange" in talk.say("where are we")
    assert "two one nine" in talk.say("what o ring")


def test_a_diameter_inside_is_that_of_the_smooth_bore_that_was_asked_for(knowledge: Knowledge) -> None:
    """A banjo's ring has no thread: "fourteen inside" answers. A bolt has one, outside."""
    for before, text, meant in (
        (("banjo eye",), "fourteen inside", "profile_diameter"),
        (("banjo eye",), "fourteen outside", "outside_diameter"),
        (("a ring in the bore", "female"), "twenty point two inside", "profile_diameter"),
    ):
        talk = Talk(knowledge)
        for line in before:
            talk.say(line)
        check = talk.session.snapshot().advice.check
        assert check is not None and check.id == "profile", before
        talk.say(text)
        assert taken(talk)[-1][0] == meant, text


def test_a_ring_without_a_thread_is_not_asked_for_its_crests(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for text in ("banjo eye", "fourteen inside", "smooth diameter fourteen"):
        reply = talk.say(text)
    assert "crests" not in reply and "banjo eye" in reply


def test_an_outside_is_that_of_the_hose_while_its_size_is_asked_for(knowledge: Knowledge) -> None:
    for text, measurand in (
        ("about twenty nine outside", "hose_outside_diameter"),
        ("I don't know the bore, it's twenty one on the outside", "hose_outside_diameter"),
        ("male, twenty nine outside", "outside_diameter"),
    ):
        talk = Talk(knowledge)
        talk.say("this is a hose")
        talk.say(text)
        assert taken(talk)[-1][0] == measurand, text


def test_what_is_said_again_is_said_behind_a_question(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, five eighths outside, nineteen pitch")
    talk.say("did I say nineteen, I meant eighteen")
    assert ("pitch", 18, False) in taken(talk) and ("pitch", 19, False) not in taken(talk)


def test_a_hose_is_not_of_four_where_four_spiral_is_denied(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("this is a hose")
    talk.say("one wire, not four spiral")
    assert {measurand for measurand, *_ in taken(talk)} == {"reinforcement"}


def test_minus_twenty_five_is_no_dash(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("minus twenty five")
    assert taken(talk) == []
    talk.say("minus six")
    assert taken(talk) == [("dash", 6, False)]


def test_the_sixty_one_of_a_flange_is_its_code(knowledge: Knowledge) -> None:
    for text, meant in (
        ("it's the sixty two", ("series", "flange62", False)),
        ("sixty one across", ("flange_head_diameter", 61, False)),
        ("the sixty millimeters", ("flange_head_diameter", 60, False)),
    ):
        talk = Talk(knowledge)
        talk.say("it's a flange")
        talk.say(text)
        assert taken(talk)[-1] == meant, text


def test_what_may_be_metric_or_of_the_inch_is_read_back_as_both(knowledge: Knowledge) -> None:
    assert Talk(knowledge).say("it's metric or imperial").startswith("Metric thread or imperial.")
