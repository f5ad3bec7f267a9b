"""What it is not: every value of every category, in many ordinary forms, means its negation and claims nothing else.

The forms and the names are written here, apart from the grammar's own: they are what people say.
"""

from __future__ import annotations

import math

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.interpretation.examples import spell
from voicefit.interpretation.grammar import CATEGORIES, NoneOf, TurnThing
from voicefit.records import Context, Measurand, Reading, Rejection

# What one may see: its words, and what it is.
THINGS = {
    "washer": "seal washer",
    "copper washer": "seal washer",
    "o-ring": "seal o_ring",
    "rubber ring": "seal o_ring",
    "o-ring in the cone": "seal cone_o_ring",
    "o-ring in the face": "seal face_o_ring",
    "o-ring at the base": "seal base_o_ring",
    "o-ring behind the thread": "seal base_o_ring",
    "o-ring in the flange": "seal flange_o_ring",
    "o-ring in the bore": "seal bore_o_ring",
    "cutting ring": "seal cutting_ring",
    "ferrule": "seal cutting_ring",
    "banjo": "shape banjo",
    "one wire braid": "reinforcement one_wire_braid",
    "two wire braids": "reinforcement two_wire_braids",
    "four wire spirals": "reinforcement four_wire_spirals",
    "six wire spirals": "reinforcement six_wire_spirals",
    "one textile braid": "reinforcement one_textile_braid",
    "two textile braids": "reinforcement two_textile_braids",
    "fiber braid": "reinforcement fibre",
    "flange": "shape flange",
    "quick coupler": "shape coupler",
    "staple": "shape staple",
    "nut": "gender female",
    "port": "gender port",
    "stud": "gender stud",
    "shoulder": "seat_form shoulder",
    "flat face": "seat_form flat",
    "recess": "seat_form recessed",
    "nose": "seat_form convex",
    "ball nose": "nose ball",
    "straight nose": "nose straight",
    "rounded crest": "crest rounded",
    "flat crest": "crest flat",
    "sharp edge on the shoulder": "shoulder_edge edge",
    "flat ring around the o-ring": "shoulder_edge ring",
    "taper": "taper tapered",
    "hydraulic line": "line hydraulic",
    "air line": "line air_brake",
    "injection line": "line fuel_injection",
    "refrigerant line": "line air_conditioning",
    "brake fluid line": "line brake_line",
    "gas in it": "line compressed_gas",
    "JIC": "series flare37",
}
NO_THING = (
    "no {}",
    "not a {}",
    "it's not a {}",
    "it isn't a {}",
    "it is not a {}",
    "there's no {}",
    "there is no {}",
    "there isn't a {}",
    "there isn't any {}",
    "there is not a {}",
    "it has no {}",
    "it's got no {}",
    "it hasn't got a {}",
    "it hasn't a {}",
    "it doesn't have a {}",
    "it doesn't seem to have a {}",
    "there doesn't appear to be a {}",
    "it doesn't look like it has a {}",
    "without any sign of a {}",
    "without a {}",
    "never had a {}",
    "I can't see any {}",
    "I don't see a {}",
    "can't feel a {}",
    "nothing like a {}",
    "no {} on it",
    "no {} anywhere",
    "there's no {} at all",
    "well, there's no {} here",
)
# What it may be like: its words, and what it is.
QUALITIES = {
    "recessed": "seat_form recessed",
    "convex": "seat_form convex",
    "flat": "seat_form flat",
    "like a ball": "nose ball",
    "tapered": "taper tapered",
    "parallel": "taper parallel",
    "metal to metal": "seal metal",
    "in a block": "body housing",
    "male": "gender male",
    "female": "gender female",
    "threaded": "shape threaded",
    "metric": "thread_system M",
}
NOT_SO = (
    "not {}",
    "it's not {}",
    "it isn't {}",
    "it is not {}",
    "that's not {}",
    "it was never {}",
    "definitely not {}",
    "it can't be {}",
)
# What it may do: the verb, and what it is.
VERBS = {
    "stick out": "seat_form convex",
    "poke out": "seat_form convex",
    "go in": "seat_form recessed",
    "dip in": "seat_form recessed",
    "taper": "taper tapered",
    "come off": "body loose",
}
# "It won't go in" tells what somebody tried, not what the thing is like.
DOES_NOT = (
    "doesn't {}",
    "it doesn't seem to {}",
    "it doesn't {}",
    "it does not {}",
    "this one doesn't {}",
    "they don't {}",
)
NUMBERS = {
    "nineteen pitch": "pitch 19 tpi",
    "thirty-seven degrees": "seat_angle 37 deg",
    "dash eight": "dash 8 1",
}
NOT_THAT = (
    "not {}",
    "it's not {}",
    "it isn't {}",
    "definitely not {}",
    "it can't be {}",
    "it is not {}",
    "that's not {}",
)

