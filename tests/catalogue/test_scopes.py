"""What scopes and titles of standards say, held against the tables; and every figure that was read is accounted for.

``sourced/elsewhere.csv`` has the figures that stand in no row: each with the test that holds it, or why it is not used.
"""

from __future__ import annotations

import csv
import importlib
from pathlib import Path

import pytest

from voicefit.catalogue import Catalogue
from voicefit.resources import data_folder

FOLDER = Path(__file__).parent / "sourced"
READ = 1421  # figures that were read in open publications


def read(name: str) -> list[dict[str, str]]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_figure_that_was_read_is_used_or_has_its_reason() -> None:
    threads = sum(bool(value) for row in read("threads") for what, value in row.items() if what not in ROW)
    rings = 2 * len(read("rings"))  # inside diameter and section
    figures = len({(row["table"], FOR_BOTH.get(row["row"], row["row"])) for row in read("figures")})
    elsewhere = read("elsewhere")
    held, unused = ([row for row in elsewhere if row[column]] for column in ("test", "why"))
    pitches = len(read("npt"))
    lengths_and_crests = 2 * pitches  # of that table, held by a test: what they follow from stands here
    used = threads + rings + figures + pitches + len(read("sizes"))
    assert len(held) + len(unused) == len(elsewhere)  # the one or the other
    assert used + lengths_and_crests + len(elsewhere) == READ
    readme = (data_folder() / "README.md").read_text(encoding="utf-8")
    assert (
        f"Of {READ:,} figures that were read in open publications {used:,} stand in these tables, "
        f"{len(held) + lengths_and_crests} are held by a\ntest, and {len(unused)} are not used:" in readme
    )


ROW = ("thread", "source")
# One figure of the publication, for light and heavy cones alike: a row each.
FOR_BOTH = {f"din24-s/all/manual-m015655{n}": f"din24-l/all/manual-m015655{n}" for n in ("", "/2")}


def test_the_tests_that_hold_them_are_there() -> None:
    for row in read("elsewhere"):
        if row["test"]:
            module, _, name = row["test"].partition("::")
            found = importlib.import_module(module.removesuffix(".py").replace("/", "."))
            assert callable(getattr(found, name)), row


def test_code_62_goes_on_to_dash_48(catalogue: Catalogue) -> None:
    """SAE J518-2 of 2017, rationale: sizes of DN 63 and 76."""
    assert [catalogue.by_id[f"flange62/{dash}/male"].dn for dash in (40, 48)] == [63, 76]


def test_r2_of_type_s_is_of_2006(catalogue: Catalogue) -> None:
    """SAE J517 of 2003, scope. They hold more than before; both are here, and the older ones count where it is open."""
    editions = {hose.edition for hose in catalogue.hoses if hose.type.id == "sae-r2"}
    assert "from 2006" in editions and len(editions) > 1


@pytest.mark.parametrize(
    ("types", "least", "greatest", "water"),
    [
        (("sae-r12", "sae-r13", "sae-r15"), None, 120, None),  # SAE J517 of 2020, rationale
        (("en-853-1sn", "en-853-2sn", "en-853-1st", "en-853-2st"), -40, 100, 70),  # EN 853 of 2015, clause 1
        (("en-857-1sc", "en-857-2sc"), -40, 100, None),  # EN 857 of 2015, clause 1
    ],
)
def test_temperatures_of_hoses(
    types: tuple[str, ...], least: int | None, greatest: int, water: int | None, catalogue: Catalogue
) -> None:
    known = {hose.type.id: hose.type for hose in catalogue.hoses}
    for each in types:
        assert known[each].temperature_c[1] == greatest
        assert least is None or known[each].temperature_c[0] == least
        assert water is None or known[each].temperature_water_max_c == water


def test_textile_hoses_lie_within_their_scope(catalogue: Catalogue) -> None:
    """EN 854 of 2015, clause 1: 5 to 100 mm."""
    bores = [hose.bore_mm for hose in catalogue.hoses if hose.type.standard == "EN 854"]
    assert bores and min(bores) == pytest.approx(5, abs=0.5) and max(bores) <= 100


def test_flares(catalogue: Catalogue) -> None:
    """Notes on the net, weak sources: 45 and 42 degrees; the sizes where both flares have one thread; 37 degrees."""
    inverted = catalogue.by_id["inverted-flare/3/male"]
    assert (inverted.seat_half_angle_deg, inverted.also_seats_deg) == (45, (42,))
    for dash in (2, 3, 4, 5, 8, 10):
        assert catalogue.by_id[f"flare37/{dash}/male"].thread == catalogue.by_id[f"flare45/{dash}/male"].thread
    assert catalogue.by_id["brake-double/m10/male"].seat_half_angle_deg == 37
