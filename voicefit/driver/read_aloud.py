"""Sentences of the product's language, to be read aloud for a labelled set of recordings.

Duty: write out what a person says, in words and with values of the trade, drawn by a fixed seed: the same sentences
that the hearing benchmark renders in synthetic voices, so that people and voices can be compared. Invented here.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from voicefit.interpretation.spelling import say_number
from voicefit.records import Measurand

_DENOMINATORS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}


@dataclass(frozen=True, slots=True)
class Sentence:
    """``kind`` groups it in the report; ``asked`` is the measurand in question when it is a bare answer."""

    kind: str
    text: str
    asked: str = ""


# Sizes of ISO 11926 / SAE J1926 threads: inches and threads per inch.
_DESIGNATIONS = [(7, 16, 20), (1, 2, 20), (9, 16, 18), (3, 4, 16), (7, 8, 14), (17, 16, 12), (21, 16, 12)]
_ANGLES = ["thirty", "thirty-seven", "forty-five", "sixty", "twenty-four"]
_LEAVES = ["eleven", "eleven and a half", "twelve", "fourteen", "sixteen", "eighteen", "nineteen", "twenty"]
_COMMANDS = [
    "yes", "no", "repeat", "go back", "undo", "help", "why", "next", "start over", "stop", "can't tell",
    "what can i say", "not sure", "say again", "don't know",
]  # fmt: skip


def fraction(numerator: int, denominator: int) -> str:
    """
    >>> fraction(19, 32), fraction(21, 16), fraction(1, 2)
    ('nineteen thirty-seconds', 'one and five sixteenths', 'one half')
    """
    whole, rest = divmod(numerator, denominator)
    name = _DENOMINATORS[denominator]
    part = f"{say_number(rest)} {name}" + ("s" if rest > 1 else "")
    if not whole:
        return part
    return f"{say_number(whole)} and {'a half' if part == 'one half' else part}"


def decimal(text: str) -> str:
    """
    >>> decimal("15.1"), decimal(".594")
    ('fifteen point one', 'point five nine four')
    """
    whole, _, digits = text.partition(".")
    spoken = " ".join(say_number(int(digit)) for digit in digits)
    return " ".join(filter(None, [say_number(int(whole)) if whole else "", f"point {spoken}" if digits else ""]))


def sentences(count: int, seed: int = 4) -> list[Sentence]:
    """``count`` different sentences of the language, the kinds in turn."""
    draw = random.Random(seed)
    found: dict[str, Sentence] = {}
    turns = 0
    while len(found) < count and turns < 50 * count:
        sentence = _MAKERS[turns % len(_MAKERS)](draw)
        found.setdefault(sentence.text, sentence)
        turns += 1
    return list(found.values())


def _length(draw: random.Random) -> str:
    which = draw.randrange(3)
    if which == 0:
        denominator = draw.choice([8, 16, 16, 32, 32, 64])
        numerator = draw.randrange(denominator // 4 + 1, 2 * denominator, 2) | 1
        return fraction(numerator, denominator)
    if which == 1:
        return f"{decimal(f'.{draw.randrange(300, 999)}')} inches"
    return f"{decimal(f'{draw.randrange(9, 60)}.{draw.randrange(1, 10)}')} millimeters"


def _diameter(draw: random.Random) -> Sentence:
    return Sentence("diameter", f"{draw.choice(['outside', 'inside'])} {_length(draw)}")


def _pitch_words(draw: random.Random) -> str:
    if draw.random() < 0.3:
        return draw.choice(["one point five pitch", "two millimeter pitch", "one and a half millimeter pitch"])
    return f"{draw.choice(_LEAVES)} {draw.choice(['pitch', 'threads per inch'])}"


def _pitch(draw: random.Random) -> Sentence:
    return Sentence("pitch", _pitch_words(draw), Measurand.PITCH)


def _teen_or_ten(draw: random.Random) -> Sentence:
    number = draw.choice([13, 14, 15, 16, 17, 18, 19, 30, 40, 50, 60, 70, 80, 90])
    form = draw.choice(
        ["outside {} millimeters", "inside {} point five millimeters", "outside {} point two millimeters"]
    )
    return Sentence("teen-or-ten", form.format(say_number(number)))


def _designation(draw: random.Random) -> Sentence:
    if draw.random() < 0.5:
        size = draw.choice([12, 14, 16, 18, 22, 26, 30, 36, 42])
        return Sentence("designation", f"m {say_number(size)} by {'one point five' if size < 30 else 'two'}")
    numerator, denominator, threads = draw.choice(_DESIGNATIONS)
    return Sentence("designation", f"{fraction(numerator, denominator)} {say_number(threads)}")


def _angle_words(draw: random.Random) -> str:
    return f"{draw.choice(_ANGLES)} {draw.choice(['degrees', 'degrees', 'degree flare'])}"


def _seat(draw: random.Random) -> Sentence:
    return Sentence(
        "seat",
        draw.choice(
            [
                _angle_words(draw),
                draw.choice(["recessed", "cone sticks out", "flat face", "o-ring in the face", "tapered", "parallel"]),
                draw.choice(["it's a nut", "female", "male", "port"]),
                f"dash {say_number(draw.choice([4, 5, 6, 8, 10, 12, 16, 20, 24, 32]))}",
            ]
        ),
    )


def _together(draw: random.Random) -> Sentence:
    parts = [f"{draw.choice(['outside', 'inside'])} {_length(draw)}", _pitch_words(draw), _angle_words(draw)]
    return Sentence("together", ", ".join(parts[: draw.choice([2, 3, 3])]))


def _command(draw: random.Random) -> Sentence:
    return Sentence("command", draw.choice(_COMMANDS))


_MAKERS: list[Callable[[random.Random], Sentence]] = [
    _diameter, _together, _pitch, _diameter, _teen_or_ten, _designation, _together, _seat, _diameter, _command,
]  # fmt: skip
