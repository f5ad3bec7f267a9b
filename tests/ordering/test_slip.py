"""The order slip: one document, read back from JSON, CSV and text."""

from __future__ import annotations

import csv
import io
import json
import math

import pandas
import pytest
from pydantic import ValidationError

from tests.slips.joining import joined
from voicefit.errors import BadInput
from voicefit.ordering.hose import HoseFacts
from voicefit.ordering.job_slip import EndFacts, HoseOrder, JobFacts, job_slip
from voicefit.ordering.naming import end_name
from voicefit.ordering.room import Ordering
from voicefit.ordering.slip import DecidedBy, OrderSlip, StockItem
from voicefit.ordering.slip_csv import CSV_COLUMNS, to_csv
from voicefit.ordering.slip_text import to_text
from voicefit.slips.label import sheets


@pytest.fixture(scope="session")
def slip(ordering: Ordering) -> OrderSlip:
    facts = HoseFacts(
        hose_type="en-853-2sn",
        dash=8,
        length_mm=750.0,
        elbow_angle_deg=90.0,
        pressure_bar=250.0,
        temperature_c=(-20.0, 90.0),
        fluid="mineral-oil",
        ends=("flare37/8/female", "bspp-cone60/8/female"),
    )
    job = JobFacts(
        job="3f9c21ab-2",
        machine='Förderband 7; "Nord", Ж',
        opened_at="2024-05-01T07:30:00.000Z",
        ends=(
            EndFacts("flare30-g/6/female", ("inside diameter 15.1 mm",)),
            EndFacts("orb/6/stud", count=4),
            EndFacts(None, ("pitch 1.5 mm",)),
            EndFacts("no-such/1/end", ("pitch 2 mm",)),
        ),
        hoses=(HoseOrder(facts, ordering.hoses(facts)[0]), HoseOrder(HoseFacts(bore_mm=10.0))),
        goals=(("orb/8/port", "bspp-cone60/8/female"), ("staple/8/male", "orb/6/port")),
        notes=("3f9c21ab-2-note-1.flac",),
    )
    stock = {"orb/6/stud": [StockItem(part_number="=4711", bin="14", quantity=2)]}
    return job_slip(ordering, job, lambda part: stock.get(part, []))


def test_json_comes_back_and_fits_the_schema(slip: OrderSlip) -> None:
    text = slip.to_json()
    assert text.isascii() and "\n" not in text
    assert OrderSlip.model_validate_json(text) == slip
    schema = OrderSlip.model_json_schema()
    assert set(json.loads(text)) <= set(schema["properties"])
    assert schema["additionalProperties"] is False
    with pytest.raises(ValidationError):
        OrderSlip.model_validate({**json.loads(text), "price": 1})
    with pytest.raises(ValidationError):
        OrderSlip.model_validate({**json.loads(text), "format": "voicefit-order-slip/2"})


def test_a_hose_is_ordered_with_its_temperatures_and_one_without_says_none(slip: OrderSlip) -> None:
    warm, plain = slip.hoses
    assert to_text(slip.model_copy(update={"hoses": (warm,)})).count("Temperature: -20 and 90 °C") == 1
    assert "Temperature:" not in to_text(slip.model_copy(update={"hoses": (plain,)}))


def test_what_is_not_identified_is_no_order(slip: OrderSlip) -> None:
    unknown = [end for end in slip.ends if end.id is None]
    assert [end.readings for end in unknown] == [("pitch 1.5 mm",), ("pitch 2 mm",)]
    assert all(end.name == "not identified" and not end.seals and end.thread is None for end in unknown)
    assert "take it to the counter as a sample" in to_text(slip)


def test_a_reading_said_twice_is_written_once(ordering: Ordering) -> None:
    said = ("pitch 18 tpi", "taper parallel", "pitch 18 tpi")
    facts = (EndFacts("orb/6/stud", said), EndFacts("brake-bubble/m10/male", said), EndFacts(None, said))
    for end in job_slip(ordering, JobFacts("1", ends=facts)).ends:
        assert end.readings == ("pitch 18 tpi", "taper parallel")


