"""The rows of a shop's CSV as it comes: any of the usual separators, stray quotes, rows that are too short or too long.

Duty: text to heading and numbered rows, so that one bad row never swallows its neighbours. It must not know what the
columns mean and must not read files.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence

from voicefit.errors import BadInput

SEPARATORS = (";", "\t", ",", "|")
LONGEST_QUOTED_LINES = 20  # a quoted cell may hold line breaks; an unclosed quote must not swallow the file


def decoded(raw: bytes, source: str) -> str:
    """The text of a file as spreadsheets write it. Raises ``BadInput`` naming the source where it is no text."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return raw.decode("utf-16")
        except UnicodeDecodeError:
            raise BadInput(f"{source}: cut short, or not text") from None
    if b"\x00" in raw:
        raise BadInput(f"{source}: binary data, not a CSV")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace")


def table(text: str, source: str) -> tuple[list[str], list[tuple[int, Sequence[str]]]]:
    """Heading, and rows with their line numbers; empty lines are left out. Raises ``BadInput`` without a heading."""
    lines = text.splitlines()
    first = next((number for number, line in enumerate(lines) if line.strip()), None)
    if first is None:
        raise BadInput(f"{source}: empty: not even a heading")
    separator = max(SEPARATORS, key=lines[first].count)
    heading = _cells([lines[first]], separator)
    return [cell.strip() for cell in heading], list(_rows(lines, first + 1, separator, len(heading)))


def _rows(lines: Sequence[str], start: int, separator: str, width: int) -> Iterator[tuple[int, Sequence[str]]]:
    at = start
    while at < len(lines):
        if not lines[at].strip(f" \t\r{separator}"):
            at += 1
            continue
        taken = _lines_of_row(lines, at, separator, width)
        yield at + 1, _cells(lines[at : at + taken], separator)
        at += taken


def _lines_of_row(lines: Sequence[str], at: int, separator: str, width: int) -> int:
    """How many lines a row takes: more than one only where a quoted cell closes again and the row is then whole."""
    if lines[at].count('"') % 2 == 0:
        return 1
    for more in range(2, LONGEST_QUOTED_LINES + 1):
        part = lines[at : at + more]
        if len(part) < more:
            break
        if sum(line.count('"') for line in part) % 2 == 0:
            whole = len(_parsed(part, separator) or ()) == width and len(lines[at].split(separator)) < width
            return more if whole else 1
    return 1


def _cells(lines: Sequence[str], separator: str) -> list[str]:
    """The cells of a row; where its quotes make no sense they are taken as inch marks."""
    if len(lines) == 1 and lines[0].count('"') % 2:
        return lines[0].split(separator)
    parsed = _parsed(lines, separator)
    return lines[0].split(separator) if parsed is None else parsed


def _parsed(lines: Sequence[str], separator: str) -> list[str] | None:
    try:
        found = list(csv.reader([line + "\n" for line in lines], delimiter=separator))
    except csv.Error:
        return None
    return [cell for row in found for cell in row] if len(found) == 1 else None
