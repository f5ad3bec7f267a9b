"""A measured value: an exact number, its unit, and the resolution with which it was read.

Duty: exact arithmetic between the few units of the trade. It must not guess a unit and must not round.
``pint`` appears only at the public edge (:mod:`voicefit.public`); inside, numbers are
:class:`fractions.Fraction` or unit-suffixed floats.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any

MM_PER_INCH = Fraction(254, 10)  # exact, ISO 31 / international inch of 1959
MPA_PER_PSI = Fraction(6894757293168361, 10**18)  # 1 lbf/in2, from lb = 0.45359237 kg, g = 9.80665 m/s2
NEWTON_METRES_PER_FOOT_POUND = float(Fraction(45359237, 10**8) * Fraction(980665, 10**5) * Fraction(3048, 10**4))


class Unit(StrEnum):
    """Units of the trade, by the symbol used in JSON and tables."""

    __hash__ = str.__hash__  # an enumeration's own is no machine code

    INCH = "in"
    MILLIMETRE = "mm"
    THREADS_PER_INCH = "tpi"
    DEGREE = "deg"
    BAR = "bar"
    MEGAPASCAL = "MPa"
    PSI = "psi"
    CELSIUS = "degC"
    FAHRENHEIT = "degF"
    FOOT = "ft"
    METRE = "m"
    COUNT = "1"


_LENGTH_MM = {
    Unit.MILLIMETRE: Fraction(1),
    Unit.INCH: MM_PER_INCH,
    Unit.FOOT: 12 * MM_PER_INCH,
    Unit.METRE: Fraction(1000),
}
_PRESSURE_BAR = {Unit.BAR: Fraction(1), Unit.MEGAPASCAL: Fraction(10), Unit.PSI: 10 * MPA_PER_PSI}


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact value with its unit and reading resolution.

    Parameters
    ----------
    value : the number as said or read, exact
    unit : its unit
    resolution : the step of the instrument as far as the words show it, in the same unit: 1/32 for
        "nineteen thirty-seconds", 1/1000 for "point five nine four", 1/10 for "fifteen point one".
        ``None`` where it means nothing (a count, a gauge leaf).

    >>> Quantity(Fraction(19, 32), Unit.INCH, Fraction(1, 32)).mm
    Fraction(2413, 160)
    >>> float(Quantity(Fraction(19), Unit.THREADS_PER_INCH).pitch_mm)
    1.3368421052631578
    """

    value: Fraction
    unit: Unit
    resolution: Fraction | None = None

    @property
    def is_length(self) -> bool:
        return self.unit in _LENGTH_MM

    @property
    def mm(self) -> Fraction:
        """The length in millimetres, exact. Raises ``ValueError`` when it is not a length."""
        if self.unit not in _LENGTH_MM:
            raise ValueError(f"{self.unit} is not a length")
        return self.value * _LENGTH_MM[self.unit]

    @property
    def resolution_mm(self) -> Fraction | None:
        """The resolution in millimetres, or ``None``."""
        return None if self.resolution is None else self.resolution * _LENGTH_MM[self.unit]

    @property
    def pitch_mm(self) -> Fraction:
        """A pitch in millimetres, from threads per inch or from a length."""
        if self.unit is Unit.THREADS_PER_INCH:
            return MM_PER_INCH / self.value
        return self.mm

    @property
    def bar(self) -> Fraction:
        """A pressure in bar, exact. Raises ``ValueError`` when it is not a pressure."""
        if self.unit not in _PRESSURE_BAR:
            raise ValueError(f"{self.unit} is not a pressure")
        return self.value * _PRESSURE_BAR[self.unit]

    @property
    def celsius(self) -> Fraction:
        """A temperature in degrees Celsius, exact. Raises ``ValueError`` when it is not one."""
        if self.unit is Unit.CELSIUS:
            return self.value
        if self.unit is Unit.FAHRENHEIT:
            return (self.value - 32) * Fraction(5, 9)
        raise ValueError(f"{self.unit} is not a temperature")


def inches(value: Fraction | str, resolution: Fraction | None = None) -> Quantity:
    """Shorthand: ``inches("13/16")``; mixed numbers as ``inches("1 5/16")``."""
    return Quantity(exact(value), Unit.INCH, resolution)


def millimetres(value: Fraction | str, resolution: Fraction | None = None) -> Quantity:
    """Shorthand: ``millimetres("15.1")``."""
    return Quantity(exact(value), Unit.MILLIMETRE, resolution)


def exact(text: Fraction | str | int) -> Fraction:
    """The exact number that a table or a person writes: ``13/16``, ``1-5/16``, ``1 5/16``, ``0.594``.

    Raises ``ValueError`` for anything else.

    >>> exact("1-5/16")
    Fraction(21, 16)
    """
    if not isinstance(text, str):
        return Fraction(text)
    whole, separator, part = text.strip().replace("-", " ").partition(" ")
    try:
        return Fraction(whole) + Fraction(part) if separator else Fraction(whole)
    except ZeroDivisionError:
        raise ValueError(f"{text!r} divides by zero") from None


@lru_cache(maxsize=4096)
def written(text: str) -> Fraction:
    """The exact number of a text; its error says what a number looks like."""
    try:
        return exact(text)
    except ValueError:
        raise ValueError(f"{text!r} is not a number such as 13/16, 1-5/16 or 15.1") from None


if TYPE_CHECKING:
    Exact = Fraction
else:

    class Exact:
        """A ``Fraction`` as the type of a pydantic field. Only the newest pydantic knows fractions of itself; a type of
        our own, and not a validator beside it, for the constraints of a field hold after its type's own schema."""

        @classmethod
        def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
            from pydantic_core import core_schema

            return core_schema.no_info_plain_validator_function(cls._read)

        @classmethod
        def __get_pydantic_json_schema__(cls, core: Any, handler: Any) -> dict[str, str]:
            return {"type": "string", "format": "fraction"}

        @staticmethod
        def _read(value: object) -> Fraction:
            if isinstance(value, str):
                return -written(value[1:]) if value.startswith("-") else written(value)
            if isinstance(value, Fraction | int) and not isinstance(value, bool):
                return Fraction(value)
            raise ValueError("is not an exact number")
