"""How often each end is met before anything is measured, read from ``data/prior.toml``.

Duty: a log prior over the ends of a catalogue and "none of these". It must not look at any reading.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Annotated

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from voicefit.catalogue.ends import CandidateEnd
from voicefit.matching.aspect import Floats
from voicefit.matching.model import Positive
from voicefit.matching.numbers import SourcedNumber, read_numbers
from voicefit.records import Gender

FILE = "prior.toml"


class _None(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    share: Annotated[float, Field(gt=0, lt=1)]


class Prior(BaseModel):
    """Relative weights; what is not listed weighs 1. ``bore`` : by least DN, up to the next."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    none: _None
    series: Mapping[str, Positive] = Field(default_factory=dict)
    gender: Mapping[Gender, Positive] = Field(default_factory=dict)
    bore: Mapping[int, Positive] = Field(default_factory=dict)
    numbers: Mapping[str, SourcedNumber] = Field(default_factory=dict)

    def log_prior(self, ends: Sequence[CandidateEnd]) -> Floats:
        """Natural logs, shape (n_ends + 1,), the last "none of these"; they sum to one.

        A series' weight is shared by its ends, so a long table is not likelier than a short one; within the series
        gender and bore weigh. Ends that are one part share that part's weight.
        """
        within = np.array(
            [self.gender.get(end.gender, 1.0) * self._bore_weight(end.dn) for end in ends], dtype=np.float64
        )
        shared = Counter((end.series, end.part) for end in ends)
        within = within / np.array([shared[end.series, end.part] for end in ends], dtype=np.float64)
        names = {name: number for number, name in enumerate(dict.fromkeys(end.series for end in ends))}
        series = np.array([names[end.series] for end in ends], dtype=np.intp)
        total = np.bincount(series, within, minlength=len(names))
        weight = np.array([self.series.get(name, 1.0) for name in names])
        p = within * (weight / total)[series]
        p = (1 - self.none.share) * p / p.sum()
        logs: Floats = np.log(np.append(p, self.none.share if len(ends) else 1.0))
        return logs

    def _bore_weight(self, dn: int | None) -> float:
        if dn is None:
            return 1.0
        least = max((least for least in self.bore if least <= dn), default=None)
        return 1.0 if least is None else self.bore[least]


def load_prior(texts: Mapping[str, str]) -> Prior:
    """The prior of ``prior.toml`` among ``texts``.

    Raises
    ------
    BadTable : names the file and the entry
    """
    return read_numbers(texts, FILE, Prior)
