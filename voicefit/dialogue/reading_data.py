"""A reading as data and back, exact: numbers as fractions in text, never floats that round.

Duty: data both ways for :mod:`voicefit.dialogue.entries`. It must not know what an entry is.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from voicefit.errors import StoreError
from voicefit.quantities import Quantity, Unit
from voicefit.records import Hedge, Measurand, Option, Reading

_NOT_WRITTEN = 0.8  # certainty of what an earlier version had as perhaps so


def value_to_data(value: Quantity | str) -> Any:
    """A category as its text; a quantity as value, unit and, where it has one, resolution."""
    if not isinstance(value, Quantity):
        return str(value)
    step = {} if value.resolution is None else {"resolution": str(value.resolution)}
    return {"value": str(value.value), "unit": value.unit.value, **step}


def value_from_data(data: Any) -> Quantity | str:
    if isinstance(data, str):
        return data
    resolution = data.get("resolution")
    return Quantity(Fraction(data["value"]), Unit(data["unit"]), None if resolution is None else Fraction(resolution))


def reading_to_data(reading: Reading) -> dict[str, Any]:
    """A reading as JSON-able data.

    >>> from voicefit.quantities import inches
    >>> said = Reading("nine sixteenths", (Option(Measurand.OUTSIDE_DIAMETER, inches("9/16")),))
    >>> reading_from_data(reading_to_data(said)) == said
    True
    """
    plain: dict[str, Any] = {
        "heard": reading.heard,
        "options": [
            {
                "measurand": option.measurand.value,
                "value": value_to_data(option.value),
                "log_prior": option.log_prior,
                "negated": option.negated,
            }
            | ({"hedge": option.hedge.value} if option.hedge else {})
            | ({"certainty": option.certainty} if option.certainty < 1 else {})
            for option in reading.options
        ],
    }
    if reading.threads_engaged is not None:
        plain["threads_engaged"] = reading.threads_engaged
    if reading.asked is not None:
        plain["asked"] = reading.asked
    return plain


def reading_from_data(data: Mapping[str, Any]) -> Reading:
    """The reading that :func:`reading_to_data` wrote. Raises ``StoreError`` for anything else."""
    try:
        return Reading(
            heard=data["heard"],
            options=tuple(
                Option(
                    Measurand(option["measurand"]),
                    value_from_data(option["value"]),
                    float(option["log_prior"]),
                    bool(option["negated"]),
                    Hedge(option["hedge"]) if "hedge" in option else None,
                    float(option.get("certainty", _NOT_WRITTEN if option.get("hedge") == Hedge.PERHAPS else 1.0)),
                )
                for option in data["options"]
            ),
            threads_engaged=data.get("threads_engaged"),
            asked=data.get("asked"),
        )
    except (KeyError, TypeError, ValueError, ZeroDivisionError) as error:
        raise StoreError(f"a reading in the journal cannot be read: {error!r}") from error
