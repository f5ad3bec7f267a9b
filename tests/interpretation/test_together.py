"""Several things said in one breath: every pair and triple, in every order, has one leading meaning with those parts.

And so on for hoses, flanges and couplers. Two meanings that would be read back in the same words are one.
"""

from __future__ import annotations

import math
import random
from itertools import combinations, permutations

import pytest

from tests.interpretation import notes
from tests.interpretation.test_negation import QUALITIES, THINGS
from voicefit.interpretation import Language
from voicefit.records import Context, Item, Measurand, Reading

CLEAR = 0.85
SAMPLED = 60
LEADS = 0.8
SMALL = {"it", "in", "the", "on", "a", "at"}
END = {
    "male": "gender male",
    "outside nine sixteenths": "outside_diameter 9/16 in",
    "inside fifteen point one millimeters": "inside_diameter 15.1 mm",
    "eighteen pitch": "pitch 18 tpi",
    "thirty-seven degrees": "seat_angle 37 deg",
    "cone sticks out": "seat_form convex",
    "recessed": "seat_form recessed",
    "tapered": "taper tapered",
    "o-ring in the face": "seal face_o_ring",
    "no washer": "not seal washer",
    "dash six": "dash 6",
    "japanese machine": "country japan",
}
FLANGE = {
    "held by four bolts": "shape flange",
    "head fifty point eight millimeters": "flange_head_diameter 50.8 mm",
    "thickness nine point six millimeters": "flange_head_thickness 9.6 mm",
    "long side fifty-two point four": "bolt_long 52.4 mm",
    "no thread": "not shape threaded",
    "flange o-ring": "seal flange_o_ring",
}
COUPLER = {
    "quick coupler": "shape coupler",
    "female half": "gender female",
    "profile twenty point five millimeters": "profile_diameter 41/2 mm",
    "it's a flat face": "seat_form flat",
    "no o-ring": "not seal o_ring",
}
HOSE = {
    "two SN": "hose_type en-853-2sn",
    "two wire": "reinforcement two_wire_braids",
    "dash eight": "dash 8",
    "length eight hundred and fifty millimeters": "length 850 mm",
    "two hundred bar": "pressure 200 bar",
    "elbows ninety degrees": "elbow_angle 90 deg",
    "eighty degrees celsius": "temperature 80 degC",
}
KINDS = {
    "end": (END, Context()),
    "end asked": (END, Context(expected=(Measurand.SEAT_FORM,))),
    "flange": (FLANGE, Context()),
    "coupler": (COUPLER, Context()),
    "hose": (HOSE, Context(expected=(Measurand.HOSE_BORE,))),
}


def leading(item: Item) -> str:
    """What an item is first of all, without the step of its scale."""
    if not isinstance(item, Reading):
        return notes.item(item)
    return notes.option(item.options[0]).partition(" /")[0].removesuffix(" 1")


JOINTS = {"breath": " ", "commas": ", ", "and": " and ", "it's": ", it's "}


def turned(parts: tuple[str, ...], number: int) -> list[tuple[str, ...]]:
    """The orders in which these parts are said with the joint of this number: pairs in both with every joint.

    Three are said in one order with one joint, by turns: how two stand beside each other is seen of the pairs.
    """
    if len(parts) == 2:
        return list(permutations(parts))
    first, second, third = parts
    turn = sum(map(len, parts))
    if turn % len(JOINTS) != number:
        return []
    return [[parts, (third, second, first), (second, third, first)][turn // len(JOINTS) % 3]]


@pytest.mark.parametrize("joint", JOINTS)
@pytest.mark.parametrize(
    ("kind", "count"),  # what is asked takes a part from its neighbour, or none: two tell it
    [(kind, count) for kind in KINDS for count in (2, 3) if (kind, count) != ("end asked", 3)],
)
def test_they_are_what_they_are_apart(language: Language, kind: str, count: int, joint: str) -> None:
    table, context = KINDS[kind]
    between = JOINTS[joint]
    wrong = []
    for parts in combinations(table, count):
        if {"cone sticks out", "recessed"} <= set(parts):
            continue
        for order in turned(parts, list(JOINTS).index(joint)):
            if between == " " and "cone sticks out" in order and {"male", "tapered"} & set(order):
                continue  # a male cone, or a male; a tapered cone is no tapered thread
            if between == ", it's " and any(part.startswith(("it's", "no ")) for part in order[1:]):
                continue
            text = between.join(order)
            best = language.interpret(text, context)[0]
            found = [leading(item) for item in best.items]
            if found != [table[part] for part in order] or math.exp(best.log_weight) < CLEAR:
                wrong.append(f"{text!r}: {found} {math.exp(best.log_weight):.2f}")
    assert not wrong, f"{len(wrong)}: " + "\n".join(wrong[:12])


SEEN = {words: value for table in (THINGS, QUALITIES, END) for words, value in table.items()} | {
    "it dips in": "seat_form recessed",
    "it comes off": "body loose",
    "one and a half millimeter pitch": "pitch 3/2 mm",
    "hex twenty-two millimeters": "hex 22 mm",
    "tube twelve millimeters": "tube_outside_diameter 12 mm",
}
# What kind of washer it is counts as well; and what is in a face goes by it: "flat face, o-ring".
OF_TWO = {"copper washer", "flat face", "it's a flat face"}


@pytest.mark.parametrize("count", [2, 3])
@pytest.mark.parametrize("joint", ["breath", "commas", "and"])
def test_any_of_all_that_may_be_seen(language: Language, joint: str, count: int) -> None:
    """Sampled of all values of all categories in every order. In one breath two may make one name, as "threaded port"
    does: then nothing else is said than these."""
    rng = random.Random(f"{joint} {count}")
    names = [words for words, value in SEEN.items() if not value.startswith("reinforcement") and words not in OF_TWO]
    wrong, joined, texts = [], 0, 0
    while texts < SAMPLED:
        parts = rng.sample(names, count)
        if len({SEEN[part].removeprefix("not ").split()[0] for part in parts}) < count:
            continue
        words = [word for part in parts for word in part.replace("-", " ").split() if word not in SMALL]
        if len(set(words)) < len(words):
            continue  # "ball nose, nose": the one names the other
        texts += 1
        text = JOINTS[joint].join(parts)
        best = language.interpret(text, Context())[0]
        found = [leading(item) for item in best.items]
        if found == [SEEN[part] for part in parts]:
            wrong += [f"{text!r}: {math.exp(best.log_weight):.2f}"] if math.exp(best.log_weight) < LEADS else []
        elif joint == "breath" and set(found) < {SEEN[part] for part in parts}:
            joined += 1
        else:
            wrong.append(f"{text!r}: {found}")
    allowed = SAMPLED // 20 if joint == "breath" else 0  # "female taper", "bore dash six"
    assert len(wrong) <= allowed, f"{len(wrong)}: " + "\n".join(wrong[:12])
    assert joined <= SAMPLED // 10
