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
from voicefit.ordering.sheets import MOST_BYTES, sheets
from voicefit.ordering.slip import OrderSlip
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.ordering.spans import drawn_together
from voicefit.slips.label import label_lines


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
