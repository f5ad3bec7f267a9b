"""From a spoken number to what it may be a measurement of: units said and unsaid, ranges, habits, steps.

Duty: the options of one measurand for one number, or the reason why it can have none. It must not know phrases.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import lcm

from voicefit.interpretation.grammar import Grammar
from voicefit.interpretation.numerals import Number
from voicefit.interpretation.priors import UNUSUAL
from voicefit.interpretation.schema import KindEntry, RangeEntry
from voicefit.quantities import Quantity, Unit
from voicefit.records import Hedge, Measurand, Option, Reason, Rejection

_UNSTEPPED = frozenset({Unit.THREADS_PER_INCH, Unit.DEGREE, Unit.COUNT, Unit.CELSIUS, Unit.FAHRENHEIT})
_MOST_KEPT = 20_000


@dataclass(frozen=True, slots=True)
class Spoken:
    """A number with the unit said, if any. ``kind``: of which it was said, or empty: that of the measurand."""

    kind: str
    number: Number
    unit: str | None
    hedge: Hedge | None = None


class Measures:
    """The options of numbers; the same ones are asked for again and again, so they are kept."""

    def __init__(self, grammar: Grammar) -> None:
        self._grammar = grammar
        self.options = lru_cache(_MOST_KEPT)(self._options)

    def bare(self, measurand: Measurand, spoken: Spoken) -> tuple[Option, ...] | Rejection:
        """The same for a number said without a word of what it measures; of leaves and sizes, which are not read off a
        scale, no number in finer parts than any of them has: 17.85 is no pitch."""
        found = self.options(measurand, spoken)
        entry = self._grammar.measurands[measurand]
        if isinstance(found, Rejection):
            return found
        if not self._grammar.kinds[entry.kind].stepped:
            exist = tuple(option for option in found if self._may_exist(entry.kind, option))
            found = exist or (found if spoken.unit is not None else Rejection("", Reason.OUT_OF_RANGE, figures(spoken)))
            if isinstance(found, Rejection):
                return found
        unsaid = spoken.unit is None or spoken.unit in self._grammar.kinds[entry.kind].plain
        prior = (entry.bare if unsaid or entry.with_unit is None else entry.with_unit) or 0.0
        return tuple(Option(measurand, option.value, option.log_prior + prior) for option in found)

    def _may_exist(self, kind: str, option: Option) -> bool:
        units = self._grammar.kinds[kind].units
        usual = [value for name, bounds in units.items() if self._is_in(name, option.value) for value in bounds.usual]
        finest = lcm(*(value.denominator for value in usual))
        return not usual or not isinstance(option.value, Quantity) or finest % option.value.value.denominator == 0

    def _is_in(self, name: str, value: Quantity | str) -> bool:
        unit = self._grammar.units[name].unit if name in self._grammar.units else name
        return isinstance(value, Quantity) and value.unit == unit

    def is_beyond(self, kind: str, number: Number, unit: str | None) -> bool:
        """Whether nothing of that kind has the number: it is out of the range of each unit that may be meant, or of a
        unit in which nothing is measured. In another kind's unit it is another thing's number."""
        entry = self._grammar.kinds[kind]
        if unit is not None and unit not in entry.units and unit not in entry.plain:
            return self._is_out_of_scale(entry, unit)
        said = None if unit in entry.plain else unit
        meant = [
            bounds
            for name, bounds in entry.units.items()
            if name == said or (said is None and bounds.unsaid is not None)
        ]
        return not any(bounds.least <= number.value <= bounds.greatest for bounds in meant)

    def _options(self, measurand: Measurand, spoken: Spoken) -> tuple[Option, ...] | Rejection:
        """One option for each unit that may be meant; a rejection where the value is out of range or the unit makes no
        sense for the measurand."""
        kind = self._grammar.kinds[spoken.kind or self._grammar.measurands[measurand].kind]
        said = None if spoken.unit in kind.plain else spoken.unit
        number = spoken.number
        units = {unit: bounds for unit, bounds in kind.units.items() if self._sayable(unit, bounds, number, said)}
        limits = self._limits(measurand, kind, said)
        if not units:
            return Rejection(
                "", Reason.UNIT_MISMATCH, figures(spoken), limits if self._is_out_of_scale(kind, said) else ()
            )
        stepped = self._grammar.kinds[self._grammar.measurands[measurand].kind]
        options = tuple(
            Option(measurand, self._quantity(stepped, unit, number), _weight(bounds, number, unsaid=said is None))
            for unit, bounds in units.items()
            if bounds.least <= number.value <= bounds.greatest and (not bounds.exact or number.value in bounds.usual)
        )
        return options or Rejection("", Reason.OUT_OF_RANGE, figures(spoken), limits)

    def _is_out_of_scale(self, kind: KindEntry, unit: str | None) -> bool:
        """Whether a unit is one of nothing here, or a length in which nothing of that kind is measured: "outside nine
        meters"; one of another sort is another thing's."""
        if unit is None or unit not in self._grammar.units:
            return False
        lengths = [each for each in (*kind.units, unit) if each in self._grammar.units and self._is_length(each)]
        return self._grammar.units[unit].foreign or (unit in lengths and len(lengths) > 1)

    def _is_length(self, unit: str) -> bool:
        return Quantity(Fraction(1), self._grammar.units[unit].unit).is_length

    def _limits(self, measurand: Measurand, kind: KindEntry, said: str | None) -> tuple[Option, ...]:
        """The least and the greatest that it can be, in the unit said or else the first; none of what a list has."""
        unit = next((unit for unit in kind.units if unit == said), next(iter(kind.units)))
        bounds = kind.units[unit]
        ends = (bounds.least, bounds.greatest) if not bounds.exact else ()
        return tuple(
            Option(measurand, self._quantity(kind, unit, Number(end, Fraction(1, end.denominator)))) for end in ends
        )

    def _sayable(self, unit: str, bounds: RangeEntry, number: Number, said: str | None) -> bool:
        """Whether the number may be said in that unit: sixteenths are of an inch, never of a millimetre."""
        if unit != said and (said is not None or bounds.unsaid is None):
            return False
        finest = self._grammar.units[unit].fractions if unit in self._grammar.units else 1
        return not number.fraction or number.step.denominator <= finest

    def _quantity(self, kind: KindEntry, unit: str, number: Number) -> Quantity:
        if unit == "count":
            return Quantity(number.value, Unit.COUNT)
        entry = self._grammar.units[unit]
        value = number.value * entry.scale
        if entry.unit in _UNSTEPPED or not kind.stepped:
            return Quantity(value, entry.unit)
        coarsest: Fraction | None = kind.coarsest_step.get(entry.unit.value)
        step = number.step * entry.scale
        return Quantity(value, entry.unit, step if coarsest is None else min(step, coarsest))


def figures(spoken: Spoken) -> str:
    """The value as one may name it in a reply: figures and the unit's name."""
    number = f"{float(spoken.number.value):g}"
    return number if spoken.unit is None else f"{number} {spoken.unit}"


def _weight(bounds: RangeEntry, number: Number, *, unsaid: bool) -> float:
    habit = UNUSUAL if bounds.usual and number.value not in bounds.usual else 0.0
    return habit + ((bounds.unsaid or 0.0) if unsaid else 0.0)
