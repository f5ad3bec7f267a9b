"""How the context moves the weights of what may have been said. Priors, never walls.

Duty: log weights from :class:`voicefit.records.Context`. It must not drop anything.
"""

from __future__ import annotations

import math
from dataclasses import replace

from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Measurand, Option, Reading, Rejection

_EXPECTED = 3.0  # a bare number against one that was not asked for
_ASKED_FOR = 1.0  # a reading, a yes or a command that the question invites
_UNLIKELY_COMMAND = -1.0
_REJECTED = -3.0
_EVEN_SHARE = 0.1  # of a value that the matcher did not list, against the likeliest one
_HABIT = 1.0  # the user's habit for a length without a unit


def reading_in_context(reading: Reading, context: Context, *, open_: bool) -> Reading:
    """The reading with its options' priors moved. ``open_``: what is measured, or its unit, was left unsaid."""
    if not (context.expected or context.values or context.preferred_length):
        return reading
    options = tuple(
        replace(option, log_prior=option.log_prior + _option_prior(option, context, open_=open_))
        for option in reading.options
    )
    return replace(reading, options=options)


def _option_prior(option: Option, context: Context, *, open_: bool) -> float:
    prior = 0.0
    if open_ and option.measurand in context.expected:
        prior += _EXPECTED
    prior += _value_prior(option.measurand, option.value, context)
    if context.preferred_length and isinstance(option.value, Quantity) and option.value.unit in ("in", "mm"):
        prior += _HABIT if option.value.unit == context.preferred_length else 0.0
    return prior


def _value_prior(measurand: Measurand, value: Quantity | str, context: Context) -> float:
    listed = context.values.get(measurand)
    if not listed:
        return 0.0
    most = max(weight for _, weight in listed)
    if most <= 0:
        return 0.0
    share = max((weight / most for other, weight in listed if _same_value(value, other)), default=0.0)
    return math.log((1 - _EVEN_SHARE) * share + _EVEN_SHARE)


def _same_value(a: Quantity | str, b: Quantity | str) -> bool:
    if isinstance(a, Quantity) and isinstance(b, Quantity):
        return (a.value, a.unit) == (b.value, b.unit)
    return a == b


def asked_for(reading: Reading, context: Context) -> float:
    """A reading that answers the question is likelier than one that does not."""
    return _ASKED_FOR if any(option.measurand in context.expected for option in reading.options) else 0.0


def item_prior(item: Item, context: Context) -> float:
    """Log weight of one item in this context; 0 where the context has no opinion."""
    if isinstance(item, Rejection):
        return _REJECTED
    if isinstance(item, Command):
        if item.name in ("yes", "no"):
            return _ASKED_FOR if context.yes_no else _UNLIKELY_COMMAND
        if context.commands and item.name not in context.commands:
            return _UNLIKELY_COMMAND
        return max((item_prior(reading, context) for reading in item.readings), default=0.0)
    if not context.expected:
        return 0.0
    asked = [option for option in item.options if option.measurand in context.expected]
    if not asked:
        return 0.0
    return _ASKED_FOR + max(_value_prior(option.measurand, option.value, context) for option in asked)


def meaning_prior(meaning: Meaning, context: Context) -> float:
    """The sum over its items."""
    return sum(item_prior(item, context) for item in meaning.items)
