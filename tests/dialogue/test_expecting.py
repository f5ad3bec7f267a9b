"""What the session expects: of each check its measurand and the values that exist, of each state its functions."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.dialogue.expecting import situations
from voicefit.dialogue.hoses import ASKED, question
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Measurand, Reading

IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"
IN_STEPS = {
    Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.FLANK_ANGLE, Measurand.DASH, Measurand.THREAD_SIZE,
    Measurand.GENDER, Measurand.SEAT_FORM, Measurand.SEAL, Measurand.SERIES, Measurand.HOSE_TYPE,
}  # fmt: skip


def _asked(talk: Talk, check: Check) -> None:
    talk.session.state = replace(talk.session.state, focus=replace(talk.session.state.focus, check=check))


def test_every_check_and_question_is_expected_to_be_answered(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")  # before anything is said, everything may be
    checks = [Check(id, entry.measurand, entry.time_s) for id, entry in knowledge.checks.items()]
    for check in [*checks, *(question(topic) for topic in ASKED)]:
        _asked(talk, check)
        context = talk.session.context()
        assert context.expected == (check.measurand,)
        assert set(context.values) <= {check.measurand}
        assert bool(context.values) == (check.measurand in IN_STEPS), check.id
        assert {"cannot-tell", "how", "next"} <= context.commands


def test_values_that_exist_are_those_of_the_catalogue(knowledge: Knowledge) -> None:
    listed = {measurand: {value for value, _ in values} for measurand, values in knowledge.values.items()}
    for end in knowledge.catalogue.ends:
        if end.thread is not None and end.thread.tpi is not None:
            assert Quantity(end.thread.tpi, Unit.THREADS_PER_INCH) in listed[Measurand.PITCH]
        assert end.series in listed[Measurand.SERIES]
    angles = {value.value for value in listed[Measurand.SEAT_ANGLE] if isinstance(value, Quantity)}
    assert {12, 24, 30, 37, 45, 60, 74, 90} <= angles
    assert Quantity(Fraction(15), Unit.THREADS_PER_INCH) not in listed[Measurand.PITCH]


@pytest.mark.parametrize(
    ("before", "holds", "makes_sense", "does_not"),
    [
        ([], set(), "note", "what-fits"),
        (["nineteen pitch"], {"check"}, "how", "done"),
        (["nineteen pitch", "how"], {"check", "lesson"}, "next", "first-one"),
        (["settings"], {"list"}, "more", "how"),
        ([IDENTIFIED], {"identified"}, "torque", "cannot-tell"),
        (["this is a hose"], {"check", "hose"}, "mineral-oil", "wake-up"),
        (["spell it"], {"spelling"}, "done", "how"),
    ],
    ids=lambda each: str(sorted(each) if isinstance(each, set) else each)[:20],
)
def test_functions_that_make_sense_follow_what_is_open(
    knowledge: Knowledge, before: list[str], holds: set[str], makes_sense: str, does_not: str
) -> None:
    talk = Talk(knowledge)
    for text in before:
        talk.say(text)
    assert situations(talk.session.state) == holds
    commands = talk.session.context().commands
    assert makes_sense in commands
    assert does_not not in commands


def test_what_replaces_a_value_is_expected_to_be_of_its_kind(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("this is a hose")
    talk.say("length six hundred millimeters")
    talk.say("correction")
    assert talk.session.context().expected == (Measurand.LENGTH,)
    talk.say("seven hundred")
    assert [str(t.option.value.value) for t in talk.snapshot.readings] == ["700"]  # type: ignore[union-attr]  # lengths


def test_of_two_values_to_choose_from_each_is_expected(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male")
    assert "Or fifty" in talk.hear(("outside fifteen millimeters", 0.5), ("outside fifty millimeters", 0.5))
    context = talk.session.context()
    assert context.expected == (Measurand.OUTSIDE_DIAMETER,)
    values = [value for value, _ in context.values[Measurand.OUTSIDE_DIAMETER]]
    assert {value.value for value in values if isinstance(value, Quantity)} == {15, 50}


def test_a_value_that_does_not_exist_is_less_likely_and_no_more(knowledge: Knowledge) -> None:
    """Fifteen pitch: no connection has it, and it can be said all the same."""
    talk = Talk(knowledge)
    talk.say("male, outside nine sixteenths")
    _asked(talk, Check("pitch", Measurand.PITCH, 30.0))
    language, context = knowledge.language, talk.session.context()
    fourteen, fifteen = (language.interpret(f"{n} pitch", context)[0] for n in ("fourteen", "fifteen"))
    lead = language.log_prior(fourteen, context) - language.log_prior(fifteen, context)
    assert 1.0 < lead < math.log(100)


def test_every_tube_of_the_24_degree_cones_can_be_said_with_its_series(knowledge: Knowledge) -> None:
    tubes = {
        (end.series, end.tube_od_mm)
        for end in knowledge.catalogue.ends
        if end.series in ("din24-l", "din24-s") and end.tube_od_mm is not None
    }
    assert len(tubes) > 15
    for series, tube_mm in tubes:
        text = f"{tube_mm:g} {'light' if series == 'din24-l' else 'heavy'}"
        readings = [item for item in knowledge.language.interpret(text)[0].items if isinstance(item, Reading)]
        said = {option.measurand: option.value for reading in readings for option in reading.options}
        size = said[Measurand.TUBE_OUTSIDE_DIAMETER]
        assert isinstance(size, Quantity) and size.value == tube_mm and said[Measurand.SERIES] == series, text
