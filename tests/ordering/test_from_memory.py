"""A recalled figure is said to be one wherever it is said: aloud, on paper, in tables, on labels."""

from __future__ import annotations

import csv
import json
from dataclasses import replace

import pytest

from voicefit.catalogue.ends import Basis, Figure
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.ordering.spans import drawn_together
from voicefit.slips.label import MOST_BYTES, label_lines, sheets


@pytest.fixture(scope="module")
def slip(ordering: Ordering) -> OrderSlip:
    hose = next(hose for hose in ordering.catalogue.hoses if hose.id == "en-853-2sn/6")
    ends = (
        EndFacts("flare37/6/female"),
        EndFacts("orb/6/stud"),
        EndFacts("iso6149/18/stud"),
        EndFacts("din24-l/28/male"),
    )
    return job_slip(ordering, JobFacts("7", ends=ends, hoses=(HoseOrder(HoseFacts(dash=6), hose),)))


def test_text(slip: OrderSlip) -> None:
    lines = to_text(slip).splitlines()
    assert "   Across flats: 17.46 mm" in lines  # read in TM 55-1520-240-23-1
    assert "   Tube: 9.525 mm outside" in lines  # read there too
    assert "   Tube: 28 mm outside, from memory" in lines
    assert any(line.startswith("   Holds: 275.8 bar, from memory (SAE J514; swivel nut)") for line in lines)
    assert (
        "   Seal: to order, 1: O-ring at the base of the thread, on this end: AS568-906, 11.89 × 1.98 mm, from memory"
        in lines
    )
    assert any("15.3 × 2.2 mm" in line and "from memory" in line for line in lines)
    assert any(line.startswith("   Tighten: 20 to 33 N·m (TSD3450E") for line in lines)  # read
    assert any(line.startswith("   Holds: ") and "from memory, by EN 853 2SN" in line for line in lines)
    assert "From memory: recalled from the source named, not read in it. Check before relying on it." in lines


def test_what_was_recalled_of_no_book_names_none(ordering: Ordering) -> None:
    """Neither a title that stands for memory nor empty brackets, in text, CSV and JSON."""
    for end in ordering.catalogue.ends:
        slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end.id),)))
        for form in (to_text(slip), to_csv(slip), slip.to_json()):
            assert "Recalled from handbooks" not in form and "()" not in form, end.id
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts("coupler-a/8/female"),)))
    assert "Holds: 200 bar, from memory (steel, taken low)" in to_text(slip)


FLANGES = {
    # Sizes of SAE J518 and JIS B 2291 (memory); M10 of code 61 dash 16: a shear attachment's manual, p. 38, read.
    "flange61/16/male": [
        "Head: 44.45 mm across, 8 mm thick, from memory",
        "Bolt centres: 52.39 × 26.19 mm, on a circle of 58.57 mm, from memory",
        "Bolts: 4 of M10; or, as it is tapped, 4 of 3/8-16, from memory; "
        "length and strength class by the machine maker",
    ],
    "flange61/16/port": ["Head that it takes: 44.45 mm across, from memory"],
    "flange62/24/male": ["Head: 63.5 mm across, 12.57 mm thick, from memory"],
    "flange-square/16/male": [
        "Square body: 68 mm a side, 28 mm thick, from memory",
        "Bolt centres: 48 × 48 mm, on a circle of 67.88 mm, from memory",
    ],
    "flange-pump/40/male": [
        "Square body: no figure in the catalogue",
        "Bolt centres: 28.28 × 28.28 mm, on a circle of 40 mm, from memory",
        "Bolts: 4 of M6 or M8, from memory; length and strength class by the machine maker",
    ],
    "flange62/40/male": ["Bolts: 4, no size in the catalogue; length and strength class by the machine maker"],
    "staple/8/male": ["Diameter, spigot: 23.9 mm, from memory", "Tighten: nothing: a clip or its own lock holds it"],
}


@pytest.mark.parametrize("end", FLANGES)
def test_an_end_without_a_thread_says_its_sizes(end: str, ordering: Ordering) -> None:
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end),)))
    lines = [line.strip() for line in to_text(slip).splitlines()]
    assert [line for line in FLANGES[end] if line not in lines] == []


