"""Readings and answers for the tests of this room, from short text: ``said("outside_diameter", "19/32 in")``."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from voicefit.matching import Advisor, Posterior
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Advice, Check, Measurand, Option, Reading

UNITS = {"in": Unit.INCH, "mm": Unit.MILLIMETRE, "tpi": Unit.THREADS_PER_INCH, "deg": Unit.DEGREE, "dash": Unit.COUNT}
LEAF_MM = 0.01


def value(text: str) -> Quantity | str:
    """``"15.1 mm"`` as a quantity with its resolution, anything else as a category."""
    number, _, unit = text.rpartition(" ")
    if unit not in UNITS:
        return text
    if unit in ("tpi", "dash"):
        return Quantity(exact(number), UNITS[unit])
    step = (
        Fraction(1, int(number.rpartition("/")[2]))
        if "/" in number
        else Fraction(1, 10 ** len(number.partition(".")[2]))
    )
    return Quantity(exact(number), UNITS[unit], step)


def option(measurand: str, text: str, log_prior: float = 0.0, *, negated: bool = False) -> Option:
    return Option(Measurand(measurand), value(text), log_prior, negated)


def said(measurand: str, text: str, asked: str | None = None) -> Reading:
    return Reading(text, (option(measurand, text),), asked=asked)


def one_of(*options: Option) -> Reading:
    return Reading("", options)


def likeliest(posterior: Posterior) -> tuple[int, float]:
    """Row of the likeliest end, and its probability."""
    row = int(posterior.p[:-1].argmax())
    return row, float(posterior.p[row])


REFERENCE = (said("outside_diameter", "19/32 in"), said("pitch", "19 tpi"), said("seat_angle", "30 deg"))


class Piece:
    """A piece whose every property is known: answers the advisor's checks exactly, and cannot tell the rest."""

    def __init__(self, says: Mapping[str, str]) -> None:
        self.says = {"shape": "threaded", "line": "hydraulic", **says}
        external = self.says.get("gender") in ("male", "stud")
        self.says.setdefault("thread_side", "external" if external else "internal")

    def answer(self, check: Check) -> Reading | None:
        name = check.measurand.value
        if name in ("outside_diameter", "inside_diameter"):
            name = "outside_diameter" if "outside_diameter" in self.says else "inside_diameter"
        if name not in self.says:
            return None
        if check.yes is None or check.no is None:
            return said(name, self.says[name], asked=check.id)
        yes = self._same(value(self.says[name]), check.yes.value) != check.yes.negated
        return Reading("yes" if yes else "no", (check.yes if yes else check.no,), asked=check.id)

    @staticmethod
    def _same(true: Quantity | str, asked: Quantity | str) -> bool:
        if isinstance(true, str) or isinstance(asked, str):
            return true == asked
        if Unit.THREADS_PER_INCH in (true.unit, asked.unit) or true.is_length:
            return abs(float(true.pitch_mm - asked.pitch_mm)) < LEAF_MM
        return true.value == asked.value


def identify(
    advisor: Advisor, piece: Piece, readings: list[Reading], most: int = 25
) -> tuple[Posterior, Advice, list[Check]]:
    """Answer the advisor's checks until it stops."""
    unavailable: set[str] = set()
    asked: list[Check] = []
    while True:
        posterior = Posterior(advisor.matcher, readings)
        advice = advisor.advise_on(posterior, frozenset(unavailable))
        if advice.check is None or len(asked) == most:
            return posterior, advice, asked
        asked.append(advice.check)
        reading = piece.answer(advice.check)
        if reading is None:
            unavailable.add(advice.check.id)
        else:
            readings.append(reading)
