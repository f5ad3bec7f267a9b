"""Outside diameters of tubes and pipes against open tables."""

from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue

INCH = 25.4


def test_inch_tube_is_the_dash_in_sixteenths(catalogue: Catalogue) -> None:
    """SAE J514, J512, J1453 and J1926 name their sizes by the tube."""
    named = [
        end for end in catalogue.ends if end.series in ("flare37", "flare45", "orfs", "flareless24", "inverted-flare")
    ]
    assert len(named) > 50
    for end in named:
        assert end.dash is not None
        assert end.tube_od_mm == pytest.approx(end.dash / 16 * INCH), end.id
