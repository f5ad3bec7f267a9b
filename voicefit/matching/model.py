"""The numbers of the measurement model, read from ``data/measurement.toml``.

Duty: validate them and hand them out typed. It must not read files and must not score anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from voicefit import toml_data
from voicefit.matching.numbers import SourcedNumber, read_numbers
from voicefit.records import Gender, Seal, SeatForm

FILE = "measurement.toml"
HARM_FILE = "harm.toml"

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


class Seen(_Part):
    """Mistakes in what is seen of an end: one that stays over repeated looks, and one made anew at each."""

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


class SeatGauge(_Part):
    leaves_deg: tuple[Positive, ...]
    sd_deg: Positive
    neighbour_kept: Rate
    neighbour: Rate
    neighbour_scale_deg: Positive
    half_said_flare: Rate
    either_fits: Rate
    half_said_cone: Rate
    gross: Rate


class SeatFormSeen(_Part):
    habit: Rate
    spigot: Rate
    spot_face: Rate
    seen: Rate
    faced: Mapping[SeatForm, Rate]
    seen_kept: Mapping[SeatForm, Mapping[SeatForm, Rate]]


class SealSeen(_Part):
    habit: Rate
    seen: Rate
    looked_for: Rate
    elsewhere_metal: Rate
    elsewhere_own: Rate
    port_own: Rate
    port_metal: Rate
    port_uncut: Rate
    seen_kept: Mapping[Seal, Mapping[Seal, Rate]]
    said_as: Mapping[Seal, Mapping[Seal, Rate]]


class GenderSeen(_Part):
    habit: Rate
    seen: Rate
    seen_kept: Mapping[Gender, Mapping[Gender, Rate]]


class EdgeSeen(Seen):
    ring_kept: Rate
    ring_seen: Rate


class Lengths(_Part):
    habit: Rate
    hex_sd_mm: Positive
    hex_range_mm: Positive
    hex_other: Rate
    tube_sd_mm: Positive
    mouth_sd_mm: Positive
    mouth_range_mm: Positive
    flange_thick_range_mm: Positive
    mouth_other: Rate
    plain_mouth: Positive
    flange_sd_mm: Positive
    port_head: Positive
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
    untold: Rate
    untold_again: Rate


class Claim(_Part):
    dash: Rate
    dash_next: Rate
    size: Rate
    system: Rate
    series: Rate


class HoseNumbers(_Part):
    own: Rate
    next: Rate
    bore_sd_mm: Positive
    outside_over_mm: Positive
    outside_by_bore: Positive
    outside_sd_mm: Positive
    outside_sd_by_bore: Positive


class WrongPart(_Part):
    lets_go_s: Positive
    second_trip_s: Positive
    left_open_s: Positive


class Likeness(_Part):
    pitch_mismatch: Positive
    least_engagement: Rate
    flange_mm: Positive


class Harm(_Part):
    """What a wrong conclusion costs: ``data/harm.toml``."""

    harm: WrongPart
    likeness: Likeness
    numbers: Mapping[str, SourcedNumber]


class Decision(_Part):
    likely_posterior: Rate
    leads_posterior: Rate
    leads_by: Positive
    variant_share: Rate
    prior_odds: Positive
    excluded_odds: Positive
    thread_posterior: Rate
    side_posterior: Rate
    shape_posterior: Rate
    leaf_posterior: Rate
    settling_posterior: Rate
    worth_relief: Rate
    no_harm_s: Positive
    overdoubt: Positive
    doubt_posterior: Rate
    answers_followed: Annotated[int, Field(ge=1)]
    beside_s: Positive
    worth_share: Rate
    worth_bit: Positive
    turn_s: Positive
    again: Positive


class MeasurementModel(_Part):
    """How readings come about: typed numbers, and where each is from (``numbers``, by dotted path)."""

    caliper: Caliper
    thread_condition: ThreadCondition
    taper: Seen
    pitch_gauge: PitchGauge
    flank_angle: Seen
    crest: Seen
    seat_gauge: SeatGauge
    seat_form: SeatFormSeen
    seal: SealSeen
    gender: GenderSeen
    nose: Seen
    edge: EdgeSeen
    body: Seen
    line: Seen
    shape: Seen
    length: Lengths
    absent: Absent
    answer: Answer
    claim: Claim
    hose: HoseNumbers
    decision: Decision
    harm: Harm
    numbers: Mapping[str, SourcedNumber]


def load_model(texts: Mapping[str, str]) -> MeasurementModel:
    """The model of ``measurement.toml`` and ``harm.toml`` among ``texts`` (relative path to text).

    Raises
    ------
    BadTable : names the file and the entry
    """
    toml_data.tree(texts, FILE)  # the file that says most is missed first
    harm = read_numbers(texts, HARM_FILE, Harm)
    return read_numbers(texts, FILE, MeasurementModel, harm=harm)
