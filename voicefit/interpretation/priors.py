"""How likely a thing is to be said: what exists, what is being talked of, what was asked. Priors, never walls.

Duty: log weights from the grammar's habits and from :class:`voicefit.records.Context`. It must not drop anything.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from voicefit.interpretation.grammar import Grammar
from voicefit.quantities import Quantity
from voicefit.records import (
    O_RING,
    O_RING_SEALS,
    Command,
    Context,
    Item,
    Meaning,
    Measurand,
    Option,
    Reading,
    Rejection,
    Seal,
)

_ONLY_ASKED = frozenset({Measurand.HEX})  # of a bare number: any end has a hexagon, and it settles nothing
_EXPECTED = 3.0  # a bare number against one that was not asked for
_ASKED_FOR = 1.0  # a reading, a yes or a command that the question invites
_UNLIKELY_COMMAND = -1.0
_REJECTED = -3.0
_EVEN_SHARE = 0.1  # of a value that the matcher did not list, against the likeliest one
_HABIT = 1.0  # the user's habit for a length without a unit
_OFF_TOPIC = -2.5  # of a hose while an end is asked about, or of an end in the interview about a hose
# A number that may be several things beside one that leaves it none: mostly a word was lost or misheard ("outside
# sixteen millimeters, nineteen, thirty degrees"; "inside sixty-four, five millimeters").
_VAGUE = -3.0
# Two pitches, or two outsides, in one breath: mostly a point was swallowed ("thirty-four, three millimeters, nineteen
# threads" for thirty point three). Who corrects himself says so.
_CONTRADICTING = -3.0
_MIXED = -0.5  # of the hose and of an end in one breath
UNUSUAL = -3.5  # a value that the kind's list of usual ones lacks


class Priors:
    """The priors of one grammar."""

    def __init__(self, grammar: Grammar) -> None:
        self._hose = frozenset(grammar.hose_topic)
        self._usual = {
            (measurand, grammar.units[unit].unit if unit in grammar.units else "1"): frozenset(bounds.usual)
            for measurand, entry in grammar.measurands.items()
            for unit, bounds in grammar.kinds[entry.kind].units.items()
            if bounds.usual
        }

    def in_context(self, reading: Reading, context: Context, *, open_: bool) -> Reading:
        """The reading with its options' priors moved. ``open_``: what is measured was left unsaid. What was asked then
        loses the small weight that it has when nobody asked."""
        reading = of_the_ring_asked(reading, context)
        if open_:
            reading = _without_unasked(reading, context)
        if not (context.expected or context.values or context.preferred_length):
            return reading
        own = {m: max(o.log_prior for o in reading.options if o.measurand is m) for m in reading.measurands}
        options = tuple(
            replace(option, log_prior=option.log_prior + self._moved(option, context, own, open_=open_))
            for option in reading.options
        )
        return replace(reading, options=options)

    def _moved(self, option: Option, context: Context, own: Mapping[Measurand, float], *, open_: bool) -> float:
        prior = _value_prior(option, context)
        if open_ and option.measurand in context.expected:
            prior += _EXPECTED - own[option.measurand]
        if context.preferred_length and isinstance(option.value, Quantity) and option.value.unit in ("in", "mm"):
            prior += _HABIT if option.value.unit == context.preferred_length else 0.0
        return prior

    def meaning(self, meaning: Meaning, context: Context) -> float:
        """The log weight of a meaning: the sum over its items; 0 where there is no opinion. A question is answered
        once, in however many pieces an answer is cut."""
        readings = [_as_asked(item, context) for item in meaning.items if isinstance(item, Reading)]
        answers = [reading for reading in readings if asked_for(reading, context)]
        weight = sum(self.item(item, context) for item in meaning.items) - _ASKED_FOR * max(0, len(answers) - 1)
        if len(meaning.items) > 1 and _any_vague(readings, answers):
            weight += _VAGUE
        if _any_contradicting(readings):
            weight += _CONTRADICTING
        if len({all(self._off_topic(option, context) for option in reading.options) for reading in readings}) > 1:
            weight += _MIXED
        return weight

    def item(self, item: Item, context: Context) -> float:
        """The log weight of one item."""
        if isinstance(item, Rejection):
            return _REJECTED
        if isinstance(item, Command):
            return command_prior(item.name, context) + sum(self.item(reading, context) for reading in item.readings)
        return max(self._option(option, context) for option in item.options)

    def _option(self, option: Option, context: Context) -> float:
        """A value that exists, of what is being talked of, that answers the question; its weight in the reading."""
        prior = 0.0
        if option.measurand in context.expected:
            prior += _ASKED_FOR + _value_prior(option, context)
        elif self._off_topic(option, context):
            prior += _OFF_TOPIC
        known = option.measurand in context.expected and context.values.get(option.measurand)
        if isinstance(option.value, Quantity) and not known:
            prior += (
                UNUSUAL
                if self.is_unusual(option) or _lacks_a_figure(option.value) or _has_too_many(option.value)
                else 0.0
            )
        return prior

    def is_unusual(self, option: Option) -> bool:
        """Whether the kind has a list of usual values that lacks it: no such leaf, gauge or size."""
        if not isinstance(option.value, Quantity):
            return False
        usual = self._usual.get((option.measurand, option.value.unit))
        return usual is not None and option.value.value not in usual

    def _off_topic(self, option: Option, context: Context) -> bool:
        return (option.measurand in self._hose) != bool(self._hose & frozenset(context.expected))


_RINGS = frozenset({Measurand.SEAL, Measurand.SHOULDER_EDGE})
SIDES = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER})
_ONCE = SIDES | {Measurand.PITCH}  # a piece has each once


def _as_asked(reading: Reading, context: Context) -> Reading:
    """Of what was asked for, where it can be that; who is asked for a diameter need not say its side."""
    asked = reading.measurands & frozenset(context.expected)
    asked |= reading.measurands & SIDES if asked & SIDES else frozenset()
    return replace(reading, options=tuple(o for o in reading.options if not asked or o.measurand in asked))


def _any_vague(readings: Sequence[Reading], answers: Sequence[Reading]) -> bool:
    """Whether one of several readings lacks its unit, or may be what another one is; but a bare answer is none."""
    said = {option.measurand for reading in readings if len(reading.measurands) == 1 for option in reading.options}
    answered = not all(_lacks_unit(answer) for answer in answers)
    return any(
        _lacks_unit(reading) or (len(reading.measurands) > 1 and not said.isdisjoint(reading.measurands))
        for reading in readings
        if answered or reading not in answers
    )


def _any_contradicting(readings: Sequence[Reading]) -> bool:
    """Whether two readings say different values of the one pitch or side that each can be of."""
    values: dict[Measurand, Quantity] = {}
    for reading in readings:
        option = reading.options[0]
        if len(reading.measurands) > 1 or option.measurand not in _ONCE or option.negated:
            continue
        if not isinstance(option.value, Quantity):
            continue
        first = values.setdefault(option.measurand, option.value)
        if not _same_value(first, option.value):
            return True
    return False


def _lacks_unit(reading: Reading) -> bool:
    return len({option.value.unit for option in reading.options if isinstance(option.value, Quantity)}) > 1


def _lacks_a_figure(value: Quantity) -> bool:
    """Whether a decimal inch has two figures: a caliper shows three, and a lost one is the commonest mishearing. The
    quarters are said so. (Common practice, no source.)"""
    return value.unit == "in" and value.resolution == Fraction(1, 100) and (4 * value.value).denominator != 1


def _has_too_many(value: Quantity) -> bool:
    """Whether an inch has a figure that no caliper shows and that is no sixty-fourth: "426.1" thousandths. (Common
    practice, no source.)"""
    finer = value.resolution is not None and (1000 * value.value).denominator != 1
    return value.unit == "in" and finer and (64 * value.value).denominator != 1


def _value_prior(option: Option, context: Context) -> float:
    """Among the values that the matcher thinks plausible, against the likeliest of them."""
    listed = context.values.get(option.measurand, ())
    most = max((weight for _, weight in listed), default=0.0)
    if most <= 0:
        return 0.0
    share = max((weight / most for other, weight in listed if _same_value(option.value, other)), default=0.0)
    return math.log((1 - _EVEN_SHARE) * share + _EVEN_SHARE)


def _same_value(a: Quantity | str, b: Quantity | str) -> bool:
    if isinstance(a, Quantity) and isinstance(b, Quantity):
        return (a.value, a.unit) == (b.value, b.unit)
    return a == b


def _without_unasked(reading: Reading, context: Context) -> Reading:
    """A bare number as nothing that it is only where that was asked for, if it may be anything else."""
    kept = tuple(o for o in reading.options if o.measurand not in _ONLY_ASKED or o.measurand in context.expected)
    return replace(reading, options=kept or reading.options)


def of_the_ring_asked(reading: Reading, context: Context) -> Reading:
    """ "There's a ring" as the one that was asked about, and so what may be one of several seals, or of two rings of
    metal on a shoulder."""
    asked = context.asked
    if asked is None or asked.measurand not in _RINGS or reading.measurands != {asked.measurand}:
        return reading
    here, options = asked.value, reading.options
    if here == Seal.CUTTING_RING and reading.heard.casefold().endswith("no ring"):
        return replace(reading, options=tuple(replace(option, value=here) for option in options if option.negated))
    if here in O_RING_SEALS:
        options = tuple(o if o.value != O_RING or o.negated else replace(o, value=here) for o in options)
    return replace(reading, options=tuple(o for o in options if o.value == here and not o.negated) or options)


def asked_for(reading: Reading, context: Context) -> float:
    """A reading that answers the question is likelier than one that does not."""
    return _ASKED_FOR if any(option.measurand in context.expected for option in reading.options) else 0.0


def command_prior(name: str, context: Context) -> float:
    """Yes and no belong to a question; of the others the context may name those that make sense."""
    if name in ("yes", "no"):
        return _ASKED_FOR if context.yes_no else _UNLIKELY_COMMAND
    if name == "spell" and context.spelling:
        return _EXPECTED + _ASKED_FOR
    return _UNLIKELY_COMMAND if context.commands and name not in context.commands else 0.0
