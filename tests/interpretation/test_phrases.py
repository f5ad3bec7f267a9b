"""The table of phrases: what each means, and that the recogniser may write it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.interpretation import notes
from tests.interpretation.writing import accepts, matcher
from voicefit.interpretation import Language
from voicefit.records import Context, Meaning, Reading, Rejection

OFFERED, TYPED = (
    [tuple(line.split(" => ")) for line in part.splitlines() if line and not line.startswith("#")]
    for part in (Path(__file__).parent / "phrases.txt")
    .read_text(encoding="utf-8")
    .split("# ---- understood, and not offered to a speech engine\n")
)
ROWS = OFFERED + TYPED
LIKELY = math.log(0.1)
_FOUND: dict[str, tuple[Meaning, ...]] = {}  # each row is understood once, for all tests of this file


def found_of(language: Language, phrase: str) -> tuple[Meaning, ...]:
    if phrase not in _FOUND:
        _FOUND[phrase] = language.interpret(phrase, Context())
    return _FOUND[phrase]


def test_the_table_is_long_enough() -> None:
    assert len({row[0] for row in ROWS}) == len(ROWS) >= 200


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_phrase(row: tuple[str, ...], language: Language) -> None:
    found = found_of(language, row[0])
    assert [notes.meaning(each) for each in found if each.log_weight > LIKELY] == list(row[1:])
    assert math.isclose(sum(math.exp(each.log_weight) for each in found), 1.0)
    assert [each.log_weight for each in found] == sorted((each.log_weight for each in found), reverse=True)


def test_what_is_heard_lies_in_the_text(language: Language) -> None:
    for phrase, *_ in ROWS:
        for meaning in found_of(language, phrase):
            for item in meaning.items:
                heard = item.text if isinstance(item, Rejection) else item.heard
                assert heard and heard in phrase


def test_the_recogniser_may_write_all_that_is_understood(language: Language) -> None:
    """Except signs that no engine writes: fractions as one letter, the multiplication sign, groups of thousands."""
    whole = matcher(language.constraint(Context()))
    for phrase, *_ in OFFERED:
        understood = all(not isinstance(item, Rejection) for item in found_of(language, phrase)[0].items)
        hesitates = {"uh"} & set(phrase.replace(",", "").split())
        if understood and phrase.isascii() and not hesitates and "," not in phrase.replace(", ", ""):
            assert accepts(whole, phrase), phrase
            assert accepts(whole, " " + phrase.capitalize().rstrip(".") + "."), phrase


def test_several_things_may_be_said_in_any_order(language: Language) -> None:
    parts = ["outside nineteen thirty-seconds", "nineteen pitch", "seat thirty", "recessed", "dash six", "tapered"]
    for shift in range(len(parts)):
        order = parts[shift:] + parts[:shift]
        for joint in (" ", ", ", " and "):
            items = language.interpret(joint.join(order), Context())[0].items
            assert [item.heard for item in items if isinstance(item, Reading)] == order