def test_a_flange_in_the_table_in_json_and_on_the_label(ordering: Ordering) -> None:
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts("flange61/16/male"),)))
    row = next(csv.DictReader(to_csv(slip).splitlines()))
    assert (row["head_diameter_mm"], row["head_thickness_mm"]) == ("44.45", "8.0")
    assert (row["bolt_long_mm"], row["bolt_short_mm"], row["bolts"]) == ("52.39", "26.19", "4 of M10;4 of 3/8-16")
    assert row["from_memory"].split(";") == ["head", "bolt centres", "bolts", "ring", "torque", "pressure"]
    flange = json.loads(slip.to_json())["ends"][0]["flange"]
    assert flange["bolts"] == [{"size": "M10", "basis": "handbook"}, {"size": "3/8-16", "basis": "memory"}]
    assert flange["bolt_circle_mm"] == pytest.approx((52.3875**2 + 26.19375**2) ** 0.5, abs=0.006)
    assert (flange["head_basis"], flange["centres_basis"]) == ("memory", "memory")
    letters = [text for _, _, text in label_lines(slip)]
    assert FLANGES["flange61/16/male"][0] in letters and letters[-1].startswith("From memory, check: head, bolt")
    assert OrderSlip.model_validate_json(slip.to_json()) == slip


def test_of_every_end_what_the_tables_have_from_memory_says_so(ordering: Ordering, data: dict[str, str]) -> None:
    """By the tables alone: a row's basis, or that of the cell's own line in ``provenance.csv``."""
    rows = {
        (path, row["id"]): row
        for path, text in data.items()
        if path.endswith(".csv")
        for row in csv.DictReader(text.splitlines())
        if row.get("id")
    }
    own = {
        (line["table"], row, column): line["basis"]
        for (path, _), line in rows.items()
        if path.startswith("provenance")
        for row in line["row"].split(";")
        for column in line["column"].split(";")
    }

    def recalled(table: str, name: str, *columns: str) -> bool:
        row = next(row for (path, id_), row in rows.items() if path.startswith(table) and id_ == name)
        bases = [own.get((table, name, column), row["basis"]) for column in columns if row.get(column)]
        return "memory" in bases

    checked = {"Seat:": 0, "Head": 0, "Square": 0, "Bolt centres:": 0, "Diameter,": 0}
    for end in ordering.catalogue.ends:
        if end.trade is not None:
            continue
        slip = job_slip(ordering, JobFacts("1", ends=(EndFacts(end.id),)))
        lines = [line.strip() for line in to_text(slip).splitlines()]
        expected = {
            "Seat:": end.seat_half_angle_deg and recalled("kinds", end.kind, "seat_half_angle_deg"),
            "Head": end.flange and end.flange.head_diameter_mm and recalled("flanges", end.size_id, "head_diameter_in"),
            "Square": end.flange and recalled("flanges", end.size_id, "head_diameter_mm"),
            "Bolt centres:": end.flange
            and recalled("flanges", end.size_id, "bolt_long_in", "bolt_long_mm", "bolt_circle_mm"),
            "Diameter,": bool(end.profile_mm),
        }
        for start, memory in expected.items():
            for line in lines:
                if line.startswith(start) and "no figure" not in line:
                    checked[start] += 1
                    assert (", from memory" in line) == bool(memory), (end.id, line)
    assert min(checked.values()) > 10, checked


@pytest.mark.parametrize(
    ("hose", "edition"),
    [
        ("sae-r2-s/8", "from 2006"),  # SAE J517 of 2003, scope: type S takes the place of R2 AT
        ("sae-r1-s/8", "from 2006, from memory"),
        ("en-853-2sn/8", "EN 853"),  # names no year
    ],
)
def test_the_year_of_an_edition_is_read_or_said_to_be_recalled(hose: str, edition: str, ordering: Ordering) -> None:
    (chosen,) = [each for each in ordering.catalogue.hoses if each.id == hose]
    slip = job_slip(ordering, JobFacts("1", hoses=(HoseOrder(HoseFacts(dash=8), chosen),)))
    assert f"   Edition: {edition}" in to_text(slip).splitlines()
    assert ("edition" in next(csv.DictReader(to_csv(slip).splitlines()))["from_memory"]) == ("memory" in edition)


