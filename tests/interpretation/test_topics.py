"""Questions that no phrase takes are answered by what they are about; nothing that states something is guessed at.

The questions are written here, apart from the grammar's own wordings: they are what people ask.
"""

from __future__ import annotations

import math

import pytest

from voicefit.interpretation import Language
from voicefit.records import Command, Context, Measurand, Reading

ASKED = {
    "how many newton meters does this one want": "torque",
    "what torque would you give a thing like this": "torque",
    "is there anything that would mate with this": "what-fits",
    "which parts does it go together with": "what-fits",
    "what could somebody confuse this with": "what-does-not-fit",
    "is there a lookalike that people mix it with": "what-does-not-fit",
    "does that kind need an o-ring or so": "what-seals-it",
    "how many bar would this hold": "pressure",
    "have we got one of these on the shelf": "in-stock",
    "where do I order such a thing": "help-orders",
    "what evidence have you for that": "why",
    "which other candidates are there": "what-else",
    "where do I put the caliper for that": "how",
    "is my work saved somewhere": "save",
    "is it safe to loosen this": "opening",
}
STATED = ("grandmother",)
CRIES = {
    "christ there's oil squirting all over the shop": "leak",
    "the damn pipe went and burst on us": "leak",
    "a jet of oil went clean through his finger": "injected",
    "grease flew into my eyes": "in-the-eye",
    "bob is bleeding like a pig": "hurt",
    "the whole thing is on fire": "fire",
}
QUIET = (
    "it is not leaking anywhere",
    "nothing burst",
)


def called(language: Language, text: str) -> list[str]:
    best = language.interpret(text, Context())[0]
    return [item.name for item in best.items if isinstance(item, Command)]


@pytest.mark.parametrize(("text", "name"), ASKED.items())
def test_a_question_is_answered_by_what_it_is_about(language: Language, text: str, name: str) -> None:
    assert called(language, text) == [name]


@pytest.mark.parametrize("text", STATED)
def test_who_states_something_asks_nothing(language: Language, text: str) -> None:
    assert not called(language, text)


@pytest.mark.parametrize(("text", "name"), CRIES.items())
def test_a_cry_for_help_is_heard_in_any_wording(language: Language, text: str, name: str) -> None:
    assert name in called(language, text)


@pytest.mark.parametrize("text", QUIET)
def test_what_did_not_happen_is_no_cry(language: Language, text: str) -> None:
    assert not {"leak", "injected", "in-the-eye", "hurt", "hot"} & set(called(language, text))


NOT_IN_HAND = (
    "I ordered a {}",
    "we bought a {} last week",
    "he wanted a {}",
    "have you got a {}",
    "is a {} okay with this",
    "could it be a {}",
    "no way that's a {}",
    "I doubt it's a {}",
    "that rules out a {}",
    "unless it's a {}",
)
THINGS = ("banjo", "flange", "washer", "JIC", "metal seat", "tapered thread")
ASKED_BEFORE = (None, Measurand.SEAL, Measurand.SHAPE)


# Each wording with each thing, after one of the questions by turns.
@pytest.mark.parametrize(
    ("text", "thing", "asked"),
    [
        (text, thing, ASKED_BEFORE[(i + j) % len(ASKED_BEFORE)])
        for i, text in enumerate(NOT_IN_HAND)
        for j, thing in enumerate(THINGS)
    ],
)
def test_what_is_not_in_hand_is_no_reading(language: Language, text: str, thing: str, asked: Measurand | None) -> None:
    context = Context(expected=() if asked is None else (asked,))
    best = language.interpret(text.format(thing), context)[0]
    readings = [item for item in best.items if isinstance(item, Reading)]
    sure = [r for r in readings if any(not o.negated and o.hedge is None for o in r.options)]
    assert not sure or math.exp(best.log_weight) < 0.5, best
