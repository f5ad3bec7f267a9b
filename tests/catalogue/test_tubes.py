"""Outside diameters of tubes and pipes against open tables."""

from __future__ import annotations

import pytest
from fluids.piping import nearest_pipe

from tests.catalogue.conftest import warehouse_table
from voicefit.catalogue import Catalogue
from voicefit.catalogue.tables import read_family
from voicefit.catalogue.threads import ThreadRow
from voicefit.quantities import exact

INCH = 25.4


def test_pipe_outside_diameters_against_bd_warehouse(texts: dict[str, str]) -> None:
    """ASME B36.10, as the pipe table of bd_warehouse (PyPI) prints it."""
    table = {
        row["nps"].replace(" ", "-"): float(row["od"])
        for row in warehouse_table("pipe.csv")
        if (row["material"], row["identifier"]) == ("steel", "40")
    }
    pipes = [row for row in read_family(texts, "threads", ThreadRow) if row.pipe_outside_diameter_in is not None]
    assert len(pipes) >= 9
    for row in pipes:
        assert float(row.need("pipe_outside_diameter_in")) == pytest.approx(table[row.size], abs=0.0005), row.id


def test_french_gas_tubes_are_thin_walled_pipe(catalogue: Catalogue) -> None:
    """Within 0.7 mm of the pipe of the same bore, in the table of the package fluids (ASME B36.10)."""
    gas = {
        "13.25": "1/4",
        "16.75": "3/8",
        "21.25": "1/2",
        "26.75": "3/4",
        "33.5": "1",
        "42.25": "1-1/4",
        "48.25": "1-1/2",
    }
    for tube, nominal in gas.items():
        end = catalogue.by_id[f"gaz24/{tube}/male"]
        _, _, outside_m, _ = nearest_pipe(NPS=float(exact(nominal)), schedule="40")
        assert end.tube_od_mm == pytest.approx(outside_m * 1000, abs=0.7)


def test_inch_tube_is_the_dash_in_sixteenths(catalogue: Catalogue) -> None:
    """SAE J514, J512, J1453 and J1926 name their sizes by the tube."""
    named = [
        end for end in catalogue.ends if end.series in ("flare37", "flare45", "orfs", "flareless24", "inverted-flare")
    ]
    assert len(named) > 50
    for end in named:
        assert end.dash is not None
        assert end.tube_od_mm == pytest.approx(end.dash / 16 * INCH), end.id
