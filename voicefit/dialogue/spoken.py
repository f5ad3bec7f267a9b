"""Numbers and quantities in words, the trade's way: "nineteen thirty-seconds inch", "eighteen by one and a half".

Duty: spell for the ear, exact. It must not know readings or replies.
"""

from __future__ import annotations

import re
from fractions import Fraction

from voicefit.quantities import Quantity, Unit, exact

_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_SMALL = (*_DIGITS, "ten", "eleven", "twelve", *_TEENS)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}
_MOST_DIGITS = 4  # after the point; further ones are rounded: no instrument of the trade shows them
_UNITS = {
    Unit.INCH: ("inch", "inches"),
    Unit.MILLIMETRE: ("millimeter", "millimeters"),
    Unit.THREADS_PER_INCH: ("thread per inch", "threads per inch"),
    Unit.DEGREE: ("degree", "degrees"),
    Unit.BAR: ("bar", "bar"),
    Unit.MEGAPASCAL: ("megapascal", "megapascals"),
    Unit.PSI: ("P S I", "P S I"),
    Unit.CELSIUS: ("degree Celsius", "degrees Celsius"),
    Unit.FAHRENHEIT: ("degree Fahrenheit", "degrees Fahrenheit"),
    Unit.FOOT: ("foot", "feet"),
    Unit.METRE: ("meter", "meters"),
    Unit.COUNT: ("", ""),
}


def number(value: int | Fraction) -> str:
    """A number in words: whole, a fraction of the inch rule, else decimal.

    >>> [number(Fraction(text)) for text in ("19", "3/8", "21/16")]
    ['nineteen', 'three-eighths', 'one and five-sixteenths']
    >>> [number(Fraction(text)) for text in ("11.5", "15.1", "0.594")]
    ['eleven and a half', 'fifteen point one', 'point five nine four']
    """
    value = Fraction(value)
    if value < 0:
        return f"minus {number(-value)}"
    whole, rest = divmod(value, 1)
    if not rest:
        return _whole(int(whole))
    if rest.denominator not in _PARTS:
        return _decimal(value)
    if not whole:
        return _part(rest)
    return f"{_whole(int(whole))} and {'a half' if rest == Fraction(1, 2) else _part(rest)}"


def quantity(value: Quantity) -> str:
    """A number with its unit.

    >>> from voicefit.quantities import inches, millimetres
    >>> quantity(inches("19/32")), quantity(millimetres("15.1")), quantity(inches("0.594", Fraction(1, 1000)))
    ('nineteen thirty-seconds inch', 'fifteen point one millimeters', 'point five nine four inch')
    """
    one, many = _UNITS[value.unit]
    read_in_tenths = value.resolution is not None and value.resolution.denominator % 5 == 0
    words = _decimal(value.value) if read_in_tenths and value.value.denominator != 1 else number(value.value)
    fraction_of_one = value.unit is Unit.INCH and value.value < 1
    return f"{words} {one if value.value == 1 or fraction_of_one else many}".strip()


def digits(value: Fraction) -> str:
    """Digit by digit: "one five", "one five point one".

    >>> digits(Fraction(15)), digits(Fraction("15.1"))
    ('one five', 'one five point one')
    """
    whole, _, after = _figures(value).partition(".")
    words = " ".join(_SMALL[int(figure)] for figure in whole)
    return f"{words} point {' '.join(_SMALL[int(figure)] for figure in after)}" if after else words


def nearest(value: float, parts: int) -> Fraction:
    """The nearest multiple of one part: ``nearest(1.26, 4)`` is 5/4."""
    return Fraction(round(value * parts), parts)


def _figures(value: Fraction) -> str:
    text = f"{float(round(value, _MOST_DIGITS)):.{_MOST_DIGITS}f}".rstrip("0").rstrip(".")
    return text.lstrip("-")


def _decimal(value: Fraction) -> str:
    whole, _, after = _figures(value).partition(".")
    if not after:
        return _whole(int(whole))
    before = "" if whole == "0" else f"{_whole(int(whole))} "
    return f"{before}point {' '.join(_SMALL[int(figure)] for figure in after)}"


def _part(rest: Fraction) -> str:
    name = _PARTS[rest.denominator]
    if rest.numerator == 1:
        return f"one-{name}"
    return f"{_whole(rest.numerator)}{' ' if '-' in name else '-'}{name}s"


def _whole(value: int) -> str:
    if value >= 1000:
        thousands, rest = divmod(value, 1000)
        return f"{_whole(thousands)} thousand{' ' + _whole(rest) if rest else ''}"
    if value >= 100:
        hundreds, rest = divmod(value, 100)
        return f"{_SMALL[hundreds]} hundred{' ' + _whole(rest) if rest else ''}"
    if value < 20:
        return _SMALL[value]
    tens, ones = divmod(value, 10)
    return _TENS[tens] + (f"-{_SMALL[ones]}" if ones else "")


_SIGNS = {"°": " degree", "×": " by ", "%": " percent", "&": " and ", "·": " ", "+": " plus "}
_NUMBER = re.compile(r"\d+(?:-\d+)?/\d+|\d+(?:\.\d+)?")


def aloud(text: str) -> str:
    """Written text as words: numbers and the trade's signs spelled, runs of capitals letter by letter.

    >>> aloud("ISO 8434-2"), aloud("screw 3/8-16, grade 5"), aloud("37° flare")
    ('I S O eighty-four thirty-four two', 'screw three-eighths sixteen, grade five', 'thirty-seven degree flare')
    """
    for sign, words in _SIGNS.items():
        text = text.replace(sign, words)
    text = _NUMBER.sub(lambda found: f" {_figure(found[0])} ", text)
    text = re.sub(r"\b[A-Z]{2,}\b", lambda found: " ".join(found[0]), text)
    text = re.sub(r"[^A-Za-z,.:;' -]", " ", text)
    text = re.sub(r"(?<![A-Za-z])-|-(?![A-Za-z])", " ", text)
    return re.sub(r" +([,.:;])", r"\1", re.sub(r" +", " ", text)).strip()


def _figure(figures: str) -> str:
    if "/" in figures:
        return number(exact(figures))
    if "." in figures:
        return _decimal(Fraction(figures))
    if figures.startswith("0"):
        return digits_of(figures)
    if len(figures) == 4 and figures[2:] != "00" and figures[2] != "0":
        return f"{_whole(int(figures[:2]))} {_whole(int(figures[2:]))}"  # a number of a standard, or a year
    if len(figures) == 3 and figures[1:] != "00" and figures[1] != "0":
        return f"{_SMALL[int(figures[0])]} {_whole(int(figures[1:]))}"
    return _whole(int(figures))


def digits_of(figures: str) -> str:
    """Figures as they stand, leading zeros too: "zero one four"."""
    return " ".join(_SMALL[int(figure)] for figure in figures)
