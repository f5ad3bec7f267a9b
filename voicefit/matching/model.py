"""The numbers of the measurement model, read from ``data/measurement.toml``.

Duty: validate them and hand them out typed. It must not read files and must not score anything.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from voicefit.catalogue.ends import Basis
from voicefit.errors import BadTable
from voicefit.records import Gender, Seal, SeatForm

FILE = "measurement.toml"

Rate = Annotated[float, Field(ge=0, le=1)]
Positive = Annotated[float, Field(gt=0)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class Caliper(_Part):
    fraction_sd_mm: Positive
    fraction_step_in: Positive
    kept_sd_mm: Positive
    decimal_sd_mm: Positive
    foreseen_sd_mm: Positive
    gross: Rate
    again: Rate
    nominal: Rate
    side_kept: Rate
    side: Rate
    least_mm: Positive
    greatest_mm: Positive


class ThreadCondition(_Part):
    share: tuple[Rate, ...]
    wear_mm: tuple[float, ...]
    wear_sd_mm: tuple[Positive, ...]

    @model_validator(mode="after")
    def _fits_together(self) -> ThreadCondition:
        if not len(self.share) == len(self.wear_mm) == len(self.wear_sd_mm):
            raise ValueError("share, wear_mm and wear_sd_mm differ in length")
        if abs(sum(self.share) - 1) > 1e-9:
            raise ValueError("the shares do not sum to one")
        return self


class Taper(_Part):
    seen_kept: Rate
    seen: Rate


class PitchGauge(_Part):
    inch_leaves_tpi: tuple[Positive, ...]
    metric_leaves_mm: tuple[Positive, ...]
    most: Rate
    scale_mm: Positive
    threads: Positive
    neighbour: Rate
    neighbour_scale_mm: Positive
    kept_share: Rate
    gross: Rate


class FlankAngle(_Part):
    seen_kept: Rate
    seen: Rate


class SeatGauge(_Part):
    leaves_deg: tuple[Positive, ...]
    sd_deg: Positive
    neighbour_kept: Rate
    neighbour: Rate
    half_said_flare: Rate
    half_said_cone: Rate
    gross: Rate


class SeatFormSeen(_Part):
    seen: Rate
    seen_kept: Mapping[SeatForm, Mapping[SeatForm, Rate]]


class SealSeen(_Part):
    seen: Rate
    elsewhere_metal: Rate
    elsewhere_own: Rate
    port_own: Rate
    port_metal: Rate
    seen_kept: Mapping[Seal, Mapping[Seal, Rate]]
    said_as: Mapping[Seal, Mapping[Seal, Rate]]


class GenderSeen(_Part):
    habit: Rate
    seen: Rate
    seen_kept: Mapping[Gender, Mapping[Gender, Rate]]


class NoseSeen(_Part):
    seen_kept: Rate
    seen: Rate


class EdgeSeen(_Part):
    seen_kept: Rate
    seen: Rate


class BodySeen(_Part):
    seen_kept: Rate
    seen: Rate


class ShapeSeen(_Part):
    seen_kept: Rate
    seen: Rate


class Lengths(_Part):
    hex_sd_mm: Positive
    hex_range_mm: Positive
    hex_other: Rate
    tube_sd_mm: Positive
    flange_sd_mm: Positive
    bolt_sd_mm: Positive
    profile_sd_mm: Positive
    gross: Rate


class Absent(_Part):
    thread: Rate
    seat: Rate
    length: Rate
    said: Mapping[str, tuple[Rate, Rate]]


class Answer(_Part):
    turned_round: Rate


class Claim(_Part):
    dash: Rate
    dash_next: Rate
    size: Rate
    system: Rate
    series: Rate


class Hose(_Part):
    own: Rate
    next: Rate
    bore_sd_mm: Positive
    outside_over_mm: Positive
    outside_by_bore: Positive
    outside_sd_mm: Positive
    outside_sd_by_bore: Positive


class Decision(_Part):
    likely_posterior: Rate
    leads_posterior: Rate
    leads_by: Positive
    variant_share: Rate
    safe_posterior: Rate
    exclusion_odds: Positive
    odds_without_one: Positive
    doubt_posterior: Rate
    worth_share: Rate
    worth_bit: Positive
    turn_s: Positive
    again: Positive
    most_asked: Annotated[int, Field(ge=1)]


class Number(_Part):
    """One entry of the file: the value with where it is from."""

    value: Any
    source: Annotated[str, Field(min_length=1)]
    basis: Basis


class MeasurementModel(_Part):
    """How readings come about: typed numbers, and where each is from (``numbers``, by dotted path)."""

    caliper: Caliper
    thread_condition: ThreadCondition
    taper: Taper
    pitch_gauge: PitchGauge
    flank_angle: FlankAngle
    seat_gauge: SeatGauge
    seat_form: SeatFormSeen
    seal: SealSeen
    gender: GenderSeen
    nose: NoseSeen
    edge: EdgeSeen
    body: BodySeen
    shape: ShapeSeen
    length: Lengths
    absent: Absent
    answer: Answer
    claim: Claim
    hose: Hose
    decision: Decision
    numbers: Mapping[str, Number]


def load_model(texts: Mapping[str, str]) -> MeasurementModel:
    """The model of ``measurement.toml`` among ``texts`` (relative path to text).

    Raises
    ------
    BadTable : names the file and the entry
    """
    tree = read_toml(texts, FILE)
    numbers: dict[str, Number] = {}
    values = strip(tree, "", numbers, FILE)
    try:
        return MeasurementModel.model_validate({**values, "numbers": numbers})
    except ValidationError as error:
        raise bad_entry(FILE, error) from None


def read_toml(texts: Mapping[str, str], file: str) -> dict[str, Any]:
    """The TOML tree of ``file``; a missing or broken file is a :class:`BadTable`."""
    if file not in texts:
        raise BadTable(file, None, None, "the file is missing")
    try:
        return tomllib.loads(texts[file])
    except tomllib.TOMLDecodeError as error:
        raise BadTable(file, None, None, f"is not TOML: {error}") from None


def bad_entry(file: str, error: ValidationError, *within: str) -> BadTable:
    """The first fault that validation found, as an error that names the entry; ``within`` : the table it is in."""
    first = error.errors()[0]
    return BadTable(file, None, ".".join((*within, *(str(step) for step in first["loc"]))) or None, first["msg"])


def strip(tree: Mapping[str, Any], path: str, numbers: dict[str, Number], file: str) -> dict[str, Any]:
    """Strip each ``{value, source, basis}`` to its value, noting the whole under its dotted path."""
    found: dict[str, Any] = {}
    for key, entry in tree.items():
        here = f"{path}.{key}" if path else key
        if not isinstance(entry, dict):
            raise BadTable(file, None, here, "is a bare value: give value, source and basis")
        if "value" in entry:
            try:
                numbers[here] = Number.model_validate(entry)
            except ValidationError as error:
                raise bad_entry(file, error, here) from None
            found[key] = entry["value"]
        else:
            found[key] = strip(entry, here, numbers, file)
    return found
