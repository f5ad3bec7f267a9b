"""Answers and remarks as people give them: what is recorded of them, and that nothing else is."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

HEAVY_25 = "female, twenty five millimeter tube, M thirty six, two pitch, o ring in the cone"


def shown(talk: Talk) -> list[str]:
    return [f"{'not ' if t.option.negated else ''}{t.option.value}" for t in talk.snapshot.readings]


@pytest.mark.parametrize("said", ["no ring bitten on", "no ring bitten onto it", "no cutting ring"])
def test_a_no_before_what_was_asked_about_denies_it(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    assert "bitten" in talk.say(HEAVY_25)
    talk.say(said)
    assert "not cutting_ring" in shown(talk)
    assert "cutting_ring" not in shown(talk)


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("half inch BSP", "British pipe one-half"),  # parallel or taper: it was not said which
        ("half inch British", "British pipe one-half"),
        ("BSP", "British pipe thread"),
        ("half inch NPT", "N P T one-half"),
        ("half inch British parallel", "G one-half"),
    ],
)
def test_a_group_of_threads_is_read_back_by_its_name(knowledge: Knowledge, said: str, kept: str) -> None:
    talk = Talk(knowledge)
    assert talk.say(said).startswith(f"{kept}.")
    again = Talk(knowledge)
    again.say(kept)
    assert shown(again) == shown(talk)


def test_which_of_the_group_it_is_takes_nothing_back(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("BSP")
    assert "not British" not in talk.say("male, tapered")


@pytest.mark.parametrize("said", ["seventeen point eight five, male", "male, twenty point nine"])
def test_a_number_in_parts_that_no_leaf_has_is_no_pitch(knowledge: Knowledge, said: str) -> None:
    """Threads to the inch are whole, but for eleven and a half of NPT (ASME B1.20.1)."""
    talk = Talk(knowledge)
    talk.say(said)
    assert all(o.measurand.value != "pitch" for t in talk.snapshot.readings for o in t.reading.options)


@pytest.mark.parametrize("said", ["male with a wee ring", "male nut with the pipe through it"])
def test_a_thing_named_without_more_misses_no_number(knowledge: Knowledge, said: str) -> None:
    assert "number" not in Talk(knowledge).say(said)


def test_of_two_corrections_of_one_thing_the_last_holds(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("about thirteen sixteenths outside")
    talk.say("I said flat but I meant there's a shoulder")
    assert shown(talk)[-1] == "shoulder"
    assert "flat" not in shown(talk)


@pytest.mark.parametrize(
    ("said", "urgent"),
    [
        ("oil is spraying on my arm", "injected"),
        ("it's squirting onto his hand", "injected"),
        ("it came out of the pump", ""),
        ("the hose came out of the fitting", "leak"),
    ],
)
def test_where_the_oil_goes_decides_what_is_said_first(knowledge: Knowledge, said: str, urgent: str) -> None:
    """Common practice, no source, and the cautions of the handbooks: a jet on skin is for the hospital."""
    talk = Talk(knowledge)
    talk.say(said)
    assert (talk.called & {"injected", "leak"}) == ({urgent} if urgent else set())


@pytest.mark.parametrize("said", ["how strong must I turn", "how firmly do I tighten it", "how much do I pull it up"])
def test_who_asks_how_hard_to_turn_asks_no_pressure(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say(HEAVY_25)
    assert " bar" not in talk.say(said)
    assert "torque" in talk.called


def test_behind_what_cannot_be_told_none_answers_the_second_check(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for said in ("male", "can't tell", "can't tell", "no", "can't tell"):
        reply = talk.say(said)
    assert [check.id for check in talk.session.state.focus.open_checks] == ["seat-form", "tube"], reply
    assert talk.say("can't tell, none").startswith("No tube, then.")
    assert "none" not in shown(talk)  # that there is no seat was not said


@pytest.mark.parametrize(
    ("said", "yes"), [("does this take a dash twelve", False), ("will it take a dash ten nut", True)]
)
def test_what_it_takes_is_another_end_and_no_pressure(knowledge: Knowledge, said: str, yes: bool) -> None:
    talk = Talk(knowledge)
    talk.say("male, seven eighths outside, fourteen pitch, cone sticks out, thirty seven degrees, tube five eighths")
    reply = talk.say(said)
    assert " bar" not in reply
    assert ("yes: five-eighths" in reply) == yes, reply