def test_a_chain_that_is_not_there_is_not_on_the_slip(slip: OrderSlip) -> None:
    (chain,) = slip.chains
    assert [adapter.ends for adapter in chain.adapters] == [("orb/8/stud", "bspp-cone60/8/male")]


def test_an_open_hose_says_what_is_missing(slip: OrderSlip) -> None:
    chosen, unchosen = slip.hoses
    assert chosen.id == "en-853-2sn/8" and unchosen.id is None
    assert "pressure" in unchosen.missing and "size" not in unchosen.missing
    assert chosen.missing == ("application", "delivery")
    assert chosen.said == ()


def test_an_open_hose_keeps_what_was_said_of_it(ordering: Ordering) -> None:
    """Dash 16 is a bore of one inch, 25.4 mm (ISO 4397)."""
    facts = HoseFacts(
        hose_type="en-853-2sn", bore_mm=25.4, outside_mm=38.0, reinforcement=frozenset({"two_wire_braids"}), dash=16
    )
    slip = job_slip(ordering, JobFacts("1", hoses=(HoseOrder(facts),)))
    said = ("EN 853 2SN", "dash 16", "bore 25.4 mm (1 in)", "outside 38 mm", "two wire braids")
    assert slip.hoses[0].said == said
    assert f"1. HOSE to order, 1: {', '.join(said)}" in to_text(slip).splitlines()
    needed = "NEEDED before it is made: length, both ends"
    not_said = "Not said: temperature, application, material, pressure, delivery"
    assert to_text(slip).count(f"   {needed}\n   {not_said}\n") == 1
    (row,) = csv.DictReader(to_csv(slip).splitlines())
    assert row["description"] == "; ".join((", ".join(said), needed, not_said))
    nothing = job_slip(ordering, JobFacts("1", hoses=(HoseOrder(HoseFacts()),)))
    assert "1. HOSE to order, 1: no size or kind said" in to_text(nothing).splitlines()
    assert nothing.hoses[0].needed == ("size", "kind", "length", "ends")


@pytest.mark.parametrize(
    ("facts", "needed"),
    [
        (HoseFacts(bore_mm=9.5, pressure_bar=180.0, length_mm=400.0, ends=("a", "b")), ()),
        (HoseFacts(dash=6, hose_type="x", ends=("a",)), ("length", "ends")),
        (HoseFacts(reinforcement=frozenset({"fibre"}), length_mm=1.0, ends=("a", "b")), ("size",)),
        (HoseFacts(bore_mm=9.5, length_mm=400.0, temperature_c=(80.0,), ends=("a", "b")), ("kind",)),
    ],
)
def test_only_what_it_cannot_be_made_without_is_needed(facts: HoseFacts, needed: tuple[str, ...]) -> None:
    assert facts.needed == needed


def test_an_end_that_is_there_twice_is_one_item_of_two(ordering: Ordering) -> None:
    """So many in all; what is known less surely stays an item of its own."""
    swivel = EndFacts("flare37/8/female", ("female",), count=2, on_hose=True)
    likely = EndFacts("flare37/8/female", decided_by=DecidedBy.LIKELY)
    slip = job_slip(ordering, JobFacts("1", ends=(swivel, EndFacts(None), swivel, EndFacts(None), likely)))
    assert [(end.count, end.on_hose) for end in slip.ends] == [(4, True), (1, False), (1, False), (1, False)]
    assert "   TO ORDER: 4 like it, in all, on the hose" in to_text(slip).splitlines()
    first = next(csv.DictReader(to_csv(slip).splitlines()))
    assert first["count"] == "4" and first["description"].endswith("; on the hose")


def test_a_hose_names_its_ends_as_surely_as_they_are_known(ordering: Ordering) -> None:
    ends = (EndFacts("flare37/8/female", decided_by=DecidedBy.LIKELY), EndFacts(None))
    order = HoseOrder(
        HoseFacts(dash=8, reinforcement=frozenset({"two_wire_braids"}), length_mm=914.4), count=3, ends=ends
    )
    slip = job_slip(ordering, JobFacts("1", hoses=(order,)))
    lines = to_text(slip).splitlines()
    assert "1. HOSE to order, 3: dash 8, two wire braids" in lines
    assert any(line.startswith("   End 1: 1/2 37° flare") and "very likely" in line for line in lines)
    assert "   End 2: not identified" in lines
    assert OrderSlip.model_validate_json(slip.to_json()) == slip


