"""What a word says by the end that it is said of."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from tests.dialogue.test_resolving import taken
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize(
    ("before", "text", "meant"),
    [
        ("coupler", "it goes in", ("gender", "male", False)),
        ("coupler", "it's the plug i said, goes in", ("gender", "male", False)),
        ("hello", "staple, goes in", ("gender", "male", False)),
        ("hello", "nineteen outside, goes in", ("seat_form", "recessed", False)),
        ("staple", "it's the spigot", ("gender", "male", False)),
        ("stud, nineteen outside, sixteen pitch", "it's a boss", ("seal", "base_o_ring", False)),
        ("flange, head one seven fifty", "sixty one", ("series", "flange61", False)),
        ("flange, head one seven fifty", "looks like sixty two", ("series", "flange62", False)),
        ("male, twenty point nine outside, fourteen pitch, tapered", "rounded", ("crest", "rounded", False)),
    ],
)
def test_it_is_of_the_end_in_hand(
    knowledge: Knowledge, before: str, text: str, meant: tuple[str, object, bool]
) -> None:
    talk = Talk(knowledge)
    talk.say(before)
    talk.say(text)
    assert taken(talk)[-1] == meant


def test_a_seat_that_goes_in_stays_one_where_nothing_plugs_in(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("female, twenty inside, fourteen pitch")
    talk.say("it goes in")
    assert taken(talk)[-1] == ("seat_form", "recessed", False)


def test_a_nut_seen_beside_a_male_is_another_s(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, twenty one point eight outside, one point five pitch")
    talk.say("there's a nut and a little ring on the pipe")
    assert ("gender", "female", False) not in taken(talk)
    assert ("seal", "cutting_ring", False) in taken(talk)


@pytest.mark.parametrize(
    ("before", "text", "meant"),
    [
        ("banjo bolt", "thirteen seven", "outside_diameter"),
        ("banjo bolt", "thirteen seven on the thread", "outside_diameter"),
        ("banjo bolt", "thirteen point seven, the threads", "outside_diameter"),
        ("banjo bolt", "thirteen seven inside", "profile_diameter"),
        ("banjo bolt", "smooth part thirteen seven", "profile_diameter"),
        ("banjo eye", "thirteen seven", "profile_diameter"),
    ],
)
def test_the_diameter_of_a_banjo_is_the_bolt_s_thread_or_the_eye_s_bore(
    knowledge: Knowledge, before: str, text: str, meant: str
) -> None:
    talk = Talk(knowledge)
    talk.say(before)
    talk.say(text)
    assert [measurand for measurand, value, _ in taken(talk) if value == Fraction(137, 10)] == [meant]


@pytest.mark.parametrize(
    ("text", "denied"),
    [
        ("no, it's the bolt that goes through", False),
        ("nah, it's the part that screws in", False),
        ("no, it's not the bolt that goes through", True),
        ("it's not the bolt that goes through", True),
    ],
)
def test_a_no_before_what_it_is_denies_what_was_said_before(knowledge: Knowledge, text: str, denied: bool) -> None:
    talk = Talk(knowledge)
    talk.say("banjo bolt")
    talk.say(text)
    assert taken(talk)[-1] == ("gender", "male", denied)
