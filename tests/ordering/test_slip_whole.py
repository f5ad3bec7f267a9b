"""A slip on which everything stands that may stand on one: each cell of the CSV and each line of a hose, word for word.

Figures are those of the tables (SAE J514, J1926, J517, ISO 11926, EN 853, DIN 20066, AS568), from memory where marked.
"""

from __future__ import annotations

import csv
import io

import pytest

from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, job_slip
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import DecidedBy, OrderSlip, StockItem
from voicefit.ordering.slip_csv import to_csv
from voicefit.ordering.slip_text import to_text

HOSE = "EN 853 2SN, dash 8, bore 12.7 mm"
FLARE = "1/2 37° flare, female swivel, dash 8, 3/4-16 UNF"
PIPE = "1/2 straight mechanical pipe NPSM with 60° cone, female swivel, dash 8, 1/2-14 NPSM"
NOWHERE = "What is met in the trade; no published source"
BOSS, CONE = "1/2 straight-thread O-ring boss, {}, dash 8, 3/4-16 UNF", "1/2 British parallel pipe with 60° cone, {}"
CONE += ", dash 8, G1/2 (14 per inch)"


@pytest.fixture(scope="module")
def slip(ordering: Ordering) -> OrderSlip:
    facts = HoseFacts(
        hose_type="en-853-2sn",
        dash=8,
        length_mm=750.0,
        routed_bend_deg=90.0,
        routed_radius_mm=150.0,
        elbow_angle_deg=90.0,
        pressure_bar=300.0,
        temperature_c=(-20.0, 120.0),
        application="press",
        fluid="mineral-oil",
        delivery="today",
        ends=("flare37/8/female", "npsm/8/female"),
    )
    (hose,) = ordering.hoses(HoseFacts(hose_type="en-853-2sn", dash=8))
    job = JobFacts(
        "j-1",
        machine="press 3",
        opened_at="one",
        written_at="two",
        ends=(
            EndFacts("orb/6/stud", ("pitch 18 tpi",), count=4),
            EndFacts("flare37/8/male", decided_by=DecidedBy.PERSON, look_alikes=("flare45/8/male", "no-such/1/end")),
        ),
        hoses=(HoseOrder(facts, hose, count=2),),
        goals=(("orb/8/port", "bspp-cone60/8/female"), ("flare37/6/male", "flare37/6/female")),
        notes=("note-1.flac",),
    )
    bins = [StockItem(part_number="A1", bin="14", quantity=2), StockItem(part_number="A2", bin="15", quantity=0)]
    return job_slip(ordering, job, lambda part: bins if part in ("orb/6/stud", "hose/en-853-2sn/8") else [])


STOCK = {"part_number": "A1", "bin": "14", "quantity_in_stock": "2"}  # of several bins the first
ROWS: list[dict[str, str]] = [
    {
        "kind": "end",
        "count": "4",
        "description": "3/8 straight-thread O-ring boss, stud end, dash 6, 9/16-18 UNF",
        "id": "orb/6/stud",
        "standard": "SAE J1926 / ISO 11926",
        "thread": "9/16-18 UNF",
        "dash": "6",
        "seal": "base_o_ring",
        "o_ring": "906",
        "hex_mm": "17.46",
        "pressure_bar": "275.8",
        "pressure_source": "SAE J514",
        "pressure_condition": "stud of a fitting with 37° flare, adjustable",
        "pressure_basis": "memory",
        "torque_low_nm": "30.0",
        "torque_high_nm": "42.0",
        "torque_source": "ISO 11926",
        "torque_condition": "light duty",
        "torque_basis": "memory",
        "from_memory": "ring;torque;pressure",
        **STOCK,
    },
    {
        "kind": "seal",
        "count": "4",
        "description": "O-ring at the base of the thread AS568-906, 11.89 × 1.98 mm, on this end",
        "seal": "base_o_ring",
        "o_ring": "906",
        "from_memory": "ring",
    },
    {
        "kind": "end",
        "count": "1",
        "description": "1/2 37° flare, male, dash 8, 3/4-16 UNF (decided by the person, not by checks)",
        "id": "flare37/8/male",
        "standard": "SAE J514 / ISO 8434-2",
        "thread": "3/4-16 UNF",
        "dash": "8",
        "tube_od_mm": "12.7",
        "seal": "metal",
        "seat": "convex, 37° to the axis, 74° included",
        "pressure_bar": "310.0",
        "pressure_source": "ISO 8434-2",
        "pressure_basis": "memory",
        "torque_low_nm": "43.0",
        "torque_high_nm": "63.0",
        "torque_source": "TSD3450E issue 1, 215104 revision A, 169558 revision D",
        "torque_basis": "handbook",
        "from_memory": "seat;turns;pressure",
    },
    {
        "kind": "hose",
        "count": "2",
        "description": f"{HOSE}; {FLARE}; {PIPE}; Elbow angle: 90°; On its way it turns: 90°; "
        "Bend radius on its way: 150 mm; Temperature: -20 and 120 °C; Working pressure needed: 300 bar; "
        "Application: press; Fluid: mineral oil, HL, HM, HLP; Wanted: today",
        "id": "en-853-2sn/8",
        "standard": "EN 853",
        "length_mm": "750.0",
        "pressure_bar": "275.0",
        "pressure_source": HOSE,
        "pressure_basis": "memory",
        "from_memory": "bore;bend radius;length tolerance;pressure",
        **STOCK,
    },
    {
        "kind": "adapter",
        "count": "1",
        "description": f"{BOSS.format('stud end')} x {CONE.format('male')}",
        "id": "orb/8/stud x bspp-cone60/8/male",
        "standard": NOWHERE,
        "pressure_bar": "250.0",
        "pressure_source": CONE.format("male"),
        "pressure_condition": "taken low",
        "pressure_basis": "memory",
        "from_memory": "pressure",
    },
]


