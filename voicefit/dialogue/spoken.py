"""Numbers and quantities in words, the trade's way: "nineteen thirty-seconds inch", "eighteen by one and a half".

Duty: spell for the ear, exact. It must not know readings or replies.
"""

from __future__ import annotations

from fractions import Fraction

from voicefit.quantities import Quantity, Unit

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
