"""What is said of the screws of a flange is never a reading of the end in hand."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.records import Command, Context, Reading


def _understood(language: Language, text: str) -> tuple[list[tuple[str, str | None]], int]:
    items = language.interpret(text, Context())[0].items
    commands = [(item.name, item.argument) for item in items if isinstance(item, Command)]
    return commands, sum(isinstance(item, Reading) for item in items)


@pytest.mark.parametrize(
    ("text", "screw"),
    [
        ("how much do i torque the M ten bolts", "M10"),
        ("how tight, they are M ten class eight point eight", "M10 8.8"),
        ("torque, seven sixteenths bolts", "7/16"),
        ("M twelve ten point nine, what torque", "M12 10.9"),
        ("bolts eight point eight, how tight", "8.8"),
        ("grade five bolts torque", "grade-5"),
        ("7/16 screws, how tight", "7/16"),
        ("how tight, bolt is M sixteen", "M16"),
    ],
)
def test_the_screw_stands_with_what_is_asked_of_it(language: Language, text: str, screw: str) -> None:
    assert _understood(language, text) == ([("torque", screw)], 0)


@pytest.mark.parametrize(
    ("text", "screw"),
    [
        ("the flange screws, they are M ten", "M10"),
        ("ten point nine bolts", "10.9"),
        ("the bolts are class ten point nine", "10.9"),
        ("half clamp bolts M ten by thirty five", "M10"),
        ("class 10.9 screws M12", "M12 10.9"),
    ],
)
def test_what_is_only_told_of_screws_writes_nothing(language: Language, text: str, screw: str) -> None:
    assert _understood(language, text) == ([("screws", screw)], 0)


def test_an_order_of_screws_keeps_their_number_and_not_their_size(language: Language) -> None:
    assert _understood(language, "put eight bolts M ten by forty") == ([("quantity", "8")], 0)


@pytest.mark.parametrize(
    "text",
    [
        "four bolts, eight point eight thick",
        "bolts forty seven by twenty two",
        "bolt is M sixteen by one and a half",
        "it screws into M ten",
        "head thickness eight point eight, four bolts",
    ],
)
def test_what_is_measured_of_the_end_stays_a_reading(language: Language, text: str) -> None:
    commands, readings = _understood(language, text)
    assert readings > 0 and not any(name == "screws" for name, _ in commands)