def test_each_cell_of_the_csv(slip: OrderSlip) -> None:
    rows = list(csv.DictReader(io.StringIO(to_csv(slip), newline="")))
    assert [{name: cell for name, cell in row.items() if cell} for row in rows] == [
        {"job": "j-1", "item": str(number), **row} for number, row in enumerate(ROWS, 1)
    ]


TEXT = f"""
3. HOSE to order, 2: {HOSE}, from memory
   Edition: EN 853
   End 1: {FLARE}
   End 2: {PIPE}
   Length between sealing faces: 750 mm
   Length tolerance, DIN 20066: +12 / -4 mm, from memory
   Length tolerance, SAE J517: +6.3 / -6.3 mm, from memory
   Least bend radius: 180 mm, from memory
   Turns at most: 200° at that radius, between straight ends, from memory
   Elbow angle: 90°
   On its way it turns: 90°
   Bend radius on its way: 150 mm
   Temperature: -20 and 120 °C
   Working pressure needed: 300 bar
   Application: press
   Fluid: mineral oil, HL, HM, HLP
   Wanted: today
   Seal compounds: NBR, FKM, HNBR, not EPDM, SBR (common practice; the makers decide)
   Holds: 275 bar, from memory, by {HOSE}; no figure for {PIPE}
   Bursts at no less than 1100 bar, from memory, design factor 4 to 1
   ATTENTION: needs more pressure than it holds
   ATTENTION: outside its temperatures
   ATTENTION: bent tighter than it allows
   ATTENTION: parts without a pressure figure are in the line
   Own part A1, bin 14, 2 left
   Own part A2, bin 15, 0 left

4. ADAPTERS from {BOSS.format("port")} to {CONE.format("female swivel")}
   Adapter to order, 1: {BOSS.format("stud end")} x {CONE.format("male")} ({NOWHERE})
   Holds: 250 bar, from memory, by {CONE.format("male")} (taken low)

5. ADAPTERS from 3/8 37° flare, male, dash 6, 9/16-18 UNF to 3/8 37° flare, female swivel, dash 6, 9/16-18 UNF
   None needed: the two mate.
   Holds: 276 bar, from memory, by 3/8 37° flare, female swivel, dash 6, 9/16-18 UNF (swivel nut)

Conventions:
"""


def test_each_line_of_hose_and_adapters(slip: OrderSlip) -> None:
    text = to_text(slip)
    assert TEXT in text, text
    assert text.startswith("ORDER SLIP, job j-1\nMachine: press 3\nOpened: one\nWritten: two\n\n1. CAME OFF")
    assert "\nNotes:\n- note-1.flac\n\nCautions:\n- Before" in text
    assert text.endswith("Check before relying on it.\n\n5 items. Please read them back.\n")


def test_an_end_says_what_it_is_not_and_what_the_joint_holds(slip: OrderSlip) -> None:
    """SAE J514: the swivel nut holds less than the straight male (memory)."""
    lines = [line.strip() for line in to_text(slip).splitlines()]
    for line in (
        "Not ruled out by a check: 1/2 45° flare, male, dash 8, 3/4-16 UNF",
        "Seat: convex, 37° to the axis, 74° included, from memory",
        "Seal: metal on metal, nothing to order",
        f"Mates with: {FLARE}; the joint holds 275.8 bar, from memory (SAE J514; swivel nut)",
        "NOT with, although it screws on: 1/2 45° flare, female swivel, dash 8, 3/4-16 UNF (another seat angle)",
        "Across flats: 17.46 mm",
        "Tube: 12.7 mm outside",
        "Tighten: 30 to 42 N·m, from memory (ISO 11926; light duty)",
        "Or, by another source or way: 32.5 to 50.2 N·m, from memory (ISO 11926; heavy duty)",
        "Or, by another source or way: 1 flat, from memory (past finger tight; hose end, steel)",
        "Or, by another source or way: 1.25 to 1.75 flats (TM 9-2320-364-20-4; past wrench resistance; hose end)",
        "Measured: pitch 18 tpi",
    ):
        assert line in lines, line
    assert sum(line.startswith("Not ruled out") for line in lines) == 1
    assert sum(line.startswith("NOT with") for line in lines) == 6  # three of each