def test_no_edition_of_classed_hose_is_named_that_was_not_opened(ordering: Ordering) -> None:
    assert {each.edition for each in ordering.catalogue.hoses if each.type.standard == "ISO 18752"} == {"ISO 18752"}


def test_csv(slip: OrderSlip) -> None:
    rows = list(csv.DictReader(to_csv(slip).splitlines()))
    end = next(row for row in rows if row["id"] == "flare37/6/female")
    assert (end["pressure_condition"], end["pressure_basis"]) == ("swivel nut", "memory")
    torque = slip.ends[0].torque[0]
    assert (float(end["torque_low_nm"]), float(end["torque_high_nm"])) == (torque.low, torque.high)
    assert (end["torque_condition"], end["torque_basis"]) == (torque.condition, torque.basis.value)
    assert "pressure" in end["from_memory"].split(";") and "hexagon" not in end["from_memory"].split(";")
    assert [row["from_memory"] for row in rows if row["kind"] == "seal"] != []
    assert next(row for row in rows if row["kind"] == "hose")["pressure_basis"] == "memory"


def test_json(slip: OrderSlip) -> None:
    end = json.loads(slip.to_json())["ends"][0]
    assert (end["pressure"]["basis"], end["pressure"]["condition"]) == ("memory", "swivel nut")
    assert (end["hex_basis"], end["tube_basis"], end["thread_basis"]) == ("handbook", "handbook", "handbook")
    assert json.loads(slip.to_json())["hoses"][0]["rating"]["basis"] == "memory"


def test_label(slip: OrderSlip) -> None:
    (line,) = [text for _, _, text in label_lines(slip) if text.startswith("From memory, check: ")]
    assert {"pressure", "tube", "ring"} <= set(line.partition(": ")[2].split(", "))


def test_a_recalled_figure_within_what_was_read_is_not_repeated() -> None:
    read = Figure(20, 30, "N·m", "a", "", Basis.HANDBOOK)
    within, wider = (Figure(*span, "N·m", "b", "", Basis.MEMORY) for span in ((22, 28), (18, 28)))
    assert drawn_together([read, within], {}) == (read,)
    assert drawn_together([read, wider], {}) == (read, wider)
    assert drawn_together([wider, read], {}) == (read, wider)  # what was read first


def test_figures_of_one_joint_become_a_range_with_all_their_sources() -> None:
    low, high = Figure(20, 24, "N·m", "a", "", Basis.HANDBOOK), Figure(23, 30, "N·m", "b", "", Basis.HANDBOOK)
    (span,) = drawn_together([low, high], {})
    assert (span.low, span.high, span.source, span.more_sources) == (20, 30, "a", ("b",))
    assert drawn_together([low, replace(high, unit="bar")], {}) == (low, replace(high, unit="bar"))


def test_a_sealing_washers_torque_is_said_before_a_captured_rings(ordering: Ordering) -> None:
    """Manual 33521029401: M22 65 N·m with a sealing washer, 125 with a captured ring."""
    slip = job_slip(ordering, JobFacts("1", ends=(EndFacts("metric-port/22/stud"),)))
    read = [(each.low, each.condition) for each in slip.ends[0].torque if each.basis != "memory"]
    assert read == [(65, "sealing washer, light duty"), (125, "captured ring, light duty")]


def test_the_slip_has_the_practice_of_machines(slip: OrderSlip) -> None:
    assert "aircraft practice" not in to_text(slip)


def test_where_machines_have_no_figure_another_practice_is_told(ordering: Ordering) -> None:
    (item,) = job_slip(ordering, JobFacts("1", ends=(EndFacts("flare45/6/male"),))).ends
    assert item.torque and all("refrigeration" in figure.condition for figure in item.torque)


def test_every_end_fits_a_code_with_a_dozen_readings(ordering: Ordering) -> None:
    """A code holds 2,953 bytes (ISO/IEC 18004, version 40-L)."""
    readings = tuple(f"outside across the crests {number}/32 in" for number in range(12))
    for end in ordering.catalogue.ends:
        for sheet in sheets(job_slip(ordering, JobFacts("3f9c21ab-2", ends=(EndFacts(end.id, readings),)))):
            assert len(sheet.to_json()) <= MOST_BYTES, end.id
