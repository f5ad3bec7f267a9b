"""The order slip as CSV: one row an item to order, with what its figures hold for and how they are known.

Duty: lay out an :class:`OrderSlip`. It must not compute anything: what is not in the document is not in a row.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from types import SimpleNamespace

from voicefit.catalogue.ends import Basis
from voicefit.ordering import recalled
from voicefit.ordering.slip import EndItem, FigureItem, FlangeItem, OrderSlip, RatingItem, SealItem, StockItem
from voicefit.ordering.slip_text import hose_terms, seal_name

_RUNS = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n]")  # the wide signs too: some take them for the others
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")

CSV_COLUMNS = (
    "job",
    "item",
    "kind",
    "count",
    "description",
    "id",
    "standard",
    "thread",
    "dash",
    "tube_od_mm",
    "seal",
    "o_ring",
    "hex_mm",
    "seat",
    "head_diameter_mm",
    "head_thickness_mm",
    "bolt_long_mm",
    "bolt_short_mm",
    "bolts",
    "diameter_mm",
    "length_mm",
    "pressure_bar",
    "pressure_source",
    "pressure_condition",
    "pressure_basis",
    "torque_low_nm",
    "torque_high_nm",
    "torque_source",
    "torque_condition",
    "torque_basis",
    "from_memory",
    "part_number",
    "bin",
    "quantity_in_stock",
)


def to_csv(slip: OrderSlip) -> str:
    """One row an item to order: ends, seals, hoses, adapters. Columns as in ``CSV_COLUMNS``, form as in RFC 4180."""
    lines: list[str] = []
    writer = csv.DictWriter(SimpleNamespace(write=lines.append), CSV_COLUMNS, restval="")  # this room opens no files
    writer.writeheader()
    for number, row in enumerate(_rows(slip), 1):
        there = {k: cell(v) if isinstance(v, str) else v for k, v in row.items() if v is not None}
        writer.writerow({"job": cell(slip.job), "item": number, **there})
    return "".join(lines)


def cell(text: str) -> str:
    """Text that a spreadsheet shows and does not run: what begins as a formula does is set behind an apostrophe.

    A plain number keeps its sign.

    >>> cell("=HYPERLINK(1)"), cell("-6 swivel"), cell("-40"), cell("12 x 1.5")
    ("'=HYPERLINK(1)", "'-6 swivel", '-40', '12 x 1.5')
    """
    if _RUNS.match(text) and not _NUMBER.fullmatch(text):
        return "'" + text
    return text


def _rows(slip: OrderSlip) -> Iterator[dict[str, object]]:
    for end in slip.ends:
        yield {
            "kind": "end" if end.id else "unidentified end" if end.count else "not ordered",
            "count": end.count,
            "description": _described(end),
            "id": end.id,
            "standard": end.standard,
            "thread": end.thread,
            "dash": end.dash,
            "tube_od_mm": end.tube_od_mm,
            "seal": end.seals[0].kind.value if end.seals else None,
            "o_ring": end.seals[0].o_ring if end.seals else None,
            "hex_mm": ";".join(f"{each:g}" for each in end.hex_mm),
            "seat": end.seat,
            **(_flange_cells(end.flange) if end.flange else {}),
            "diameter_mm": end.diameter and end.diameter.mm,
            **({"pressure_bar": end.pressure.low} | _origin_cells("pressure", end.pressure) if end.pressure else {}),
            **_torque_cells(end.torque),
            "from_memory": ";".join(recalled.of_end(end)),
            **_stock_cells(end.stock),
        }
        for seal in end.seals:
            if seal.o_ring is not None or seal.washers:
                yield _seal_row(seal, seal.count * end.count, f"on {seal.on}")
    for line in slip.seals:
        yield _seal_row(line.seal, line.count, f"of {line.of}")
    for hose in slip.hoses:
        yield {
            "kind": "hose",
            "count": hose.count,
            "description": "; ".join((hose.name, *hose.ends, *hose_terms(hose))),
            "id": hose.id,
            "standard": hose.edition,
            "length_mm": hose.length_mm,
            **(_rating_cells(hose.rating) if hose.rating else {}),
            "from_memory": ";".join(recalled.of_hose(hose)),
            **_stock_cells(hose.stock),
        }
    for chain in slip.chains:
        for adapter in chain.adapters:
            yield {
                "kind": "adapter",
                "count": adapter.count,
                "description": " x ".join(adapter.names),
                "id": " x ".join(adapter.ends),
                "standard": adapter.standard,
                **_rating_cells(chain.rating),
                "from_memory": ";".join(recalled.of_adapter(adapter, chain)),
                **_stock_cells(adapter.stock),
            }


def _seal_row(seal: SealItem, count: int, where: str) -> dict[str, object]:
    return {
        "kind": "seal",
        "count": count,
        "description": f"{seal_name(seal)}, {where}",
        "seal": seal.kind.value,
        "o_ring": seal.o_ring,
        "from_memory": "ring" if seal.basis is Basis.MEMORY else None,
    }


def _described(end: EndItem) -> str:
    if end.id is None:
        return "; ".join((end.name, *end.readings))
    if end.mate_of:
        return f"{end.name}; mate of {end.mate_of}"
    return f"{end.name}; on the hose" if end.on_hose else end.name


def _flange_cells(flange: FlangeItem) -> dict[str, object]:
    return {
        "head_diameter_mm": flange.head_diameter_mm,
        "head_thickness_mm": flange.head_thickness_mm,
        "bolt_long_mm": flange.bolt_long_mm,
        "bolt_short_mm": flange.bolt_short_mm,
        "bolts": ";".join(f"{each.count} of {each.size}" for each in flange.bolts),
    }


def _torque_cells(torque: tuple[FigureItem, ...]) -> dict[str, object]:
    """The first figure, which does no harm where it is another's; the rest are on the text."""
    if not torque:
        return {}
    first = torque[0]
    return {"torque_low_nm": first.low, "torque_high_nm": first.high, **_origin_cells("torque", first)}


def _origin_cells(name: str, figure: FigureItem) -> dict[str, object]:
    return {f"{name}_source": figure.source, f"{name}_condition": figure.condition, f"{name}_basis": figure.basis.value}


def _rating_cells(rating: RatingItem) -> dict[str, object]:
    return {
        "pressure_bar": rating.bar,
        "pressure_source": rating.weakest,
        "pressure_condition": rating.condition,
        "pressure_basis": rating.basis and rating.basis.value,
    }


def _stock_cells(stock: tuple[StockItem, ...]) -> dict[str, object]:
    if not stock:
        return {}
    return {"part_number": stock[0].part_number, "bin": stock[0].bin, "quantity_in_stock": stock[0].quantity}
