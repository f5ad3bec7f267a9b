"""The command ``stock``: take the shop's own list in, and say what is there of an end.

Duty: arguments in, lines or a document out, a progress bar on stderr. Matching is in :mod:`voicefit.ordering.stock`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.catalogue import catalogue_of
from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say, with_progress

if TYPE_CHECKING:
    from voicefit.ordering.stock import StockLine, Unmatched

SHOWN = 20  # unmatched rows shown on the terminal; --json and --unmatched give all
FOLDER_OPTION = typer.Option(None, "--folder", help="Where the stock is kept; default: the user's own data folder.")


def register(app: typer.Typer) -> None:
    stock = typer.Typer(help="The shop's own stock, matched by meaning to the ends of the catalogue.")
    stock.command("import", epilog='Example: voicefit stock import parts.csv --column "designation=Text 1"')(
        import_list
    )
    stock.command("find", epilog='Example: voicefit stock find "JIC female swivel -6"')(find)
    app.add_typer(stock, name="stock")


def import_list(
    context: typer.Context,
    file: Path = typer.Argument(help="CSV with a heading; separated by comma, semicolon, tab or bar."),
    column: list[str] = typer.Option(
        [],
        "--column",
        metavar="FIELD=HEADING",
        help="Which column is which, where the heading does not say: designation, series, size, gender, part_number, "
        "bin, quantity.",
    ),
    unmatched: Path | None = typer.Option(None, "--unmatched", help="Write the rows left out, with the reason, here."),
    folder: Path | None = FOLDER_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """Take a stock list in, in place of the old one. Rows that cannot be matched are listed with the reason."""
    from voicefit.errors import BadInput
    from voicefit.journal.stock_file import read_list, save_stock
    from voicefit.journal.store import default_folder
    from voicefit.ordering.stock import StockLine, StockMatcher
    from voicefit.ordering.stock_list import columns_of

    with errors_as_exit_codes():
        chosen = {}
        for each in column:
            field, sign, heading = each.partition("=")
            if not sign:
                raise BadInput(f"{each}: give FIELD=HEADING")
            chosen[field.strip()] = heading
        heading_row, rows = read_list(file)
        columns = columns_of(heading_row, chosen)
        matcher = StockMatcher(catalogue_of(context))
        results = list(with_progress(matcher.match(rows, columns), "Matching", len(rows)))
        lines = [each for each in results if isinstance(each, StockLine)]
        left_out = [each for each in results if not isinstance(each, StockLine)]
        if not lines:
            _report(lines, left_out, columns, heading_row, json=json)
            say("voicefit: no row could be matched; the old stock is kept.")
            raise typer.Exit(NOTHING)
        save_stock(folder or default_folder(), lines)
        if unmatched is not None:
            _write_unmatched(unmatched, left_out)
        _report(lines, left_out, columns, heading_row, json=json)
    raise typer.Exit(DONE)


def find(
    context: typer.Context,
    text: str = typer.Argument(help="An end in words, as on a stock list, or its id."),
    folder: Path | None = FOLDER_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """Say what the shop has of an end, an adapter (END x END) or an O-ring."""
    from voicefit.journal.stock_file import load_stock
    from voicefit.journal.store import default_folder
    from voicefit.ordering.stock import StockMatcher

    with errors_as_exit_codes():
        stock = load_stock(folder or default_folder())
        part = StockMatcher(catalogue_of(context)).part_of(text)
        items = stock.of(part)
        if json:
            print_json({"part": part, "stock": [item.model_dump(mode="json") for item in items]})
        else:
            for item in items:
                left = "" if item.quantity is None else f", {item.quantity} left"
                print(f"{item.part_number or part}: {f'bin {item.bin}' if item.bin else 'no bin'}{left}")
        if not items:
            say(f"None of {part} in stock.")
            raise typer.Exit(NOTHING)


def _report(
    lines: Sequence[StockLine],
    left_out: Sequence[Unmatched],
    columns: dict[str, int],
    heading: Sequence[str],
    *,
    json: bool,
) -> None:
    taken = {field: heading[at] for field, at in columns.items()}
    if json:
        rows = [{"row": each.row, "text": each.text, "reason": each.reason} for each in left_out]
        print_json({"matched": len(lines), "parts": len({e.part for e in lines}), "columns": taken, "unmatched": rows})
        return
    print(f"Columns: {', '.join(f'{field} from {name!r}' for field, name in taken.items())}")
    print(f"{len(lines)} rows matched to {len({each.part for each in lines})} parts, {len(left_out)} left out.")
    for each in left_out[:SHOWN]:
        print(f"  row {each.row}: {each.reason}: {each.text}")
    if len(left_out) > SHOWN:
        print(f"  ... and {len(left_out) - SHOWN} more; --unmatched FILE writes all")


def _write_unmatched(path: Path, left_out: Sequence[Unmatched]) -> None:
    """For the user alone, like all that is written of the shop's list."""
    import csv
    import io

    from voicefit.ordering.slip_csv import cell
    from voicefit.private_files import write_private

    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(("row", "text", "reason"))
    writer.writerows((each.row, cell(each.text), cell(each.reason)) for each in left_out)
    write_private(path, out.getvalue().encode("utf-8", "surrogatepass"))
