"""The library for other programs: typed readings in, a typed result out.

Duty: take readings as text, as pint quantities or as :class:`~voicefit.quantities.Quantity`, ask the matcher and the
advisor, and hand the answer back as plain frozen types. It must not speak, and it keeps nothing between calls but the
loaded tables. ``pint`` is imported here only, and only when a pint quantity comes.

>>> from voicefit import identify
>>> result = identify(outside_diameter="19/32 in", pitch="19 tpi", seat_angle="30 deg")
>>> result.identified
False
>>> best = result.best
>>> best.series, best.thread, best.dash, best.gender
('flare30-g', 'G3/8', 6, 'female')
>>> result.contradiction  # nothing male measures so outside: it was measured inside
('outside_diameter', 'pitch')
>>> result.next_check.id
'side'
>>> result = identify(
...     [("inside_diameter", "15.1 mm"), ("pitch", "19 tpi"), ("seat_angle", "30 deg"), ("seal", "metal")]
... )
>>> result.identified  # out or in is not known: a thirty degree flare, or a sixty degree cone
False
>>> result.next_check.prompt
'Feel the seat. Out, in, flat, a shoulder, or none?'
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voicefit.errors import BadInput
from voicefit.quantities import Quantity, Unit, exact
from voicefit.records import Measurand, Option, Reading

if TYPE_CHECKING:
    from voicefit.catalogue import CandidateEnd
    from voicefit.matching import Advisor

CATEGORIES = frozenset(
    {
        Measurand.SEAT_FORM,
        Measurand.SEAL,
        Measurand.NOSE,
        Measurand.SEALED_BY,
        Measurand.SHOULDER_EDGE,
        Measurand.BODY,
        Measurand.LINE,
        Measurand.GENDER,
        Measurand.SHAPE,
        Measurand.THREAD_SIDE,
        Measurand.TAPER,
        Measurand.THREAD_SYSTEM,
        Measurand.SERIES,
        Measurand.COUNTRY,
    }
)
UNITS = {
    "in": Unit.INCH,
    "inch": Unit.INCH,
    "inches": Unit.INCH,
    '"': Unit.INCH,
    "mm": Unit.MILLIMETRE,
    "tpi": Unit.THREADS_PER_INCH,
    "deg": Unit.DEGREE,
    "°": Unit.DEGREE,
}
SHOWN = 5


@dataclass(frozen=True, slots=True)
class Candidate:
    """One end with its probability. Lengths in mm; ``tube_od_mm`` where the tube names the size."""

    id: str
    series: str
    name: str
    standard: str
    gender: str
    dash: int | None
    nominal: str
    thread: str | None
    tube_od_mm: float | None
    probability: float


@dataclass(frozen=True, slots=True)
class NextCheck:
    """What to do next: ``prompt`` in words, ``information_bit`` expected about the part to order."""

    id: str
    measurand: str
    prompt: str
    how: tuple[str, ...]
    time_s: float
    information_bit: float


@dataclass(frozen=True, slots=True)
class Identification:
    """What the readings amount to.

    ``identified`` : probability high and every look-alike excluded by a check that was made. ``candidates`` : best
    first, one for each part. ``none_probability`` : that it is no end of the catalogue. ``look_alikes`` : ids of ends
    that are not excluded yet. ``contradiction`` : measurands that at their word fit no end together.
    ``standoff`` : ids of the two that no check at hand separates. The identification is an aid: the machine maker's
    data, local rules and a qualified person decide.
    """

    identified: bool
    candidates: tuple[Candidate, ...]
    none_probability: float
    next_check: NextCheck | None
    look_alikes: tuple[str, ...]
    contradiction: tuple[str, ...]
    standoff: tuple[str, str] | None
    nothing_fits: bool

    @property
    def best(self) -> Candidate | None:
        """The likeliest candidate, if there is any."""
        return self.candidates[0] if self.candidates else None


def identify(
    readings: Iterable[tuple[str, Any] | Reading] | Mapping[str, Any] = (),
    /,
    *,
    unavailable: Iterable[str] = (),
    tables: str | PathLike[str] | None = None,
    **more: Any,
) -> Identification:
    """Identify an end from readings.

    Parameters
    ----------
    readings : pairs of measurand and value, or a mapping; the same measurand may come several times as pairs. A
        :class:`~voicefit.records.Reading` holds alternatives with weights, as a recogniser has them.
    unavailable : ids of checks that cannot be made
    tables : folder of tables of your own; a ``prior.toml`` in it says what your shop sees most. Read once.
    more : further readings by name, such as ``pitch="19 tpi"``

    A value is text with its unit (``"19/32 in"``, ``"15.1 mm"``, ``"19 tpi"``, ``"30 deg"``), a pint quantity, a
    :class:`~voicefit.quantities.Quantity`, a whole number for ``dash``, or a word for a category
    (``seat_form="recessed"``). Half or included angle and a misnamed side stay open: the matcher weighs them.

    Raises
    ------
    BadInput : names the measurand and what is wrong with its value
    BadTable : names the file, the row and the column of ``tables`` that is wrong
    """
    from voicefit.matching import Posterior

    given = readings.items() if isinstance(readings, Mapping) else readings
    taken = [_taken(each) for each in (*given, *more.items())]
    advisor = _advisor(None if tables is None else fspath(tables))
    posterior = Posterior(advisor.matcher, taken)
    advice = advisor.advise_on(posterior, frozenset(unavailable))
    ends, check = advisor.matcher.ends, advice.check
    return Identification(
        identified=advice.identified,
        candidates=tuple(_candidate(ends[row], p) for row, p in posterior.best_parts(SHOWN)),
        none_probability=posterior.none,
        next_check=None
        if check is None
        else NextCheck(
            check.id,
            check.measurand.value,
            advisor.checks[check.id].prompt.format(**{name: _shown(value) for name, value in check.slots.items()}),
            advisor.checks[check.id].how,
            check.time_s,
            check.information_bit,
        ),
        look_alikes=tuple(ends[row].id for row in advice.look_alikes),
        contradiction=tuple(taken[index].options[0].measurand.value for index in advice.contradiction),
        standoff=None if advice.standoff is None else (ends[advice.standoff[0]].id, ends[advice.standoff[1]].id),
        nothing_fits=advice.nothing_fits,
    )


@lru_cache(maxsize=4)
def _advisor(tables: str | None) -> Advisor:
    from voicefit.catalogue import load_catalogue
    from voicefit.matching import Advisor, Matcher, load_checks, load_model, load_prior
    from voicefit.resources import grammar_folder, read_data, read_texts

    data = read_data(None if tables is None else Path(tables))
    checks = load_checks(read_texts(grammar_folder(), ".toml"))
    return Advisor(Matcher(load_catalogue(data), load_prior(data), load_model(data), checks), checks)


def _taken(given: object) -> Reading:
    """A reading as it is, or a pair made into one."""
    if isinstance(given, Reading):
        return given
    if not isinstance(given, tuple | list) or len(given) != 2:
        raise BadInput(f"{given!r}: give pairs like ('pitch', '19 tpi'), a mapping, or Readings; a sentence is for ask")
    name, value = given
    try:
        measurand = Measurand(name)
    except ValueError:
        raise BadInput(f"{name!r} is no measurand; there are {', '.join(m.value for m in Measurand)}") from None
    return Reading(f"{name} {value}", (Option(measurand, _value(measurand, value)),))


def _value(measurand: Measurand, value: object) -> Quantity | str:
    if isinstance(value, Quantity):
        return value
    if measurand in CATEGORIES:
        if isinstance(value, str) and value.strip():
            return value.strip()
        raise BadInput(f"{measurand}: {value!r} is no word")
    if measurand is Measurand.DASH and isinstance(value, int | str):
        return Quantity(_number(measurand, str(value)), Unit.COUNT)
    if isinstance(value, str):
        return _from_text(measurand, value)
    if type(value).__module__.partition(".")[0] == "pint":
        return _from_pint(measurand, value)
    raise BadInput(f"{measurand}: {value!r} has no unit; write it as text with one, or as a pint quantity")


def _from_text(measurand: Measurand, text: str) -> Quantity:
    found = re.fullmatch(r'\s*([\d\s./-]*\d)\s*(in|inch|inches|"|mm|tpi|deg|°)\s*', text)
    if not found:
        raise BadInput(f"{measurand}: {text!r} is not a number with in, mm, tpi or deg")
    number, unit = found[1], UNITS[found[2]]
    return Quantity(_number(measurand, number), unit, _resolution(number, unit))


def _from_pint(measurand: Measurand, value: Any) -> Quantity:
    import pint

    for name, unit in (("inch", Unit.INCH), ("millimeter", Unit.MILLIMETRE)):
        if str(value.units) == name:
            text = str(value.magnitude)
            return Quantity(_number(measurand, text), unit, _resolution(text, unit))
    try:
        if value.check("[length]"):
            return Quantity(_number(measurand, repr(float(value.to("millimeter").magnitude))), Unit.MILLIMETRE)
        if value.check("1/[length]"):
            per_inch = float(value.to("1/inch").magnitude)
            return Quantity(Fraction(per_inch).limit_denominator(1000), Unit.THREADS_PER_INCH)
        if value.check("[]"):
            return Quantity(_number(measurand, repr(round(float(value.to("degree").magnitude), 6))), Unit.DEGREE)
    except pint.PintError as error:
        raise BadInput(f"{measurand}: {value} cannot be read: {error}") from None
    raise BadInput(f"{measurand}: {value} is neither a length, a pitch nor an angle")


def _number(measurand: Measurand, text: str) -> Fraction:
    try:
        return exact(text)
    except ValueError:
        raise BadInput(f"{measurand}: {text!r} is not a number") from None


def _resolution(number: str, unit: Unit) -> Fraction | None:
    """The step that the digits show: 1/32 for 19/32, 0.1 for 15.1."""
    if unit is Unit.THREADS_PER_INCH:
        return None
    if "/" in number:
        return Fraction(1, int(number.rpartition("/")[2]))
    decimals = number.partition(".")[2]
    if not decimals and unit is Unit.INCH:
        return Fraction(1, 16)  # "1 in": read on a scale of sixteenths at least
    return Fraction(1, 10 ** len(decimals))


def _shown(value: Quantity | str) -> str:
    """A slot for the eye: ``19 tpi``, ``1.5 mm``, ``37``."""
    if isinstance(value, str):
        return value
    number = f"{float(value.value):g}"
    return number if value.unit is Unit.DEGREE else f"{number} {value.unit}"


def _candidate(end: CandidateEnd, probability: float) -> Candidate:
    return Candidate(
        end.id,
        end.series,
        end.name,
        end.standard,
        end.gender.value,
        end.dash,
        end.nominal,
        None if end.thread is None else end.thread.designation,
        end.tube_od_mm,
        probability,
    )


__all__ = ["Candidate", "Identification", "NextCheck", "identify"]
