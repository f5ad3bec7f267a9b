"""Meanings in one line, as the table of phrases writes them.

outside_diameter 19/32 in /32     a reading: measurand, value, unit, and the step after a slash
pitch 19 tpi | pitch 19 mm        one reading, two options
... | …                           and less likely ones
not pitch 19 tpi                  negated
!undo 3    !correct (pitch 18 tpi)
?out_of_range 99 in               a rejection and its detail
"""

from __future__ import annotations

from fractions import Fraction

from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Option, Reading

SHOWN = -0.9  # options that are likelier than this, against the best, are written out


def meaning(found: Meaning) -> str:
    return "; ".join(item(each) for each in found.items)


def item(each: Item) -> str:
    if isinstance(each, Reading):
        shown = [option(one) for one in each.options if one.log_prior > SHOWN]
        more = [] if len(shown) == len(each.options) else ["…"]
        threads = f" over {each.threads_engaged} threads" if each.threads_engaged else ""
        return " | ".join(shown + more) + threads
    if isinstance(each, Command):
        said = f" ({'; '.join(item(reading) for reading in each.readings)})" if each.readings else ""
        return f"!{each.name}" + (f" {each.argument}" if each.argument else "") + said
    return f"?{each.reason} {each.detail}".strip()


def option(each: Option) -> str:
    value = quantity(each.value) if isinstance(each.value, Quantity) else each.value
    return f"{'not ' if each.negated else ''}{each.measurand} {value}"


def quantity(each: Quantity) -> str:
    step = "" if each.resolution is None else f" /{number(1 / each.resolution)}"
    return f"{number(each.value)} {each.unit}{step}"


def number(value: Fraction) -> str:
    """As a decimal where one can be written exactly and is short, else as a fraction."""
    text = f"{float(value):.4f}".rstrip("0").rstrip(".")
    binary = value.denominator in (2, 4, 8, 16, 32, 64)
    return text if Fraction(text) == value and not binary else str(value)
