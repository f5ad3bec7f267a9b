"""Numbers in words, as people say them at a machine.

Duty: whole numbers, fractions, decimals and digits in words. It must not know what is measured.
"""

from __future__ import annotations

import random

ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}
TEENS_AND_TENS = (*range(13, 20), *range(30, 100, 10))


def whole(number: int, draw: random.Random | None = None) -> str:
    """A whole number below a million; with ``draw``, in one of the ways people have.

    >>> whole(19), whole(42), whole(315), whole(5000)
    ('nineteen', 'forty-two', 'three hundred fifteen', 'five thousand')
    """
    if number < 20:
        return ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return TENS[tens - 2] + (f"-{ONES[ones]}" if ones else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        if draw and rest >= 10 and draw.random() < 0.15:
            return f"{ONES[hundreds]} {whole(rest)}"
        joined = " and " if draw and draw.random() < 0.4 else " "
        return f"{ONES[hundreds]} hundred" + (joined + whole(rest) if rest else "")
    thousands, rest = divmod(number, 1000)
    return f"{whole(thousands, draw)} thousand" + (f" {whole(rest, draw)}" if rest else "")


def fraction(numerator: int, denominator: int, draw: random.Random | None = None) -> str:
    """
    >>> fraction(19, 32), fraction(21, 16), fraction(1, 2)
    ('nineteen thirty-seconds', 'one and five sixteenths', 'one half')
    """
    units, rest = divmod(numerator, denominator)
    name = PARTS[denominator] if denominator != 2 or rest < 2 else "halve"
    part = f"{whole(rest)} {name}" + ("s" if rest > 1 else "")
    if draw and part.startswith("one ") and draw.random() < 0.4:
        part = f"{'an' if denominator == 8 else 'a'} {name}"
    if not units:
        return part
    return f"{whole(units)} and {'a half' if part == 'one half' else part}"


def decimal(text: str, draw: random.Random | None = None) -> str:
    """
    >>> decimal("15.1"), decimal(".594")
    ('fifteen point one', 'point five nine four')
    """
    units, _, digits = text.partition(".")
    before = whole(int(units), draw) if units else ""
    if not digits:
        return before
    spoken = [ONES[int(digit)] for digit in digits]
    if draw and draw.random() < 0.2:
        spoken = ["oh" if word == "zero" else word for word in spoken]
    elif draw and len(digits) == 2 and digits[0] != "0" and draw.random() < 0.25:
        spoken = [whole(int(digits))]
    return " ".join(filter(None, [before, "point", *spoken]))


def digits(count: int, draw: random.Random) -> str:
    """So many digits one by one, zero also as "oh"."""
    return " ".join(draw.choice([*ONES[:10], "oh"]) for _ in range(count))