def test_text_for_the_telephone(slip: OrderSlip) -> None:
    text = to_text(slip)
    for line in (
        "ORDER SLIP, job 3f9c21ab-2",
        "1. CAME OFF: 3/8 30° flare on parallel pipe thread, female swivel, dash 6, G3/8 (19 per inch)",
        "   TO ORDER: 1 like it",
        "   Holds: no figure in the catalogue",
        "2. CAME OFF: 3/8 straight-thread O-ring boss, stud end, dash 6, 9/16-18 UNF",
        "   TO ORDER: 4 like it",
        "   Own part =4711, bin 14, 2 left",
        "5. HOSE to order, 1: EN 853 2SN, dash 8, bore 12.7 mm, from memory",
        "   Length between sealing faces: 750 mm",
        "   Length tolerance, DIN 20066: +12 / -4 mm, from memory",
        "   Elbow angle: 90°",
        "   Seal compounds: NBR, FKM, HNBR, not EPDM, SBR (common practice; the makers decide)",
        "   Bursts at no less than 1100 bar, from memory, design factor 4 to 1",
        "7 items. Please read them back.",
    ):
        assert line in text.splitlines(), text
    assert "NOT with, although it screws on: 3/8 British parallel pipe with 60° cone, male" in text
    assert "clockwise" in text and "sealing faces" in text and "4:1" in text
    assert "Never look or feel for a leak by hand" in text


def test_csv_by_the_csv_module_and_by_pandas(slip: OrderSlip) -> None:
    text = to_csv(slip)
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert tuple(rows[0]) == CSV_COLUMNS
    assert [row["kind"] for row in rows] == ["end", "end", "seal", *["unidentified end"] * 2, "hose", "hose", "adapter"]
    assert rows[2]["count"] == "4" and rows[2]["o_ring"] == "906", "four studs take four rings"
    assert (rows[1]["part_number"], rows[1]["bin"], rows[1]["quantity_in_stock"]) == ("'=4711", "14", "2")
    frame = pandas.read_csv(io.StringIO(text), dtype={"o_ring": str})
    assert list(frame.columns) == list(CSV_COLUMNS)
    assert len(frame) == len(rows)
    assert frame["pressure_bar"].iloc[5] == 250.0 and frame["length_mm"].iloc[5] == 750.0
    assert frame["item"].tolist() == list(range(1, 9))


def test_sheets_join_to_the_whole(slip: OrderSlip) -> None:
    parts = sheets(slip)
    assert len(parts) > 1
    for number, sheet in enumerate(parts, 1):
        assert sheet.sheet is not None and (sheet.sheet.number, sheet.sheet.of) == (number, len(parts))
        assert OrderSlip.model_validate_json(sheet.to_json()) == sheet
        assert len(sheet.to_json()) <= 1900
    assert joined(parts) == slip
    assert joined(reversed(parts)) == slip


def test_a_short_slip_is_one_sheet(ordering: Ordering) -> None:
    small = job_slip(ordering, JobFacts(job="a-1", ends=(EndFacts("staple/8/male"),)))
    small = small.model_copy(update={"cautions": ()})
    assert sheets(small) == (small,)
    assert joined([small]) == small


def test_every_end_fits_one_code(ordering: Ordering) -> None:
    for end in ordering.catalogue.ends:
        made = job_slip(ordering, JobFacts(job="3f9c21ab-2", machine="x" * 60, ends=(EndFacts(end.id),)))
        assert joined(sheets(made)) == made, end.id


def test_an_item_too_long_for_any_code_is_named(ordering: Ordering) -> None:
    readings = tuple(f"reading {n} " + "x" * 50 for n in range(60))
    made = job_slip(ordering, JobFacts(job="a-1", ends=(EndFacts("orb/6/stud", readings),)))
    with pytest.raises(BadInput, match=r"O-ring boss.*too long for a QR code"):
        sheets(made)


