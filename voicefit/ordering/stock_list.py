"""The shop's list as it comes: rows with any of the usual separators, stray quotes, rows that are too short or too
long; which column is which by its heading, and how its quantities are written.

Columns are found in any order and spelling (:data:`COLUMNS`); only a designation, or a series with a size, is needed.

Duty: text to heading, numbered rows and figures, so that one bad row never swallows its neighbours. It must not know
what a designation means and must not read files.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

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


# English, German, French, Spanish, Italian, Dutch, Polish; without accents, lower case, one space for any sign.
COLUMNS: Mapping[str, tuple[str, ...]] = {
    "designation": (
        *("designation", "description", "desc", "item description", "text", "name", "item", "article text"),
        *("bezeichnung", "artikelbezeichnung", "benennung", "artikeltext", "libelle", "descripcion", "denominacion"),
        *("descrizione", "denominazione", "omschrijving", "opis", "nazwa"),
    ),
    "series": ("series", "family", "type", "thread type", "standard", "norm", "baureihe", "reihe", "serie", "norme"),
    "size": (
        *("size", "thread", "dash", "nominal", "dimension", "tube", "dn", "grosse", "gewinde", "nennweite", "taille"),
        *("filetage", "medida", "rosca", "misura", "filettatura", "maat", "draad", "rozmiar", "gwint"),
    ),
    "gender": ("gender", "sex", "m/f", "male/female", "form", "geschlecht", "genre", "genero", "sesso"),
    "part_number": (
        *("part number", "part no", "partno", "part", "pn", "p/n", "article", "article no", "sku", "number"),
        *("artikelnummer", "artikel nr", "artikelnr", "artikel", "teilenummer", "sachnummer", "reference", "ref"),
        *("referencia", "codigo", "codice", "code", "kod", "indeks"),
    ),
    "bin": (
        *("bin", "bin no", "location", "shelf", "place", "drawer", "rack", "lagerort", "lagerplatz", "fach", "regal"),
        *("emplacement", "casier", "ubicacion", "posizione", "ubicazione", "scaffale", "locatie", "vak", "miejsce"),
    ),
    "quantity": (
        *("quantity", "qty", "stock", "on hand", "qty on hand", "count", "pieces", "pcs", "menge", "bestand", "anzahl"),
        *("stuck", "stuckzahl", "quantite", "qte", "cantidad", "existencias", "quantita", "giacenza", "aantal"),
        *("voorraad", "ilosc", "stan"),
    ),
}
_COUNT = re.compile(r"(\d[\d.,]*)(?:[^\W\d_]+\.?)?")  # a unit may follow: "5 Stk."
_GROUPED = re.compile(r"\d{1,3}(?:[.,]\d{3})+")
MOST = 10**9


def columns_of(heading: Sequence[str], chosen: Mapping[str, str] | None = None) -> dict[str, int]:
    """Field to column, by heading. ``chosen`` : field to heading, as the user says. Raises ``BadInput``.

    >>> columns_of(["Qty", "Part No.", "Description", "Shelf"])
    {'designation': 2, 'part_number': 1, 'bin': 3, 'quantity': 0}
    """
    plain = [_heading(text) for text in heading]
    found: dict[str, int] = {}
    for name, wanted in (chosen or {}).items():
        if name not in COLUMNS:
            raise BadInput(f"{name}: the fields of a stock list are {', '.join(COLUMNS)}")
        if _heading(wanted) not in plain:
            raise BadInput(f"{wanted}: there is no such column; there are: {', '.join(heading)}")
        found[name] = plain.index(_heading(wanted))
    for name, words in COLUMNS.items():
        for word in words:
            at = next((i for i, text in enumerate(plain) if text == word and i not in found.values()), None)
            if name not in found and at is not None:
                found[name] = at
    if "designation" not in found and not {"series", "size"} <= set(found):
        raise BadInput(
            f"no column with a designation, nor with series and size; the headings are: {', '.join(heading)}"
        )
    return {name: found[name] for name in COLUMNS if name in found}


def counting(column: Iterable[str]) -> Callable[[str], int | None]:
    """How to read the quantities of one column. "1,250" is read as the rest of the column is written.

    Points and commas are decimal where a figure has other than three digits after one, or where thousands stand
    without one; they part thousands where small figures stand without one. What is returned raises ``BadInput`` for
    what is no count, and gives ``None`` for an empty cell.

    >>> counting(["12", "1,250"])("1,250"), counting(["12,000", "0,000"])("12,000"), counting(["2,0"])("2,0")
    (1250, 12, 2)
    """
    bare = [text for each in column if (text := _bare(each))]
    parted = [text for text in bare if "." in text or "," in text]
    whole = [int(text) for text in bare if text.isdecimal() and len(text) < 12]
    decimal = any(not _GROUPED.fullmatch(text) for text in parted) or any(each >= 1000 for each in whole)
    if not decimal and parted and not whole:  # all with three digits: thousands, unless all are nothing after the sign
        decimal = all(re.fullmatch(r"\d+[.,]000", text) for text in parted) or any(t.startswith("0") for t in parted)

    def count(cell: str) -> int | None:
        if not cell.strip():
            return None
        text = _bare(cell)
        if text.isdecimal() and len(text) <= 9:
            return int(text)
        if not text:
            raise BadInput(f"{cell.strip()!r} is not a quantity")
        grouped = _GROUPED.fullmatch(text) is not None
        if grouped and (not decimal or len(re.findall(r"[.,]", text)) > 1):
            text = re.sub(r"[.,]", "", text)
        figures = re.fullmatch(r"(\d+|\d{1,3}(?:[.,]\d{3})+)(?:[.,]\d*)?", text)
        if figures is None or int(re.sub(r"[.,]", "", figures[1])) >= MOST:
            raise BadInput(f"{cell.strip()!r} is not a quantity")
        return int(re.sub(r"[.,]", "", figures[1]))

    return count


def _bare(cell: str) -> str:
    """The figure of a cell without spaces, apostrophes and unit; empty where there is none."""
    if cell.isdecimal():
        return cell
    match = _COUNT.fullmatch(re.sub(r"[\s'’+]", "", cell))
    return match[1] if match else ""


def _heading(text: str) -> str:
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    plain = plain.replace("ł", "l").replace("ø", "o")
    return re.sub(r"\s+", " ", re.sub(r"[^\w/]+", " ", plain.replace("_", " "))).strip()
