"""Who was hurt hears what to do until it was a false alarm, whatever else is said; and feeling well is no answer.

That oil under pressure goes through skin, and that it hurts only later, is common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

HOSPITAL = "Go to hospital now, even for a pinprick."


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    return Talk(knowledge)


@pytest.mark.parametrize(
    "said",
    [
        "it squirted a bit of oil on my palm",
        "I've been squirted on the palm",
        "some oil sprayed on my arm",
        "got fluid sprayed over his fingers",
        "oil jetted into my palm",
    ],
)
def test_oil_squirted_on_skin_is_for_the_hospital_and_pressure_is_why(talk: Talk, said: str) -> None:
    reply = talk.say(said)
    assert reply.startswith(HOSPITAL) and "under pressure" in reply


def test_a_spray_that_hits_nobody_is_a_leak(talk: Talk) -> None:
    assert "Never feel for a leak" in talk.say("the arm cylinder sprays oil")
    assert HOSPITAL not in talk.say("the hose sprays oil everywhere")


@pytest.mark.parametrize(
    "feels", ["it doesn't hurt though", "I'm ok now", "so am I fine", "there's no pain at all", "he says he's fine"]
)
def test_that_one_feels_well_ends_nothing_and_confirms_nothing(talk: Talk, feels: str) -> None:
    assert talk.say("turns").endswith("right?")
    talk.say("oil went in my finger")
    before = talk.snapshot.readings
    assert talk.say(feels).startswith(HOSPITAL)
    assert talk.snapshot.readings == before


@pytest.mark.parametrize(
    "asked", ["what do I do about it", "what should he do", "what do I do with him", "what's to be done"]
)
def test_what_to_do_is_still_asked_of_the_hurt_one_behind_a_reading(talk: Talk, asked: str) -> None:
    talk.say("oil jetted into my palm")
    assert "Female" in talk.say("female")
    assert talk.say(asked).startswith(HOSPITAL)
    talk.say("false alarm")
    assert HOSPITAL not in talk.say(asked)


def test_another_job_leaves_it_behind(talk: Talk) -> None:
    talk.say("oil jetted into my palm")
    talk.say("female")
    talk.say("new job")
    assert HOSPITAL not in talk.say("what do I do")


def test_the_work_goes_on_behind_a_reading(talk: Talk) -> None:
    talk.say("oil jetted into my palm")
    talk.say("female")
    assert HOSPITAL not in talk.say("where are we") + talk.say("mumble bumble") + talk.say("how do i do that")


@pytest.mark.parametrize(
    "ends",
    [
        "it didn't touch me",
        "it never got me",
        "it missed me",
        "nobody's hurt, go on",
        "nothing hit me",
        "it was a false alarm",
    ],
)
def test_what_touched_nobody_ends_it(talk: Talk, ends: str) -> None:
    talk.say("oil went in my finger")
    assert talk.say(ends).startswith("Good. We go on.")
    assert HOSPITAL not in talk.say("where are we")


@pytest.mark.parametrize(
    "stays",
    [
        "I haven't got it out yet",
        "he's not got it off yet",
        "I haven't touched it",
        "we can not reach him on the phone",
        "did not get me to a doctor",
        "nothing hurts",
        "it missed my eye, got my cheek",
        "it did not get me in the eye, only the hand",
    ],
)
def test_what_is_not_out_yet_or_missed_another_part_ends_nothing(talk: Talk, stays: str) -> None:
    talk.say("oil went in my finger")
    assert not talk.say(stays).startswith("Good. We go on.")
    assert talk.say("what do I do").startswith(HOSPITAL)


def test_how_a_false_alarm_is_said_is_told_when_the_aid_is_told_again(talk: Talk) -> None:
    assert "false alarm" not in talk.say("oil went in my finger")
    assert "say: false alarm" in talk.say("I'm fine")


@pytest.mark.parametrize(
    "hurt", ["he got oil in his eye", "my finger is stuck under the arm", "I cut my hand", "it fell on my foot"]
)
def test_of_all_but_oil_under_the_skin_that_one_is_fine_ends_it(talk: Talk, hurt: str) -> None:
    aid = talk.say(hurt)
    assert HOSPITAL not in aid
    assert talk.say("what do I do") == aid
    assert talk.say("I'm fine, go on").startswith("Good. We go on.")


@pytest.mark.parametrize(
    "sign", ["it's just a little red dot, carry on", "nothing, just a splinter", "a tiny prick, that's all"]
)
@pytest.mark.parametrize("spray", ["it's spraying oil", "it sprayed through the glove"])
def test_a_mark_behind_a_spray_is_for_the_hospital_and_no_torque_is_told(talk: Talk, spray: str, sign: str) -> None:
    talk.say("male, nineteen pitch, thirteen point one outside")
    talk.say(spray)
    assert talk.say(sign).startswith(HOSPITAL)
    assert talk.say("no i'll go in a bit, what torque").startswith(HOSPITAL)


def test_a_mark_on_a_part_is_none(talk: Talk) -> None:
    assert HOSPITAL not in talk.say("there's a little red dot on the nut")
    talk.say("it's spraying oil")
    assert HOSPITAL not in talk.say("there's a little red dot on the nut")


@pytest.mark.parametrize("said", ["I've took the skin off me knuckles", "it tore the skin off my thumb"])
@pytest.mark.parametrize("ends", ["no just a scrape, no oil", "it's only a scratch", "just skinned it", "it's nowt"])
def test_skin_that_came_off_is_a_wound_and_a_slight_one_ends_it(talk: Talk, said: str, ends: str) -> None:
    assert HOSPITAL not in talk.say(said)
    assert talk.say(ends).startswith("Good.")


@pytest.mark.parametrize(
    "said",
    ["it's just a scratch", "no oil is coming out of it", "just a hole, no oil that I can see", "just a graze, no oil"],
)
def test_what_is_under_the_skin_looks_slight_and_shows_no_oil(talk: Talk, said: str) -> None:
    talk.say("oil went into my hand")
    talk.say(said)
    assert talk.say("where are we").startswith(HOSPITAL)


@pytest.mark.parametrize("said", ["carry on then?", "carry on", "can I carry on", "shall we go on"])
def test_nobody_carries_on_with_oil_under_the_skin_but_after_a_false_alarm(talk: Talk, said: str) -> None:
    talk.say("oil went into his finger")
    assert talk.say(said).startswith(HOSPITAL)
    talk.say("false alarm")
    assert HOSPITAL not in talk.say(said)


@pytest.mark.parametrize("said", ["the jet got me in the hand off the nut", "it went through my glove at the seal"])
def test_a_part_that_is_named_does_not_hide_who_is_hurt(talk: Talk, said: str) -> None:
    assert HOSPITAL in talk.say(said)
