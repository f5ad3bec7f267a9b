"""Numbers, quantities and threads in words for the ear, the trade's way: the inverse of the number grammar.

Duty: exact spelling. What is said here, :class:`~voicefit.interpretation.language.Language` reads back as the same
number; a property test holds the two together. It must not know replies, and must not round what a person may have
to compare digit by digit (decimals longer than four figures excepted: no instrument of the trade shows them).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import Enum
from fractions import Fraction

from voicefit.quantities import Quantity, Unit
from voicefit.records import Measurand

_FIGURES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = ("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}
_MOST_DECIMALS = 4


class Style(Enum):
    """How a quantity is said: ``FULL`` "nineteen thirty-seconds of an inch", ``SHORT`` "nineteen thirty-seconds",
    ``DIGITS`` "fifteen millimeters: one five", for a number that sounds like another."""

    FULL = "full"
    SHORT = "short"
    DIGITS = "digits"


# unit: one, many
_UNITS = {
    Unit.INCH: ("inch", "inches"),
    Unit.MILLIMETRE: ("millimeter", "millimeters"),
    Unit.THREADS_PER_INCH: ("thread per inch", "threads per inch"),
    Unit.DEGREE: ("degree", "degrees"),
    Unit.BAR: ("bar", "bar"),
    Unit.MEGAPASCAL: ("megapascal", "megapascals"),
    Unit.PSI: ("P S I", "P S I"),
    Unit.CELSIUS: ("degree celsius", "degrees celsius"),
    Unit.FAHRENHEIT: ("degree fahrenheit", "degrees fahrenheit"),
    Unit.FOOT: ("foot", "feet"),
    Unit.METRE: ("meter", "meters"),
    Unit.COUNT: ("", ""),
}


def say_number(value: Fraction | int) -> str:
    """A number: whole, as a fraction of the inch scale, else decimal, rounded to four figures after the point.

    >>> [say_number(Fraction(text)) for text in ("19", "3/8", "21/16")]
    ['nineteen', 'three-eighths', 'one and five-sixteenths']
    >>> [say_number(Fraction(text)) for text in ("11.5", "15.1", "0.594")]
    ['eleven and a half', 'fifteen point one', 'point five nine four']
    """
    value = Fraction(value)
    if value < 0:
        return f"minus {say_number(-value)}"
    whole, part = divmod(value, 1)
    if not part:
        return _whole(int(whole))
    if part.denominator not in _PARTS:
        return say_decimal(value)
    if not whole:
        return _part(part)
    return f"{_whole(int(whole))} and {'a half' if part == Fraction(1, 2) else _part(part)}"


def say_decimal(value: Fraction) -> str:
    """A number with a point, also where it would make a fraction: ``5/8`` as "point six two five".

    >>> say_decimal(Fraction("15.05"))
    'fifteen point zero five'
    """
    if value < 0:
        return f"minus {say_decimal(-value)}"
    whole, _, after = _written(value).partition(".")
    if not after:
        return _whole(int(whole))
    before = "" if whole == "0" else f"{_whole(int(whole))} "
    return f"{before}point {_one_by_one(after)}"


def say_digits(value: Fraction | int) -> str:
    """Figure by figure: ``15`` as "one five", ``15.1`` as "one five point one".

    >>> say_digits(Fraction("15.1"))
    'one five point one'
    """
    value = Fraction(value)
    if value < 0:
        return f"minus {say_digits(-value)}"
    whole, _, after = _written(value).partition(".")
    return f"{_one_by_one(whole)} point {_one_by_one(after)}" if after else _one_by_one(whole)


def say_quantity(quantity: Quantity, measurand: Measurand | None = None, style: Style = Style.FULL) -> str:
    """A quantity as the trade says it of that measurand.

    >>> from voicefit.quantities import inches, millimetres
    >>> say_quantity(inches("19/32", Fraction(1, 32)))
    'nineteen thirty-seconds of an inch'
    >>> say_quantity(millimetres("1.5"), Measurand.PITCH)
    'one point five pitch'
    >>> say_quantity(Quantity(Fraction(6), Unit.COUNT), Measurand.DASH)
    'dash six'
    >>> say_quantity(millimetres("15"), style=Style.DIGITS)
    'fifteen millimeters: one five'
    """
    words = _value(quantity)
    if measurand is Measurand.DASH:
        return f"dash {words}"
    if style is Style.SHORT:
        return words
    if measurand is Measurand.PITCH and quantity.unit is Unit.MILLIMETRE:
        whole = quantity.value.denominator == 1  # "two pitch" may be two to the inch; no count of threads is broken
        said = f"{words} millimeter pitch" if whole else f"{words} pitch"
    elif quantity.unit is Unit.INCH and quantity.value.denominator != 1 and 0 < quantity.value < 1:
        said = f"{words} {'inch' if _in_decimals(quantity) else 'of an inch'}"
    else:
        one, many = _UNITS[quantity.unit]
        said = f"{words} {one if quantity.value == 1 else many}".strip()
    return f"{said}: {say_digits(quantity.value)}" if style is Style.DIGITS else said


def say_name(name: str, letters: Mapping[str, str]) -> str:
    """A name letter by letter and figure by figure; a word in small letters is said as it is.

    >>> say_name("loader A-12", {"A": "alpha", "-": "dash"})
    'loader alpha dash one two'
    """
    parts = re.findall(r"[a-z]+(?:['’][a-z]+)?|[0-9]|[^ ]", name)
    return " ".join(_FIGURES[int(part)] if part.isdecimal() else letters.get(part, part) for part in parts)


def _value(quantity: Quantity) -> str:
    """As a decimal where it was read as one: on a dial or a digital caliper."""
    if quantity.unit is Unit.MILLIMETRE and quantity.resolution is None:
        return say_decimal(quantity.value)
    return say_decimal(quantity.value) if _in_decimals(quantity) else say_number(quantity.value)


def _in_decimals(quantity: Quantity) -> bool:
    step = quantity.resolution
    return quantity.value.denominator != 1 and step is not None and step.denominator % 5 == 0


def _written(value: Fraction) -> str:
    scaled = round(value * 10**_MOST_DECIMALS)
    whole, after = divmod(scaled, 10**_MOST_DECIMALS)
    return f"{whole}.{after:0{_MOST_DECIMALS}d}".rstrip("0").rstrip(".")


def _one_by_one(figures: str) -> str:
    return " ".join(_FIGURES[int(figure)] for figure in figures)


def _part(part: Fraction) -> str:
    name = _PARTS[part.denominator]
    if part.numerator == 1:
        return f"one-{name}"
    return f"{_whole(part.numerator)}{' ' if '-' in name else '-'}{name}s"


def _whole(value: int) -> str:
    if value >= 1000:
        thousands, rest = divmod(value, 1000)
        return f"{_whole(thousands)} thousand{' ' + _whole(rest) if rest else ''}"
    if value >= 100:
        hundreds, rest = divmod(value, 100)
        return f"{_FIGURES[hundreds]} hundred{' ' + _whole(rest) if rest else ''}"
    if value < 10:
        return _FIGURES[value]
    if value < 20:
        return _TEENS[value - 10]
    tens, ones = divmod(value, 10)
    return _TENS[tens - 2] + (f"-{_FIGURES[ones]}" if ones else "")
