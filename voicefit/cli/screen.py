"""What the terminal shows of an answer: few lines, high contrast, nothing that is not also spoken or heard.

Duty: print to stdout, by rich where it is a terminal, as bare lines in plain mode (for screen readers and files).
rich itself respects NO_COLOR and the terminal's width. It must not word replies.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from voicefit.printed import candidate_line, reading_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rich.table import Table

    from voicefit.documents import AnswerDocument

SHOWN = 3  # as many as are ever said in a list


def show(rows: list[tuple[str, str]], *, plain: bool) -> None:
    """Print labelled rows: the label, then the text in bold, wrapped to the terminal unless plain."""
    if plain or not sys.stdout.isatty():
        for label, text in rows:
            print(f"{label}: {text}")
        return
    from rich.console import Console

    Console().print(table_of(rows))


def table_of(rows: list[tuple[str, str]]) -> Table:
    """The rows as rich lays them out. No color is set: light or dark, the terminal's own contrast holds."""
    from rich.table import Table

    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(style="bold")
    for label, text in rows:
        table.add_row(label, text)
    return table


def show_table(columns: Sequence[str], cells: Iterable[Sequence[str]], *, plain: bool) -> None:
    """A table with its heading: in columns on a terminal, where nothing is cut, else a line a row."""
    if plain or not sys.stdout.isatty():
        for row in (columns, *cells):
            print("; ".join(row))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, header_style="bold", pad_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold")
    for row in cells:
        table.add_row(*row)
    Console().print(table)


def rows_of(answer: AnswerDocument) -> list[tuple[str, str]]:
    """The rows of one answer, in the order in which they came to be."""
    rows = [("Heard", answer.heard or "nothing")]
    rows += [("Took", reading_line(reading)) for reading in answer.readings]
    rows += [("Left out", f"{r.text or 'the sound'} ({r.reason.replace('_', ' ')})") for r in answer.rejected]
    if answer.readings:
        rows += [("Candidate", candidate_line(candidate)) for candidate in answer.candidates[:SHOWN]]
    if answer.next_check is not None:
        rows.append(("Next check", answer.next_check.prompt))
    rows.append(("Says", answer.reply))
    return rows
