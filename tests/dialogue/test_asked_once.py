"""What is asked back is asked once more at most; what is said meanwhile is answered, and no means no."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

MALE = (("male, cone goes in", 0.6), ("hello", 0.4))


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


def taken(talk: Talk) -> list[tuple[str, str, bool]]:
    options = [reading.option for reading in talk.snapshot.readings]
    return [(str(option.measurand), str(option.value), option.negated) for option in options]


@pytest.mark.parametrize("between", [("pitch fourteen", "hex twenty seven"), ("what is a pitch", "why is that")])
def test_a_question_that_is_talked_past_is_let_go(talk: Talk, between: tuple[str, str]) -> None:
    talk.hear(*MALE)
    assert talk.reply.endswith("right?")
    talk.say(between[0])
    talk.say(between[1])
    assert "right?" not in talk.reply
    talk.say("where are we")
    assert "right?" not in talk.reply
    perhaps = [each.option for each in talk.snapshot.readings if each.option.measurand in ("gender", "seat_form")]
    assert perhaps and all(option.certainty < 0.75 for option in perhaps), "nobody denied it, and nobody said yes"


def test_what_is_said_of_the_talk_does_not_count(talk: Talk) -> None:
    talk.hear(*MALE)
    for said in ("louder", "repeat", "quieter", "help"):
        talk.say(said)
    talk.say("yes")
    assert ("gender", "male", False) in taken(talk)


@pytest.mark.parametrize(
    ("said", "sticks_out"), [("no, it goes in", False), ("no, not out, in", False), ("yes, sticks out", True)]
)
def test_no_with_one_of_the_values_is_no_yes_to_all(talk: Talk, said: str, sticks_out: bool) -> None:
    """Of two things asked about together, the one said behind a no is taken, and the other is not."""
    talk.hear(("pitch fourteen, cone sticks out", 0.6), ("hello", 0.4))
    assert talk.reply.endswith("right?")
    talk.say(said)
    assert (("seat_form", "convex", False) in taken(talk)) == sticks_out
    assert "Say it again" not in talk.reply


def test_no_and_half_of_what_was_asked(talk: Talk) -> None:
    talk.hear(("flat face, ball nose", 0.6), ("hello", 0.4))
    assert talk.reply == "Flat face, ball nose: right?"
    talk.say("no, not ball, flat")
    assert ("nose", "ball", False) not in taken(talk)
    assert ("seat_form", "flat", False) in taken(talk)


def test_how_one_tells_what_is_asked_about(talk: Talk) -> None:
    """How explains that, and a yes still answers the question."""
    talk.hear(("tapered", 0.6), ("hello", 0.4))
    assert talk.reply == "Tapered: right?"
    talk.say("how do I tell")
    assert talk.reply.startswith("Lay a gauge leaf's back along the crests")
    assert talk.reply.endswith("Tapered: right?")
    talk.say("yes")
    assert ("taper", "tapered", False) in taken(talk)
