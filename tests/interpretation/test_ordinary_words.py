"""Ordinary words for what is measured and seen, by technicians who had not read the grammar."""

from __future__ import annotations

import pytest

from tests.interpretation.test_retracting import told
from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand

BOTH = Context(expected=(Measurand.SEAL, Measurand.HEX))


@pytest.mark.parametrize(
    ("text", "measurand", "value"),
    [
        ("external", Measurand.THREAD_SIDE, "external"),
        ("it's internal", Measurand.THREAD_SIDE, "internal"),
        ("it's a twelve pitch thread", Measurand.PITCH, 12),
        ("an o-ring in the chamfer", Measurand.SEAL, "base_o_ring"),
        ("o ring at the mouth of the port", Measurand.SEAL, "base_o_ring"),
        ("an o ring on the cone inside", Measurand.SEAL, "cone_o_ring"),
    ],
)
def test_it_is_taken(language: Language, text: str, measurand: Measurand, value: object) -> None:
    (reading,) = told(language, text)
    best = reading.options[0]
    assert (best.measurand, getattr(best.value, "value", best.value)) == (measurand, value)


def test_a_bore_is_of_the_end_or_of_the_hose(language: Language) -> None:
    (reading,) = told(language, "bore of fourteen point seven")
    assert reading.measurands == {Measurand.INSIDE_DIAMETER, Measurand.HOSE_BORE}


@pytest.mark.parametrize("text", ["metal, can't tell", "metal, twenty seven"])
def test_an_answer_is_not_passed_over_as_an_adjective(language: Language, text: str) -> None:
    """ "Metal" is, before what is of it: "metal tube"."""
    assert any(reading.measurands == {Measurand.SEAL} for reading in told(language, text, BOTH))


@pytest.mark.parametrize("text", ["male stud going into a pump", "it's a stud going into a motor, straight thread"])
def test_where_an_end_goes_is_no_alarm(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert not any(isinstance(item, Command) for item in items)
    for alarm in (
        "the pump's still going",
        "the pump's running and I'm to go into the pit",
        "the engine's started, into gear",
    ):
        running = language.interpret(alarm, Context())[0].items
        assert [item.name for item in running if isinstance(item, Command)] == ["danger"], alarm


def test_two_things_told_do_not_correct_each_other(language: Language) -> None:
    """ "Down" may stand in a correction ("you've nineteen down"); "but it's eighteen" says which is told."""
    items = language.interpret("sixteen point six outside, hole down the middle's eight", Context())[0].items
    assert not any(isinstance(item, Command) for item in items)
    (reading,) = told(language, "the tag said sixteen but it's eighteen, I've just had the leaf in it")
    assert {getattr(option.value, "value", None) for option in reading.options} == {18}
