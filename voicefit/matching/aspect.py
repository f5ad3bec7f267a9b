"""An aspect: one property of an end, as a person perceives and reports it.

Many ends look alike through one aspect (one thread, one seat angle): they form a *class*, and everything is
computed once a class. Between an end and what is said of it stand two steps of error:

- the *state*: what this person perceives on this end (the worn crest's true diameter, the leaf that seems to fit,
  the habit of naming half angles). It stays the same over repeated readings, so repeating a reading never makes
  a lasting error look certain;
- the *report*: what is said, given the state, drawn anew for each reading (jaw error, slip, mishearing).

The likelihood of several readings is the sum over states of the product of reports. Reports are probability masses
(density times the resolution spoken), so that options with different units and measurands can be compared.

Duty: that arithmetic. It must not know what the aspects are: see ``diameter.py``, ``gauges.py``, ``features.py``.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import ClassVar, TypeVar

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import BadInput
from voicefit.quantities import MM_PER_INCH, Quantity, Unit
from voicefit.records import ABSENT, Hedge, Measurand, Option

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

Key = TypeVar("Key", bound=Hashable)

TINY = 1e-300  # keeps a logarithm finite
LOOSELY = frozenset({Hedge.ABOUT, Hedge.UNDER, Hedge.OVER, Hedge.BETWEEN})
LOOSE_MM = {
    True: float(MM_PER_INCH) / 16,
    False: 1.0,
}  # how far "about" reaches, on a fraction scale and else; common practice


@dataclass(frozen=True, slots=True)
class Evidence:
    """What one reading says of one aspect: options with weights (not logs), and what else was said with it.

    ``slip`` : probability that the answer was turned round: yes for no, or no for yes.
    """

    options: tuple[tuple[Option, float], ...]
    threads_engaged: int | None = None
    slip: float = 0.0


class Aspect(ABC):
    """Base of all aspects.

    ``class_of`` : shape (n_ends + 1,), the class of each end; the last entry is "none of these".
    ``log_states`` : shape (n_classes, n_states), log probability of each state in each class.
    ``outcomes`` : the answers foreseen to an open check of this aspect.
    ``measures`` : its values are read off a scale: "between two" is anything between, else it is one of the two.
    ``steady`` : an instrument that rounds the same way each time: the same value read again says little more.
    """

    steady: ClassVar[bool] = False
    measures: ClassVar[bool] = False

    name: ClassVar[str]
    measurands: ClassVar[frozenset[Measurand]]
    class_of: Ints
    log_states: Floats
    outcomes: Sequence[Option]
    untold: tuple[float, float] = (0.0, 0.0)  # how often what is there cannot be told, first and after that
    said_absent: tuple[float, float] = (0.1, 0.1)  # how often "none" is said of an end that has it, and that has not

    @property
    def n_classes(self) -> int:
        return len(self.log_states)

    @abstractmethod
    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        """Probability that the option's value is said, by class and state: broadcasts to ``log_states``.

        ``negated`` is not looked at: see :meth:`probability`. ``times`` : how often the same was read, for a steady
        aspect.
        """

    def report_asked(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        """As :meth:`report`, of a value that was asked about by itself, and answered by yes or no."""
        return self.report(option, threads_engaged, times)

    def probability(
        self, option: Option, threads_engaged: int | None, times: int = 1, *, asked: bool = False
    ) -> Floats:
        """As :meth:`report`, or its complement where the option says what the value is not; ``asked`` : by yes or no.

        Of a value that is absent: a mixture of the rates ``said_absent``, by what share of the class can be asked.
        Whoever is not certain of it guesses in the other cases, and then says it whatever it is.
        """
        if option.value == ABSENT:
            with_it, without = self.said_absent
            made = np.exp(self.log_states).sum(axis=1, keepdims=True)  # below one where a reading at all is a mistake
            report = (without + (with_it - without) * self.answerable())[:, None] / made
        else:
            ends = [option] if self.measures else ends_of(option)
            said = self.report_asked if asked else self.report
            report = np.mean([said(each, threads_engaged, times) for each in ends], axis=0)
        if option.certainty < 1:
            report = option.certainty * report + (1 - option.certainty) * report.mean()
        return np.asarray(np.clip(1.0 - report, TINY, 1.0) if option.negated else report, dtype=np.float64)

    def log_posterior_states(self, evidence: Sequence[Evidence]) -> Floats:
        """Log joint probability of state and evidence, shape (n_classes, n_states)."""
        total = self.log_states
        for one, times in Counter(evidence).items():
            total = total + self.log_said(one, times)
        return total

    def log_said(self, evidence: Evidence, times: int) -> Floats:
        """Log probability of one reading, made ``times`` with the same outcome, by class and state."""
        terms = [
            weight * self.probability(option, evidence.threads_engaged, times, asked=evidence.slip > 0)
            for option, weight in evidence.options
        ]
        said = sum(terms[1:], start=terms[0])
        logs = np.log(evidence.slip + (1 - 2 * evidence.slip) * said + TINY)
        return np.asarray(logs if self.steady else times * logs, dtype=np.float64)

    def log_likelihood(self, evidence: Sequence[Evidence]) -> Floats:
        """Log probability of all the readings of this aspect together, shape (n_classes,)."""
        return log_sum(self.log_posterior_states(evidence))

    def states(self, evidence: Sequence[Evidence], classes: Ints) -> Floats:
        """Probability of each state of some classes given the readings so far: (n_some, n_states), rows sum to one."""
        logs = self.log_posterior_states(evidence)[classes]
        states = np.exp(logs - logs.max(axis=1, keepdims=True))
        return np.asarray(states / states.sum(axis=1, keepdims=True), dtype=np.float64)

    def foresee(self, states: Floats, option: Option, classes: Ints) -> Floats:
        """Probability that ``option`` is said next, for some classes with these ``states``: (n_some,)."""
        said = np.broadcast_to(self.probability(option, None), self.log_states.shape)[classes]
        return np.asarray((states * said).sum(axis=1), dtype=np.float64)

    def foresee_open(
        self, states: Floats, measurand: Measurand, classes: Ints, finer_mm: float | None = None
    ) -> Floats:
        """Probability of each of ``outcomes`` to a check of ``measurand``: (n_some, n_outcomes), rows sum to one.

        ``finer_mm`` : the step to which it is read, where the check asks for one.
        """
        outcomes = self.outcomes if finer_mm is None else [_read_to(option, finer_mm) for option in self.outcomes]
        table = np.stack([self.foresee(states, option, classes) for option in outcomes], axis=1)
        return np.asarray(table / table.sum(axis=1, keepdims=True), dtype=np.float64)

    @abstractmethod
    def literal(self, option: Option) -> NDArray[np.bool_]:
        """Whether the option, taken at its word, fits the class: (n_classes,). No slip is allowed for."""

    def fits(self, option: Option) -> NDArray[np.bool_]:
        """As :meth:`literal`; that something is absent fits wherever it is not rare to say so."""
        if option.value == ABSENT:
            return np.asarray(self.probability(option, None)[:, 0] >= 0.1, dtype=np.bool_)
        ends = [option] if self.measures else ends_of(option)
        return np.asarray(np.any([self.literal(each) for each in ends], axis=0), dtype=np.bool_)

    def answerable(self) -> Floats:
        """Whether there is something to tell of this aspect, by class, as a probability: (n_classes,)."""
        return np.ones(self.n_classes)

    def fitting(self) -> Floats:
        """Of a gauge, the probability that each leaf seems to fit: (n_classes, n_outcomes), in the order of
        ``outcomes``."""
        return np.asarray(np.exp(self.log_states), dtype=np.float64)

    def told(self, in_vain: int = 0) -> Floats:
        """Probability that a check is answered, by class: (n_classes,); ``in_vain`` : how often it was not, so far."""
        with_it, without = self.said_absent
        with_it = max(with_it, self.untold[min(in_vain, 1)])
        return 1 - without - (with_it - without) * self.answerable()


def _read_to(option: Option, step_mm: float) -> Option:
    """A length in millimetres as it would be read to a finer step."""
    assert isinstance(option.value, Quantity)
    return replace(option, value=replace(option.value, resolution=Fraction(str(step_mm))))


def log_sum(logs: Floats) -> Floats:
    """Log of the sum of exponentials along the last axis: ``np.logaddexp.reduce``, which takes ten times as long."""
    top = logs.max(axis=-1, keepdims=True)
    total: Floats = np.log(np.exp(logs - top).sum(axis=-1)) + top[..., 0]
    return total


def classify(keys: Sequence[Key]) -> tuple[Ints, list[Key]]:
    """Class number of each key and, last, of "none of these"; and the distinct keys in order of first appearance.

    >>> classify(["a", "b", "a"])
    (array([0, 1, 0, 2]), ['a', 'b'])
    """
    numbers: dict[Key, int] = {}
    class_of = [numbers.setdefault(key, len(numbers)) for key in keys]
    return np.array([*class_of, len(numbers)], dtype=np.intp), list(numbers)


def said_length_mm(option: Option) -> tuple[float, float]:
    """Value and resolution of a length that was said, in mm; bad values raise :class:`BadInput`."""
    quantity = said_quantity(option)
    if not quantity.is_length:
        raise BadInput(f"{option.measurand}: {quantity.value} {quantity.unit} is not a length")
    resolution = float(quantity.resolution_mm or 0.1)
    return _loosened(float(quantity.mm), resolution, option)


def _loosened(value_mm: float, resolution_mm: float, option: Option) -> tuple[float, float]:
    """A value said loosely: "about" is twice as coarse at least, "just under" lies half of that below what was said."""
    if option.hedge not in LOOSELY or option.hedge is Hedge.BETWEEN:
        return value_mm, resolution_mm
    wide_mm = max(LOOSE_MM[said_quantity(option).unit is Unit.INCH], resolution_mm)
    if option.hedge is Hedge.ABOUT:
        return value_mm, wide_mm
    return value_mm + (-wide_mm / 4 if option.hedge is Hedge.UNDER else wide_mm / 4), wide_mm / 2


def scale_length_mm(option: Option, fraction_step_in: float) -> tuple[float, float]:
    """As :func:`said_length_mm`; a fraction of an inch was read on a scale with steps of ``fraction_step_in`` at least.

    "Three eighths" does not show its scale, but a caliper for threads has 32nds.
    """
    value_mm, resolution_mm = said_length_mm(option)
    if is_fraction(said_quantity(option)) and option.hedge not in LOOSELY:
        resolution_mm = min(resolution_mm, fraction_step_in * float(MM_PER_INCH))
    return value_mm, resolution_mm


def is_fraction(quantity: Quantity) -> bool:
    """Whether it was read on a fraction scale: inches in steps of a power of two."""
    if quantity.unit is not Unit.INCH or quantity.resolution is None:
        return False
    step = quantity.resolution
    return step.numerator == 1 and step.denominator & (step.denominator - 1) == 0


def ends_of(option: Option) -> list[Option]:
    """The two values that one lies between, as options of their own; any other option alone."""
    value = option.value
    if option.hedge is not Hedge.BETWEEN or not isinstance(value, Quantity) or value.resolution is None:
        return [option]
    return [
        replace(option, value=Quantity(end, value.unit), hedge=None)
        for end in (value.value - value.resolution / 2, value.value + value.resolution / 2)
    ]


def said_quantity(option: Option) -> Quantity:
    """The option's value as a quantity above zero; anything else raises :class:`BadInput`."""
    if not isinstance(option.value, Quantity):
        raise BadInput(f"{option.measurand}: {option.value!r} is not a quantity")
    if option.value.value <= 0:
        raise BadInput(f"{option.measurand}: {option.value.value} {option.value.unit} is not above zero")
    return option.value


def said_angle_deg(option: Option) -> float:
    """An angle that was said, in degrees."""
    quantity = said_quantity(option)
    if quantity.unit is not Unit.DEGREE:
        raise BadInput(f"{option.measurand}: {quantity.value} {quantity.unit} is not an angle")
    return float(quantity.value)


def normal_mass(value: Floats | float, mean: Floats | float, sd: Floats | float, width: float) -> Floats:
    """Probability of the rounding interval of ``width`` about ``value`` under a normal: density by width, at most 1."""
    z = (np.asarray(value) - mean) / sd
    mass: Floats = np.minimum(np.exp(-0.5 * z * z) * (width / (sd * np.sqrt(2 * np.pi))), 1.0)
    return mass
