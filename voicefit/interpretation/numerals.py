"""Spoken numbers: exact values, the step that the words show, and the operators that the grammar's forms name.

Duty: arithmetic on what words and digits stand for. An operator gets the values of a form's slots and returns a
value, or ``None`` when those values make no such number ("five thirds of a sixteenth"). No units here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

INCH_DENOMINATORS = frozenset({2, 4, 8, 16, 32, 64})
_SPOKEN_AS = {30: 32, 60: 64}  # "thirty seconds" and "sixty fourths" with the ten in digits


@dataclass(frozen=True, slots=True)
class Number:
    """``step``: 1/32 for "nineteen thirty-seconds", 1/1000 for "point five nine four", 1 for a whole number.

    ``figures``: the digits as said, for joining ("oh five" is not "five"). ``fraction``: said with a denominator.
    """

    value: Fraction
    step: Fraction = Fraction(1)
    figures: str = ""
    fraction: bool = False

    def __hash__(self) -> int:
        """Equal numbers hash alike; that of exact fractions is slow, and this is asked for most of all."""
        return hash((self.value.numerator, self.value.denominator, self.step.denominator, self.figures))

    @classmethod
    def whole(cls, value: int, figures: str | None = None) -> Number:
        return cls(Fraction(value), Fraction(1), str(value) if figures is None else figures)


Operator = Callable[..., "Number | str | None"]


def same(a: Number) -> Number:
    return a


def total(*parts: Number) -> Number:
    """The sum: "twenty" and "one", "five hundred" and "ninety-four", "one" and "five sixteenths"."""
    value = sum((part.value for part in parts), Fraction(0))
    step = min(part.step for part in parts)
    fraction = any(part.fraction for part in parts)
    return Number(value, step, "" if fraction else str(value), fraction)


def hundreds(a: Number) -> Number:
    return Number.whole(int(a.value) * 100)


def thousands(a: Number) -> Number:
    return Number.whole(int(a.value) * 1000)


def thousands_and_half(a: Number) -> Number:
    """ "Three and a half thousand"."""
    return Number.whole(int(a.value) * 1000 + 500)


def join(*parts: Number) -> Number:
    """Figures side by side: "one five" is 15, "five ninety-four" is 594."""
    figures = "".join(part.figures for part in parts)
    return Number.whole(int(figures), figures)


def decimal(*parts: Number) -> Number | None:
    """Whole part, if any, and the figures after the point."""
    figures = parts[-1].figures
    if not figures:
        return None
    step = Fraction(1, 10 ** len(figures))
    whole = parts[0].value if len(parts) == 2 else Fraction(0)
    return Number(whole + int(figures) * step, step)


def mixed(a: Number, b: Number) -> Number | None:
    """A whole number and a proper fraction."""
    return total(a, b) if b.value < 1 else None


def one_over(a: Number) -> Number | None:
    """A denominator said alone: "half", "an eighth"."""
    return ratio(Number.whole(1), a)


def negative(a: Number) -> Number:
    return Number(-a.value, a.step, "")


def ratio(*parts: Number) -> Number | None:
    """Numerator over a denominator of an inch scale; with three parts the first is the whole number."""
    whole = parts[0].value if len(parts) == 3 else Fraction(0)
    top, bottom = parts[-2].value, parts[-1].value
    if bottom not in INCH_DENOMINATORS or top <= 0:
        return None
    if whole and top >= bottom:
        return None
    return Number(whole + top / bottom, 1 / bottom, "", fraction=True)


def proper(*parts: Number) -> Number | None:
    """A ratio as one says it: numerator odd and below the denominator."""
    top, bottom = parts[-2].value, parts[-1].value
    return ratio(*parts) if top < bottom and top % 2 == 1 else None


def other_ratio(top: Number, bottom: Number) -> Number | None:
    """What :func:`proper` leaves out and people say at times: "ten sixteenths", "nineteen sixteenths"."""
    even = top.value < bottom.value and top.value % 2 == 0
    above_one = bottom.value >= 8 and bottom.value <= top.value <= 4 * bottom.value
    return ratio(top, bottom) if even or above_one else None


def run_ratio(a: Number) -> Number | None:
    """Numerator and denominator run together: 916, 1932."""
    return _run(a.figures, lambda bottom: bottom if bottom in (8, 16, 32, 64) else None)


def spoken_run_ratio(a: Number) -> Number | None:
    """Run together and the denominator cut in two words: 1930 seconds, 1960 fourths."""
    return _run(a.figures, lambda bottom: _SPOKEN_AS.get(bottom))


def _run(figures: str, bottom_of: Callable[[int], int | None]) -> Number | None:
    for cut in (2, 1):
        bottom = bottom_of(int(figures[-cut:])) if len(figures) > cut else None
        if bottom:
            return proper(Number.whole(int(figures[:-cut])), Number.whole(bottom))
    return None


def spell(*parts: Number | str) -> str | None:
    """A spelled name: letters and figures written together, words apart. "Twenty one" is 21, never 20 and 1."""
    name = ""
    for at, part in enumerate(parts):
        text = part if isinstance(part, str) else part.figures
        before = parts[at - 1] if at else None
        if isinstance(before, Number) and isinstance(part, Number) and _completes(before, part):
            return None
        apart = name and (text[0].islower() or name[-1].islower())
        name += f" {text}" if apart else text
    return name


def _completes(ten: Number, one: Number) -> bool:
    return len(ten.figures) == 2 and ten.value >= 20 and ten.value % 10 == 0 and 0 < one.value < 10


OPERATORS: dict[str, Operator] = {
    "same": same,
    "sum": total,
    "hundreds": hundreds,
    "thousands": thousands,
    "thousands-and-half": thousands_and_half,
    "join": join,
    "decimal": decimal,
    "mixed": mixed,
    "one-over": one_over,
    "negative": negative,
    "ratio": ratio,
    "proper": proper,
    "other-ratio": other_ratio,
    "run-ratio": run_ratio,
    "spoken-run-ratio": spoken_run_ratio,
    "spell": spell,
}
