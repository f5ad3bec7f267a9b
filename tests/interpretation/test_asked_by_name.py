"""What is asked by its bare name behind what was seen is asked, and none of it is a reading."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language, asked_by_name
from voicefit.records import Command, Context, Measurand, Reading

TOPICS = {("torque",): "torque", ("o", "ring"): "what-seals-it", ("seal",): "what-seals-it", ("hose",): "which-hose"}


@pytest.mark.parametrize(
    ("text", "head", "called"),
    [
        ("male, sixteen pitch, torque plus o ring", "male, sixteen pitch", ["torque", "what-seals-it"]),
        ("male, sixteen pitch, seal and torque", "male, sixteen pitch", ["what-seals-it", "torque"]),
        ("male sixteen pitch torque hose", "male sixteen pitch", ["torque", "which-hose"]),
        ("flat face o ring torque hose", "flat face o ring", ["torque", "which-hose"]),  # the ring is the end's
        ("male, sixteen pitch, torque", "male, sixteen pitch, torque", []),  # a phrase of its own
        ("torque seal", "torque seal", []),  # nothing stands before it
        ("male, torque o ring nineteen", "male, torque o ring nineteen", []),
    ],
)
def test_only_names_of_what_can_be_asked_are_cut_off(text: str, head: str, called: list[str]) -> None:
    rest, commands = asked_by_name.behind(text, TOPICS, frozenset({"what-seals-it", "which-hose"}))
    assert (rest, [command.name for command in commands]) == (head, called)


def test_they_are_asked_behind_the_readings(language: Language) -> None:
    items = language.interpret("male, sixteen pitch, turns and sealant", Context())[0].items
    assert [item.name for item in items if isinstance(item, Command)] == ["torque", "sealant"]
    assert len([item for item in items if isinstance(item, Reading)]) == 2


@pytest.mark.parametrize(
    ("text", "name"),
    [("i have the thread gauge", "gauge-found"), ("i have no thread gauge", "no-pitch-gauge"),
     ("i have not got a seat gauge", "no-seat-gauge"), ("only the caliper", "no-seat-gauge")],
)  # fmt: skip
def test_who_has_a_gauge_is_not_without_it(language: Language, text: str, name: str) -> None:
    assert [item.name for item in language.interpret(text, Context())[0].items if isinstance(item, Command)] == [name]


def test_a_number_between_two_names_is_not_passed_over(language: Language) -> None:
    (reading,) = language.interpret("two wire working pressure 330 bar")[0].items[1:]
    assert isinstance(reading, Reading)
    assert reading.measurands == {Measurand.PRESSURE}
