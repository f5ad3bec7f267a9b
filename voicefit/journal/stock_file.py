"""The shop's stock on disk: read a list as it comes, keep what was matched in a file of the user's own.

Duty: files. It must not match (:mod:`voicefit.ordering.stock` does).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from voicefit.errors import BadInput
from voicefit.ordering.stock import Stock, StockLine
from voicefit.ordering.stock_list import decoded, table
from voicefit.private_files import write_private
from voicefit.resources import is_named_pipe

NAME = "stock.csv"
_COLUMNS = ("part", "part_number", "bin", "quantity", "designation")


def read_list(path: Path) -> tuple[list[str], list[tuple[int, Sequence[str]]]]:
    """Heading and numbered rows of a shop's CSV. Raises ``BadInput`` naming the file."""
    if is_named_pipe(path):
        raise BadInput(f"{path}: is a pipe, not a file")
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise BadInput(f"{path}: cannot read ({error.strerror})") from None
    return table(decoded(raw, str(path)), str(path))


def save_stock(folder: Path, lines: Sequence[StockLine]) -> Path:
    """Keep these lines in place of the old ones, all or none. Raises ``StoreError``."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_COLUMNS)
    writer.writerows((each.part, each.part_number, each.bin, each.quantity, each.designation) for each in lines)
    path = folder / NAME
    write_private(path, out.getvalue().encode("utf-8", "surrogatepass"))
    return path


def load_stock(folder: Path) -> Stock:
    """What was kept; empty where nothing was. Raises ``BadInput`` for a file that is not one of ours."""
    path = folder / NAME
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Stock()
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput(f"{path}: cannot read ({error})") from None
    rows = csv.reader(io.StringIO(text))
    if tuple(next(rows, ())) != _COLUMNS:
        raise BadInput(f"{path}: not a stock file of voicefit; import the list again")
    lines = []
    for number, row in enumerate(rows, 2):
        if len(row) != len(_COLUMNS) or not (row[3] == "" or row[3].isdecimal()):
            raise BadInput(f"{path}, line {number}: damaged; import the list again")
        part, part_number, place, quantity, designation = row
        lines.append(StockLine(part, part_number, place, int(quantity) if quantity else None, designation))
    return Stock(tuple(lines))