# Each thing in every third form and each form of every third thing; of qualities, verbs and numbers all.
CASES = [
    (form.format(words), f"not {value}")
    for table, forms, every in (
        (THINGS, NO_THING, 3),
        (QUALITIES, NOT_SO, 1),
        (VERBS, DOES_NOT, 1),
        (NUMBERS, NOT_THAT, 1),
    )
    for thing, (words, value) in enumerate(table.items())
    for at, form in enumerate(forms)
    if (thing + at) % every == 0
]


@pytest.mark.parametrize(("text", "meaning"), CASES, ids=[text for text, _ in CASES])
def test_what_it_is_not(language: Language, text: str, meaning: str) -> None:
    best = language.interpret(text, Context())[0]
    assert notes.meaning(best) == meaning
    assert math.exp(best.log_weight) > 0.9


def test_every_category_is_named_among_these() -> None:
    """A value that can be seen and has no name here would never be denied in this test."""
    named = {value for table in (THINGS, QUALITIES, VERBS) for value in table.values()}
    for measurand, values in CATEGORIES.items():
        for value in values:
            if measurand in (Measurand.THREAD_SIDE, Measurand.SEALED_BY) or value in ("none", "plain", "thread"):
                continue  # said as whole sentences; denied by saying the other thing
            assert f"{measurand} {value}" in named


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("no seat", "seat_form none"),
        ("there isn't a seat", "seat_form none"),
        ("no cone", "not seat_form convex; not seat_form recessed"),
        ("no washer or o-ring", "not seal washer; not seal o_ring"),
        ("neither tapered", "not taper tapered"),
        ("it isn't BSP", "not thread_system G; not thread_system R"),
        ("not not a washer", "?out_of_grammar not"),
        ("no, male", "!correct (gender male)"),
        ("a seat, no washer", "not seat_form none; not seal washer"),
        ("no washer, male", "not seal washer; gender male"),
    ],
)
def test_what_a_no_reaches(language: Language, text: str, meaning: str) -> None:
    assert notes.meaning(language.interpret(text, Context())[0]) == meaning


def test_every_frame_that_says_no_denies(language: Language) -> None:
    """Each frame of the grammar's own, filled with its own examples."""
    grammar = language.grammar
    denied = 0
    for form in grammar.rules["said"]:
        if not isinstance(form.maker, NoneOf) and not (isinstance(form.maker, TurnThing) and form.maker.negates):
            continue
        for flat in form.phrase[:6]:
            text = spell(grammar, flat)
            best = language.interpret(text, Context())[0]
            assert not any(isinstance(item, Rejection) for item in best.items), text
            readings = [item for item in best.items if isinstance(item, Reading)]
            assert readings and all(o.negated for reading in readings for o in reading.options[:1]), text
            denied += 1
    assert denied > 60


@pytest.mark.parametrize("text", ["the nose, not the thread", "the thread, not the nose"])
def test_parts_that_are_set_against_each_other_tell_of_neither(language: Language, text: str) -> None:
    items = language.interpret(text, Context())[0].items
    assert not any(isinstance(item, Reading) and not item.guessed for item in items)


def test_a_nose_is_no_recess(language: Language) -> None:
    items = language.interpret("the nose, not the recess", Context())[0].items
    assert [item.options[0].value for item in items if isinstance(item, Reading)] == ["convex", "recessed"]
