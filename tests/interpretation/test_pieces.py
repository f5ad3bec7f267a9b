"""Pieces of a job by their names: what is said of each, in whatever place the name stands."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.records import Command, Context, Item, Reading

TWO = [("piece", "1"), "male", "three quarter sixteen", ("piece", "2"), "nut"]


def told(items: tuple[Item, ...]) -> list[object]:
    """Names with their numbers, other commands by theirs, and the words of readings, each once."""
    found: list[object] = []
    for item in items:
        if isinstance(item, Command):
            found.append((item.name, item.argument) if item.name == "piece" else item.name)
        elif isinstance(item, Reading) and item.heard not in found:
            found.append(item.heard)
    return found


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("end one male three quarter sixteen. end two nut", TWO),
        ("end one male three quarter sixteen end two nut", TWO),
        ("first end male three quarter sixteen, second end nut", TWO),
        ("male three quarter sixteen, and the second one nut", TWO[1:]),
        ("next, piece two, nut", [("piece", "2"), "nut"]),
        ("torque end one", [("piece", "1"), "torque"]),
        ("torque for the other end", [("piece", "other"), "torque"]),
        ("torque both ends", [("piece", "both"), "torque"]),
        ("first one, make that fourteen", [("piece", "1"), "correct"]),
        ("piece one's pitch is one point five", [("piece", "1"), "pitch is one point five"]),
        ("the pitch on end two is fourteen", [("piece", "2"), "the pitch is fourteen"]),
        ("what is piece one", [("piece", "1"), "where-are-we"]),
        ("next fitting, same machine, it's female", ["other-end", "it's female"]),
        # names that belong to what is said, and numbers that count something else
        ("same as end one", ["same-end"]),
        ("go back to end two", ["go-to-end"]),
        ("delete end two", ["remove-piece"]),
        ("forget piece two and three", ["remove-piece"]),
        ("how do i join end one to end two", ["join-ends"]),
        ("first one", ["first-one"]),
        ("the first end is", ["one-end"]),
        ("the other end, female", ["other-end", "female"]),
        # a piece that is only begun, without a pause or by a bare "other"
        ("other end male seven eighths fourteen", ["other-end", "male", "seven eighths fourteen"]),
        ("other one's a nut, cone goes in", ["other-end", "a nut", "cone goes in"]),
        ("next, nut seven eighths fourteen", ["next", "nut", "seven eighths fourteen"]),
        ("next, fourteen", ["next", "fourteen"]),
        ("one end nut half npt, the other a male", ["one-end", "nut", "half npt", ("piece", "other"), "a male"]),
        ("end one nut, far end male", [("piece", "1"), "nut", ("piece", "other"), "male"]),
        ("the other one", []),
    ],
)
def test_what_is_said_of_a_piece_that_is_named(language: Language, text: str, items: list[object]) -> None:
    assert told(language.interpret(text)[0].items) == items


def test_what_was_asked_of_the_piece_in_hand_is_not_answered_by_what_is_said_of_another(language: Language) -> None:
    """ "fourteen" answers the pitch that was asked for on end one; of end two nobody asked."""
    from voicefit.records import Measurand

    asked = Context(expected=(Measurand.PITCH,), in_hand=frozenset({"1"}))
    first, second = (language.interpret(f"end {number} fourteen", asked)[0].items[-1] for number in ("one", "two"))
    assert isinstance(first, Reading) and first.options[0].measurand is Measurand.PITCH
    assert isinstance(second, Reading) and second == language.interpret("fourteen", Context())[0].items[0]


def test_what_stands_behind_a_name_may_mean_what_it_may_mean_alone(language: Language) -> None:
    alone, named = (language.interpret(f"{name}nut twenty two", Context()) for name in ("", "end one "))
    assert len(alone) > 1
    assert [told(meaning.items[1:]) for meaning in named] == [told(meaning.items) for meaning in alone]
