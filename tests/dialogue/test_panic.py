"""Whoever is hurt does not choose words: the caution comes at once, whatever is open; what only sounds so brings none.

That oil under pressure goes through skin is common practice, no source.
"""

from __future__ import annotations

from itertools import cycle

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

HOSPITAL, WOUND, EYE = "Go to hospital now", "Stop. Pressure off, get help", "Rinse the eye"
CRUSHED = "Stop. Lower nothing blind"
BURN, LEAK, FIRE, CLEAR = "Cool it under running water", "Never feel for a leak", "Get away", "Stop. Keep clear."
CAUTIONS = (HOSPITAL, WOUND, EYE, BURN, LEAK, FIRE, CLEAR, "Hot oil burns", "Get clear")
OPEN = (
    (),  # nothing
    ("outside seven eighths", "fourteen threads per inch"),  # a check
    ("turns",),  # a confirmation
    ("male, nine sixteenths eighteen, thirty seven degrees, sticks out, metal",),  # all is told
)
CRIES = {
    "fuck my hand": WOUND, "ow my finger": WOUND, "ouch": WOUND, "aaargh": WOUND, "is bleeding": WOUND,
    "I bleed": WOUND,
    "my mate's down": WOUND, "he's not moving": WOUND, "man down": WOUND, "trapped under the bucket": CRUSHED,
    "I've jabbed myself": WOUND, "got a splinter of wire in my hand": WOUND, "I feel dizzy": WOUND,
    "swallowed some oil": WOUND, "I've got oil in my mouth": WOUND, "he passed out": WOUND,
    "oil have enter in my finger skin": HOSPITAL, "straight through the glove, hydraulic oil": HOSPITAL,
    "shit my eye": EYE, "I got burn": BURN, "it burn me": BURN, "I burnt meself": BURN, "the pump is on fire": FIRE,
    "the fitting shot off": LEAK, "the oil it comes out": LEAK, "oil he come out strong": LEAK, "she's blown": LEAK,
    "stop the machine": CLEAR, "kill the engine": CLEAR, "there is still pressure in it": CLEAR,
}  # fmt: skip
NONE = (
    "injection press", "it's off an injection moulder", "let me burst your bubble", "hot day today", "it's hot in here",
    "it's bloody hot today", "fire hose", "fire truck", "it's on the fire pump",
    "what's the burst pressure", "burst pressure is four times", "skin of the hose", "smoke grey colour", "no leak",
    "it's not leaking", "it stopped leaking", "nothing burst", "the old hose burst last week", "oil on my hands",
    "I've got oil on my gloves", "red hot deal", "where's the bleed screw", "the engine is off", "the pressure is off",
    "the boom is down", "I burn a lot of diesel", "cut the hose", "hurt my feelings", "blood red cover",
)  # fmt: skip


@pytest.mark.parametrize(("said", "caution", "before"), [(*cry, each) for cry, each in zip(CRIES.items(), cycle(OPEN))])
def test_a_cry_brings_its_caution_at_once(
    knowledge: Knowledge, said: str, caution: str, before: tuple[str, ...]
) -> None:
    talk = Talk(knowledge)
    for each in before:
        talk.say(each)
    assert talk.say(said).startswith(caution)


@pytest.mark.parametrize(("said", "before"), list(zip(NONE, cycle(OPEN))))
def test_what_only_sounds_so_brings_none(knowledge: Knowledge, said: str, before: tuple[str, ...]) -> None:
    talk = Talk(knowledge)
    for each in before:
        talk.say(each)
    reply = talk.say(said)
    assert not any(caution in reply for caution in CAUTIONS), reply


def test_what_is_safe_again_is_acknowledged_and_ends_no_injury(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    assert talk.say("the pressure is off").startswith("Good. We go on.")
    talk.say("oil went in my finger")
    assert talk.say("the engine is off").startswith(HOSPITAL)
