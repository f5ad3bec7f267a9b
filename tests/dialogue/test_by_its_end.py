"""What a word says by the end that it is said of."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from tests.dialogue.test_resolving import taken
from voicefit.dialogue import Knowledge


@pytest.mark.parametrize(
    ("before", "text", "meant"),
    [
        ("coupler", "it goes in", ("gender", "male", False)),
        ("coupler", "it's the plug i said, goes in", ("gender", "male", False)),
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
