"""What was asked is answered, whatever hangs on it; what a gauge did before is not told of the number behind it.

Of the sentences of common practice, no source.
"""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Gender, Measurand, Option, Reading, Seal

ASKED = Context(expected=(Measurand.GENDER,))
ANGLE = Context(expected=(Measurand.SEAT_ANGLE,))
RING = Context(
    expected=(Measurand.SEAL,), yes_no=True, asked=Option(Measurand.SEAL, Seal.FACE_O_RING.value, log_prior=0.0)
)


@pytest.mark.parametrize(
    "text",
    ["female, sorry, male, I'd the wrong end in my hand", "male, been on there a while", "male, and what torque"],
)
def test_the_gender_that_was_asked_for_is_taken(language: Language, text: str) -> None:
    said = [item for item in language.interpret(text, ASKED)[0].items if isinstance(item, Reading)]
    assert [(o.value, o.negated) for item in said for o in item.options] == [(Gender.MALE, False)]


@pytest.mark.parametrize("text", ["male, no that's the other end", "yes, Bert, I'll be down"])
def test_what_takes_it_back_or_speaks_to_somebody_is_no_answer(language: Language, text: str) -> None:
    assert not any(isinstance(item, Reading) for item in language.interpret(text, ASKED)[0].items)


@pytest.mark.parametrize(
    "text", ["no ring in there at all", "no groove, no ring, nothing", "nope, no groove and no ring"]
)
def test_no_ring_says_no_to_the_ring_that_was_asked_about(language: Language, text: str) -> None:
    for item in language.interpret(text, RING)[0].items:
        if isinstance(item, Command):
            assert item.name == "no"
        else:
            assert isinstance(item, Reading)
            assert {(o.value, o.negated) for o in item.options} <= {(Seal.FACE_O_RING, True)}


@pytest.mark.parametrize(
    "text", ["I'd the gauge crooked, it's not forty five, it's thirty seven", "gauge was crooked, it's thirty seven"]
)
def test_a_gauge_that_was_crooked_denies_nothing_behind_it(language: Language, text: str) -> None:
    said = [item for item in language.interpret(text, ANGLE)[0].items if isinstance(item, Reading | Command)]
    readings = [r for item in said for r in (item.readings if isinstance(item, Command) else (item,))]
    angles = [o for r in readings for o in r.options if o.measurand is Measurand.SEAT_ANGLE]
    assert ("37", False) in {(str(o.value.value), o.negated) for o in angles if isinstance(o.value, Quantity)}


@pytest.mark.parametrize("text", ["the washer's seventeen mil across", "ring measures eleven mil across"])
def test_the_size_of_a_ring_is_none_of_the_end(language: Language, text: str) -> None:
    for item in language.interpret(text, ANGLE)[0].items:
        assert not isinstance(item, Reading) or Measurand.OUTSIDE_DIAMETER not in item.measurands
