"""The columns of a shop's list: which is which by their headings, and how its quantities are written.

Columns are found in any order and spelling (:data:`COLUMNS`); only a designation, or a series with a size, is needed.

Duty: headings and figures. It must not know what a designation means.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence

from voicefit.errors import BadInput

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
