"""Of two values of one thing in one sentence that no end has both of, neither is taken before it is said which."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.state import Choosing


@pytest.mark.parametrize(
    ("before", "said", "answer", "measurand", "value"),
    [
        ((), "dash twelve, it's a dash ten", "ten", "dash", "10"),
        ((), "female, male", "male", "gender", "male"),
        (("this is a hose",), "two wire, mine's the bottom one, four spiral", "four", "reinforcement", "four_wire"),
        (("male, nine sixteenths outside",), "eleven threads, fourteen threads", "fourteen", "pitch", "14"),
        ((), "tapered, parallel", "parallel", "taper", "parallel"),
        ((), "the cone goes in, the cone sticks out", "sticks out", "seat_form", "convex"),
    ],
)
def test_it_is_asked_which(
    knowledge: Knowledge, before: tuple[str, ...], said: str, answer: str, measurand: str, value: str
) -> None:
    talk = Talk(knowledge)
    for each in before:
        talk.say(each)
    known = len(talk.snapshot.readings)
    reply = talk.say(said)
    assert isinstance(talk.session.state.focus.mode, Choosing), reply
    assert len(talk.snapshot.readings) == known
    if measurand == "reinforcement":
        answer = "four wire spirals"
    talk.say(answer)
    option = talk.snapshot.readings[-1].option
    assert option.measurand.value == measurand
    assert str(getattr(option.value, "value", option.value)).startswith(value)


@pytest.mark.parametrize(
    "said",
    [
        "stud, male",
        "flat shoulder with an o-ring at the base, stud, male",
        "outside twenty point nine, outside twenty point eight",  # measured twice
        "it's a nut, female",
        "flat face, flat shoulder",  # either is called flat: less apart than the boundary
        "not male, female",
    ],
)
def test_two_that_may_both_be_so_are_taken(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say(said)
    assert not isinstance(talk.session.state.focus.mode, Choosing)
    assert len(talk.snapshot.readings) > 1
