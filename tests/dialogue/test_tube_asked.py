"""What is said where the tube was asked for, or the bore that takes it. Common practice, no source."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from tests.strangers.outcome import outcome
from voicefit.dialogue import Knowledge


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    talk = Talk(knowledge)
    for words in ("M twenty two by one and a half, male", "recessed cone"):
        talk.say(words)
    while talk.check != "tube":
        talk.say("can't tell")
    return talk


@pytest.mark.parametrize(
    ("said", "comes"),
    [
        ("outside fifteen", "tube_outside_diameter 15 mm"),
        ("twelve, no, that's the bore, outside's fifteen", "tube_outside_diameter 15 mm"),
        ("the bore is fifteen", "tube_outside_diameter 15 mm"),
        ("bore that takes it is fifteen point two", "tube_outside_diameter 15.2 mm"),
        ("fifteen outside with a one and a half wall", "tube_outside_diameter 15 mm"),
        # What is no smaller than the thread is the thread, measured again.
        ("outside is twenty one point nine", "outside_diameter 21.9 mm"),
        ("from the inside the tube is twelve, outside I didn't measure", "!aside"),
    ],
)
def test_what_comes_of_it(talk: Talk, said: str, comes: str) -> None:
    before = talk.snapshot.readings
    talk.say(said)
    assert outcome(talk, before) == comes


def test_a_working_pressure_on_the_print_is_no_alarm(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("this is a hose")
    talk.say("working pressure's four thousand psi on the layline")
    assert "danger" not in talk.snapshot.did
    talk.say("the boss says there's pressure on")
    assert "danger" in talk.snapshot.did