def test_part_numbers_are_the_shops_own_or_none(slip: OrderSlip, ordering: Ordering) -> None:
    assert [item.stock[0].part_number for item in slip.ends if item.stock] == ["=4711"]
    every = JobFacts(job="a-1", ends=tuple(EndFacts(end.id) for end in ordering.catalogue.ends))
    assert "part_number" not in job_slip(ordering, every).to_json()


def test_adapters_at_a_hose_lower_its_rating(ordering: Ordering) -> None:
    facts = HoseFacts(hose_type="en-856-4sp", dash=8, ends=("flare37/8/female", "flare37/8/female"))
    order = HoseOrder(facts, ordering.hoses(facts)[0])
    plain = job_slip(ordering, JobFacts(job="a-1", hoses=(order,)))
    with_pipe = job_slip(ordering, JobFacts(job="a-1", hoses=(order,), goals=(("npt/8/female", "flare37/8/female"),)))
    elsewhere = job_slip(ordering, JobFacts(job="a-1", hoses=(order,), goals=(("npt/8/female", "orfs/8/female"),)))
    ratings = [made.hoses[0].rating for made in (plain, with_pipe, elsewhere)]
    assert all(rating is not None and rating.bar is not None for rating in ratings)
    weakest = [ordering.end(end) for end in ("flare37/8/female", "npt/8/male", "flare37/8/female")]
    assert [rating.weakest for rating in ratings if rating] == [end_name(end) for end in weakest]
    assert [rating.bar for rating in ratings[1:2] if rating] == [206.8]  # 3000 psi (SAE J514), and no 207 bar


@pytest.mark.parametrize(
    ("end", "line"),
    [
        ("orb/6/stud", "on this end: AS568-906, 11.89 × 1.98 mm"),
        ("iso6149/22/stud", "on this end: 19.3 × 2.2 mm, ISO 6149-1"),
        ("flange-square/16/male", "JIS B 2401 G35, 34.4 × 3.1 mm"),
    ],
)
def test_a_ring_is_called_what_its_standard_calls_it(end: str, line: str, ordering: Ordering) -> None:
    assert line in to_text(job_slip(ordering, JobFacts(job="a-1", ends=(EndFacts(end),))))


def test_what_the_length_may_differ_by_is_written_to_a_tenth(ordering: Ordering) -> None:
    facts = HoseFacts(hose_type="en-853-2sn", dash=8, length_mm=1234)  # SAE J517: 1 % over 36 in, DIN 20066: +12 -4
    made = job_slip(ordering, JobFacts(job="a-1", hoses=(HoseOrder(facts, ordering.hoses(facts)[0]),)))
    allowed = {each.practice: (each.plus_mm, each.minus_mm) for each in made.hoses[0].tolerances}
    assert allowed == {"SAE J517": (12.3, 12.3), "DIN 20066": (12, 4)}


def test_how_far_the_length_can_turn(ordering: Ordering) -> None:
    # EN 853 2SN DN 12: bend radius 180 mm, outside diameter at most 23.8 mm; straight ends of 1.5 diameters, DIN 20066
    facts = HoseFacts(hose_type="en-853-2sn", dash=8, length_mm=900)
    made = job_slip(ordering, JobFacts(job="a-1", hoses=(HoseOrder(facts, ordering.hoses(facts)[0]),)))
    turn = made.hoses[0].most_turn_deg
    outside = ordering.hoses(facts)[0].outside_diameter_mm
    assert turn is not None and outside is not None
    assert math.radians(turn) * (180 + outside / 2) + 3 * outside <= 900
    assert math.radians(turn + 5) * (180 + outside / 2) + 3 * outside > 900
    assert f"Turns at most: {turn:g}° at that radius" in to_text(made)
    short = facts.__class__(hose_type="en-853-2sn", dash=8, length_mm=40)
    made = job_slip(ordering, JobFacts(job="a-1", hoses=(HoseOrder(short, ordering.hoses(short)[0]),)))
    assert made.hoses[0].most_turn_deg == 0
