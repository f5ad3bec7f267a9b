"""Several things said in one breath: every pair and triple, in every order, has one leading meaning with those parts.

And so on for hoses, flanges and couplers. Two meanings that would be read back in the same words are one.
"""

from __future__ import annotations

import math
from itertools import combinations, permutations

import pytest

from tests.interpretation import notes
from voicefit.interpretation import Language
from voicefit.records import Context, Item, Measurand, Reading

CLEAR = 0.85
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
            if between == " " and {"male", "cone sticks out"} <= set(order):
                continue  # a male cone, or a male
            if between == ", it's " and any(part.startswith(("it's", "no ")) for part in order[1:]):
                continue
            text = between.join(order)
            best = language.interpret(text, context)[0]
            found = [leading(item) for item in best.items]
            if found != [table[part] for part in order] or math.exp(best.log_weight) < CLEAR:
                wrong.append(f"{text!r}: {found} {math.exp(best.log_weight):.2f}")
    assert not wrong, f"{len(wrong)}: " + "\n".join(wrong[:12])
