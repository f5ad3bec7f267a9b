"""Every figure that was read, held against the catalogue: it fails when a row drifts from its publication.

The tables under ``sourced/`` are ours: what was read, in the unit of the publication, with source and page. ``source``
is a key of the bibliography under ``data/``.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

import pytest

from voicefit.catalogue import Catalogue, Thread
from voicefit.catalogue.load import TABLES
from voicefit.catalogue.provenance import ProvenanceRow
from voicefit.catalogue.tables import Row, belongs, read_family
from voicefit.quantities import exact

FOLDER = Path(__file__).parent / "sourced"
INCH = 25.4


def read(name: str) -> list[dict[str, str]]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def named(rows: list[dict[str, str]], key: str) -> list[object]:
    return [pytest.param(row, id=f"{row[key]} {row['source']} {number}") for number, row in enumerate(rows)]


def table_rows(texts: Mapping[str, str], family: str) -> dict[str, dict[str, str]]:
    return {
        row["id"]: row
        for path, text in texts.items()
        if belongs(path, family)
        for row in csv.DictReader(text.splitlines())
    }


@pytest.mark.parametrize("figure", named(read("figures"), "row"))
def test_torques_and_turns(figure: dict[str, str], texts: dict[str, str], catalogue: Catalogue) -> None:
    row = table_rows(texts, figure["table"])[figure["row"]]
    assert (row["source"], row["basis"]) == (figure["source"], "handbook")
    assert row["unit"] == figure["unit"]
    assert (exact(row["low"]), exact(row["high"])) == (exact(figure["low"]), exact(figure["high"]))
    attached = {
        (each.source, each.condition)
        for end in catalogue.ends
        if end.series == row["series"]
        for each in (*end.torque, *end.turns)
    }
    assert any(source == figure["source"] for source, _ in attached), "no end has it"


def thread_size(thread: Thread, what: str) -> float:
    """What a table calls ``what``, of a thread as the formulas make it."""
    sizes = {
        "pitch_mm": thread.pitch_mm,
        "tpi": float(thread.tpi or 0),
        "external_major_max_mm": thread.external_major_mm[1],
        "external_major_min_mm": thread.external_major_mm[0],
        "internal_minor_min_mm": thread.internal_minor_mm[0],
        "internal_minor_max_mm": thread.internal_minor_mm[1],
        "external_major_max_in": thread.external_major_mm[1] / INCH,
        "external_major_min_in": thread.external_major_mm[0] / INCH,
        "internal_minor_min_in": thread.internal_minor_mm[0] / INCH,
        "internal_minor_max_in": thread.internal_minor_mm[1] / INCH,
        "major_in": thread.major_diameter_mm / INCH,
        "major_mm": thread.major_diameter_mm,
        "pitch_diameter_mm": thread.pitch_diameter_mm,
        "minor_mm": thread.minor_diameter_mm,
    }
    return sizes[what]


THREADS = read("threads")


@pytest.mark.parametrize("row", named([row for row in THREADS if row["source"] != "charts-din-158"], "thread"))
def test_threads(row: dict[str, str], catalogue: Catalogue) -> None:
    """Within the last digit printed; inch tables print a bore to the thousandth and a crest to the ten thousandth."""
    thread = catalogue.threads[row["thread"]]
    given = {what: float(value) for what, value in row.items() if value and what not in ("thread", "source")}
    assert given
    coarse = {"external": 0.0101, "internal": 0.0051} if row["source"] == "threadlib" else {}
    for what, value in given.items():
        side, unit = what.partition("_")[0], what.rpartition("_")[2]
        within = coarse.get(side, 0.0015) if unit != "in" else 0.0006 if side == "internal" else 0.00011
        assert thread_size(thread, what) == pytest.approx(value, abs=within), what


MIDDLE_OF_CRESTS = {27: 0.0645, 18: 0.0605, 14: 0.0555, 11.5: 0.053}  # of the pitch: truncation, ASME B1.20.1 (memory)


@pytest.mark.parametrize("row", named(read("npt"), "thread"))
def test_american_tapers(row: dict[str, str], catalogue: Catalogue) -> None:
    """The table's length is the effective thread and the run-out of 3.47 pitches, to its last digit.

    Its outside diameter is, by our reading, the crest at the gauge plane, truncated as in the middle of what the
    standard allows: it holds the recalled gauge length to a quarter of a millimetre.
    """
    thread = catalogue.threads[row["thread"]]
    assert (thread.source, thread.basis) == (row["source"], "handbook")
    pitch = 1 / float(row["tpi"])
    assert thread.pitch_mm == pytest.approx(pitch * INCH, abs=1e-6)
    assert thread.thread_length_mm is not None
    assert thread.thread_length_mm / INCH + 3.47 * pitch == pytest.approx(float(row["length_in"]), abs=0.00011)
    height = 3**0.5 / 2 - 2 * MIDDLE_OF_CRESTS[float(row["tpi"])]
    assert thread.pitch_diameter_mm / INCH + height * pitch == pytest.approx(float(row["crest_in"]), abs=0.0006)


@pytest.mark.parametrize("row", named([row for row in THREADS if row["source"] == "charts-din-158"], "thread"))
def test_metric_tapers(row: dict[str, str], catalogue: Catalogue) -> None:
    """The chart's gauge plane lies behind ours, where the thread is thicker: its limits are within what ours reaches.

    From crest to pitch diameter it is 0.6495 of the pitch (ISO 68-1), in the chart and here.
    """
    thread = catalogue.threads[row["thread"]]
    least, greatest = float(row["major_min_at_gauge_mm"]), float(row["major_max_at_gauge_mm"])
    assert thread.major_diameter_mm < least < greatest < thread.external_major_mm[1] + 0.05
    height = greatest - float(row["pitch_max_at_gauge_mm"])
    assert height == pytest.approx(thread.major_diameter_mm - thread.pitch_diameter_mm, abs=0.002)


@pytest.mark.parametrize("row", named(read("rings"), "ring"))
def test_rings(row: dict[str, str], catalogue: Catalogue) -> None:
    """ISO 3601-1 gives the inch rings of AS568 to a hundredth of a millimetre."""
    ring = catalogue.orings[row["ring"]]
    assert ring.source == row["source"] and ring.basis != "memory"
    assert ring.inside_diameter_mm == pytest.approx(float(row["inside_diameter_mm"]), abs=0.011)
    assert ring.section_mm == pytest.approx(float(row["section_mm"]), abs=0.006)


@pytest.mark.parametrize("cell", named(read("sizes"), "row"))
def test_sizes(cell: dict[str, str], texts: dict[str, str]) -> None:
    rows = table_rows(texts, "ends") | table_rows(texts, "flanges")
    row, what, value = rows[cell["row"]], cell["what"], cell["value"]
    if what == "thread":
        assert row["thread"].startswith(value)
    elif what == "thread_diameter":
        assert exact(row["thread"].rpartition("-")[0]) == exact(value)
    elif what == "bolt_metric":
        assert value in row["bolt_metric"].split(";")
    else:
        column = what if what in row else f"{what}_in"
        assert exact(value) in [exact(each) for each in row[column].split(";") if each]


def test_what_was_read_of_a_cell_is_said_of_it(texts: dict[str, str], catalogue: Catalogue) -> None:
    """Each size in ``sizes.csv`` but bare diameters has a line that says so of its cell, with one of its sources.

    A cell of several values is read where each of them was: of M10 or M12 a manual prints M12 alone, so it is recalled.
    """
    said = {
        (row, column.removesuffix("_in")): (line.source, line.basis)
        for line in read_family(texts, "provenance", ProvenanceRow)
        for _, row, column in line.cells
    }
    rows = table_rows(texts, "ends") | table_rows(texts, "flanges")
    read_in: dict[tuple[str, str], dict[object, set[str]]] = {}
    for cell in read("sizes"):
        if (what := cell["what"]) != "thread_diameter":
            value = cell["value"] if what in ("thread", "bolt_metric") else exact(cell["value"])
            read_in.setdefault((cell["row"], what), {}).setdefault(value, set()).add(cell["source"])
    partly = set()
    for place, values in read_in.items():
        row, column = rows[place[0]], place[1] if place[1] in rows[place[0]] else f"{place[1]}_in"
        if len(row[column].split(";")) > len(values):
            partly.add(place)
            assert said.get(place, ("", "memory"))[1] == "memory", place
        else:
            assert said[place][0] in set().union(*values.values()) and said[place][1] == "handbook", place
    assert partly == {(f"flange61/{dash}", "bolt_metric") for dash in (20, 24, 32)}
    assert {cell["source"] for name in ("figures", "sizes", "rings") for cell in read(name)} <= set(catalogue.sources)


def test_no_torque_or_turn_is_called_read_that_is_not_held_here(texts: dict[str, str]) -> None:
    held = {figure["row"] for figure in read("figures")}
    rows = [row for family in ("torques", "turns") for row in table_rows(texts, family).values()]
    assert not [row["id"] for row in rows if row["basis"] in ("handbook", "standard") and row["id"] not in held]


# What the scopes and titles of standards say of whole series, each with where it was read.
@pytest.mark.parametrize(
    ("series", "highest_bar"),
    [
        ("flange62", 420),  # SAE J518-2 of 2017, title: 42 MPa
        ("flange61", 350),  # SAE J518-1 of 2023, scope: 3.5 to 35 MPa
        ("flange-square", 210),  # JIS B 2291 of 1994: 21 MPa
        ("din24-s", 630),  # ISO 8434-4 of 1995, scope: 63 MPa
        ("din24-l", 250),  # ISO 8434-4 of 1995, scope: 25 MPa
    ],
)
def test_no_size_of_a_series_is_said_to_hold_more_than_its_standard(
    series: str, highest_bar: float, catalogue: Catalogue
) -> None:
    found = [figure.high for end in catalogue.ends if end.series == series for figure in end.pressure]
    assert max(found) == highest_bar


def test_tubes_of_the_24_degree_cone_run_from_6_to_42(catalogue: Catalogue) -> None:
    """ISO 8434-4 of 1995, scope."""
    tubes = {end.tube_od_mm for end in catalogue.ends if end.series in ("din24-l", "din24-s")}
    assert (min(t for t in tubes if t), max(t for t in tubes if t)) == (6, 42)


def test_hoses_have_the_bores_of_their_scope(catalogue: Catalogue) -> None:
    """EN 853 of 2015: 5 to 51 mm; EN 857 of 2015: 6 to 25 mm, both for the ends of the range."""
    for standard, least, greatest in (("EN 853", 5, 51), ("EN 857", 6, 25)):
        bores = [hose.bore_mm for hose in catalogue.hoses if hose.type.standard == standard]
        assert min(bores) == pytest.approx(least, abs=0.5) and max(bores) == pytest.approx(greatest, abs=0.5)


def test_a_line_of_provenance_names_a_cell(texts: dict[str, str]) -> None:
    cells = [cell for line in read_family(texts, "provenance", ProvenanceRow) for cell in line.cells]
    rows = {table: table_rows(texts, table) for table, *_ in cells}
    assert len(set(cells)) == len(cells)
    for table, row, column in cells:
        assert rows[table][row].get(column) or column == "major_diameter_mm", row


def test_the_dash_of_a_pipe_thread_is_its_name_in_sixteenths(texts: dict[str, str]) -> None:
    """A series of pipe threads alone has them by name: dash 6 is that of 3/8. Its thread is computed, not recalled."""
    rows, found = table_rows(texts, "ends"), 0
    for line in read_family(texts, "provenance", ProvenanceRow):
        for table, row, column in line.cells:
            if (table, line.basis) == ("ends", "computed"):
                size = rows[row][column].removeprefix("Rc").strip("GR").split(" ")[0]
                named = size.rpartition("-")[0] if "NP" in rows[row][column] else size
                assert column in ("thread", "female_thread") and exact(named) * 16 == int(rows[row]["dash"]), row
                found += 1
    assert found > 60


def test_every_standard_thread_and_ring_has_a_source_that_is_not_memory(catalogue: Catalogue) -> None:
    """What is left: gauge lengths, the largest NPT and what is like NPT, cylinder outlets, rings of bosses."""
    recalled = [thread for thread in catalogue.threads.values() if thread.basis == "memory"]
    assert {thread.system for thread in recalled} == {"NPT", "NPSM", "M-taper", "W"}
    assert [thread.designation for thread in recalled if thread.system == "NPT"] == ["2-1/2-8 NPT", "3-8 NPT"]
    rings = {ring.id for ring in catalogue.orings.values() if ring.basis == "memory" and ring.standard == "AS568"}
    assert all(number.startswith("9") for number in rings)
    assert not [r.id for r in catalogue.orings.values() if r.id.startswith("G") and r.basis == "memory"]


def test_families_are_those_of_the_loader() -> None:
    assert {figure["table"] for figure in read("figures")} <= set(TABLES)
    assert all(issubclass(model, Row) for model in TABLES.values())
    assert Fraction(1, 2) == exact("1/2")


@pytest.mark.parametrize(
    ("tube", "stud"), [(6, "10"), (8, "12"), (12, "16"), (15, "18"), (18, "22"), (22, "26"), (35, "42"), (42, "48")]
)
def test_studs_of_light_fittings(tube: int, stud: str, texts: dict[str, str]) -> None:
    """Manual 33521029401, tables 36 and 37: M10x1 on 6 mm tube, M12x1.5 on 8 and so on to M48x2 on 42."""
    row = table_rows(texts, "adapters")["din24-l-male--metric-port-stud"]
    assert (row["source"], row["basis"]) == ("manual-33521029401", "handbook")
    sizes = row["sizes"].split(";")
    assert f"{tube}:{stud}" in [size.strip() for size in sizes]
