"""Fluids and the seal compounds that suit or do not suit them, from ``fluids.csv``.

Duty: parse. It must not choose a compound: this is a first orientation, the makers of fluid and seal decide.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from voicefit.catalogue import Catalogue
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Row, Several, Text, read_rows


class Fluid(Row):
    """One row of ``fluids.csv``. ``words`` : what it is called aloud. ``suits``, ``avoid`` : compounds."""

    id: Text
    name: Text
    words: Several
    suits: Several
    avoid: Several
    water_based: Literal["yes", "no"] = "no"


def fluids_from(catalogue: Catalogue, data: Mapping[str, str], faults: Faults = AT_ONCE) -> dict[str, Fluid]:
    """All fluids by id. Notes ``BadTable``."""
    return read_rows(data, "fluids", Fluid, catalogue.sources, faults)
