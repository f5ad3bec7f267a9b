"""How the context moves the weights of what may have been said. Priors, never walls.

Duty: log weights from :class:`voicefit.records.Context`. It must not drop anything.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from voicefit.interpretation.grammar import Grammar
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Measurand, Option, Reading, Rejection

_EXPECTED = 3.0  # a bare number against one that was not asked for
_ASKED_FOR = 1.0  # a reading, a yes or a command that the question invites
_UNLIKELY_COMMAND = -1.0
_REJECTED = -3.0
_EVEN_SHARE = 0.1  # of a value that the matcher did not list, against the likeliest one
_HABIT = 1.0  # the user's habit for a length without a unit


def bare_priors(grammar: Grammar) -> dict[Measurand, float]:
    """What each measurand weighs when a number is said without a word of what it measures."""
    return {measurand: entry.bare or 0.0 for measurand, entry in grammar.measurands.items()}


def reading_in_context(reading: Reading, context: Context, bare: Mapping[Measurand, float], *, open_: bool) -> Reading:
    """The reading with its options' priors moved. ``open_``: what is measured was left unsaid. What was asked for
    loses the small weight (``bare``) that it has when nobody asked."""
    if not (context.expected or context.values or context.preferred_length):
        return reading
    options = tuple(
        replace(option, log_prior=option.log_prior + _option_prior(option, context, bare, open_=open_))
        for option in reading.options
    )
    return replace(reading, options=options)


def _option_prior(option: Option, context: Context, bare: Mapping[Measurand, float], *, open_: bool) -> float:
    prior = 0.0
    if open_ and option.measurand in context.expected:
        prior += _EXPECTED - bare.get(option.measurand, 0.0)
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


def command_prior(name: str, context: Context) -> float:
    """Yes and no belong to a question; of the others the context may name those that make sense."""
    if name in ("yes", "no"):
        return _ASKED_FOR if context.yes_no else _UNLIKELY_COMMAND
    return _UNLIKELY_COMMAND if context.commands and name not in context.commands else 0.0


def item_prior(item: Item, context: Context) -> float:
    """Log weight of one item in this context; 0 where the context has no opinion."""
    if isinstance(item, Rejection):
        return _REJECTED
    if isinstance(item, Command):
        return command_prior(item.name, context) + sum(item_prior(reading, context) for reading in item.readings)
    if not context.expected:
        return 0.0
    asked = [option for option in item.options if option.measurand in context.expected]
    if not asked:
        return 0.0
    return _ASKED_FOR + max(_value_prior(option.measurand, option.value, context) for option in asked)


def meaning_prior(meaning: Meaning, context: Context) -> float:
    """The sum over its items."""
    return sum(item_prior(item, context) for item in meaning.items)
