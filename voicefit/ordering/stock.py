"""A shop's own stock: rows matched by meaning to what the catalogue orders, and looked up again by part.

Duty: from rows of text to stock lines, and the reason for each row that cannot be matched. It must not read files and
must not guess: a row that could be two parts is not matched but named.

Columns are found by their headings, in any order and spelling (``COLUMNS``); only a designation, or a series with a
size, is needed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.errors import BadInput
from voicefit.ordering.mating import distinct_parts
from voicefit.ordering.naming import end_name
from voicefit.ordering.slip import StockItem
from voicefit.ordering.stock_text import Features, Reader, normalised
from voicefit.quantities import exact
from voicefit.records import Gender

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "designation": ("designation", "description", "desc", "text", "name", "item", "article text", "bezeichnung"),
    "series": ("series", "family", "type", "thread type", "standard", "norm"),
    "size": ("size", "thread", "dash", "nominal", "dimension", "tube", "dn"),
    "gender": ("gender", "sex", "m/f", "male/female", "form"),
    "part_number": ("part number", "part no", "partno", "part", "pn", "p/n", "article", "article no", "sku", "number"),
    "bin": ("bin", "location", "shelf", "place", "drawer", "rack", "lagerort", "fach"),
    "quantity": ("quantity", "qty", "stock", "on hand", "count", "pieces", "pcs", "menge", "bestand"),
}
_BETWEEN_ENDS = re.compile(r"\s+(?:x|to)\s+")
_RING = re.compile(r"\b(?:as ?568 ?-? ?|2-)?(\d{3})\b")
_RING_MM = re.compile(r"\b(\d+(?:\.\d+)?) ?x ?(\d+(?:\.\d+)?)\b")


@dataclass(frozen=True, slots=True)
class StockLine:
    """``part`` : key of what it is, see :func:`adapter_key` and :func:`ring_key`; of an end its ``part``."""

    part: str
    part_number: str
    bin: str
    quantity: int | None
    designation: str


@dataclass(frozen=True, slots=True)
class Unmatched:
    """A row that was left out. ``row`` : line number in the file, the heading being 1."""

    row: int
    text: str
    reason: str


@dataclass(frozen=True)
class Stock:
    """Lines by part."""

    lines: tuple[StockLine, ...] = ()
    _by_part: Mapping[str, tuple[StockLine, ...]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        by_part: dict[str, list[StockLine]] = {}
        for line in self.lines:
            by_part.setdefault(line.part, []).append(line)
        object.__setattr__(self, "_by_part", {part: tuple(lines) for part, lines in by_part.items()})

    def of(self, part: str) -> tuple[StockItem, ...]:
        """What the shop has of a part, fullest bin first."""
        lines = sorted(self._by_part.get(part, ()), key=lambda line: -(line.quantity or 0))
        return tuple(StockItem(part_number=each.part_number, bin=each.bin, quantity=each.quantity) for each in lines)


def adapter_key(a: CandidateEnd, b: CandidateEnd) -> str:
    """The part key of an adapter, whichever end comes first."""
    return " x ".join(sorted((a.part, b.part)))


def ring_key(ring_id: str) -> str:
    return f"o-ring/{ring_id}"


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


class StockMatcher:
    """Matches rows to the parts of one catalogue. Equal texts are matched once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._reader = Reader(catalogue)
        self._by_series: dict[str, list[CandidateEnd]] = {}
        for end in catalogue.ends:
            self._by_series.setdefault(end.series, []).append(end)
        self._known: dict[str, str | tuple[str]] = {}

    def match(
        self, rows: Iterable[tuple[int, Sequence[str]]], columns: Mapping[str, int]
    ) -> Iterator[StockLine | Unmatched]:
        """One result a row, in order. ``rows`` : line number and cells."""
        for number, cells in rows:
            yield self._row(number, cells, columns)

    def part_of(self, text: str) -> str:
        """The part key that a text means. Raises ``BadInput`` with the reason where it means none, or several."""
        key = normalised(text)
        if key not in self._known:
            try:
                self._known[key] = self._part(text)
            except BadInput as error:
                self._known[key] = (str(error),)
        known = self._known[key]
        if isinstance(known, tuple):
            raise BadInput(known[0])
        return known

    def _row(self, number: int, cells: Sequence[str], columns: Mapping[str, int]) -> StockLine | Unmatched:
        def cell(name: str) -> str:
            at = columns.get(name)
            return cells[at].strip() if at is not None and at < len(cells) else ""

        text = " ".join(filter(None, (cell("series"), cell("designation"), cell("size"), cell("gender"))))
        if not text:
            return Unmatched(number, "", "the row says nothing of what it is")
        try:
            quantity = _quantity(cell("quantity"))
            part = self.part_of(text)
        except BadInput as error:
            return Unmatched(number, text, str(error))
        return StockLine(part, cell("part_number"), cell("bin"), quantity, cell("designation") or text)

    def _part(self, text: str) -> str:
        plain = normalised(text)
        if re.search(r"\bo ?-?rings?\b", plain) and not self._reader.features(text).series:
            return self._ring(plain)
        halves = _BETWEEN_ENDS.split(plain)
        if len(halves) == 2:
            ends = [self._end(half) for half in halves]
            return adapter_key(*ends)
        return self._end(text).part

    def _ring(self, plain: str) -> str:
        if (match := _RING.search(plain)) and match[1] in self._catalogue.orings:
            return ring_key(match[1])
        if match := _RING_MM.search(plain):
            sizes = float(match[1]), float(match[2])
            near = [
                ring.id
                for ring in self._catalogue.orings.values()
                if abs(ring.inside_diameter_mm - sizes[0]) < 0.06 and abs(ring.section_mm - sizes[1]) < 0.06
            ]
            if len(near) == 1:
                return ring_key(near[0])
        raise BadInput("an O-ring of no size in the catalogue")

    def _end(self, text: str) -> CandidateEnd:
        if (known := self._catalogue.by_id.get(text.strip())) is not None:
            return known
        features = self._reader.features(text)
        candidates = [end for series in features.series for end in self._by_series.get(series, ())]
        if not features.series:
            if features.thread is None:
                raise BadInput("no series named")
            candidates = list(self._catalogue.ends)
        for what, keep in _filters(features):
            kept = [end for end in candidates if keep(end)]
            if not kept:
                series = ", ".join(sorted({end.series for end in candidates}))
                raise BadInput(f"no {what} in {series}" if features.series else f"no end has {what}")
            candidates = kept
        parts = _named(distinct_parts(candidates), normalised(text))
        if len(parts) == 1:
            return parts[0]
        if not any((features.thread, features.dash, features.nominal, features.tube_mm)):
            raise BadInput("no size given")
        if len({end.gender for end in parts}) > 1 and len({(end.series, end.nominal) for end in parts}) == 1:
            raise BadInput(f"{' or '.join(sorted({end.gender.value for end in parts}))} is not said")
        raise BadInput("could be " + " or ".join(end_name(end) for end in parts[:3]))


def _filters(features: Features) -> Iterator[tuple[str, Callable[[CandidateEnd], bool]]]:
    thread = features.thread
    if thread is not None:
        systems, size, pitch = thread
        what = f"thread of {float(size):g}" + (f" with pitch {pitch:.2f} mm" if pitch else "")
        yield what, lambda end: _thread_fits(end, systems, size, pitch)
    if features.dash is not None:
        yield f"dash {features.dash}", lambda end: end.dash == features.dash
    if features.tube_mm is not None:
        yield f"tube {features.tube_mm:g} mm", lambda end: end.tube_od_mm == features.tube_mm
    nominal = features.nominal
    if nominal is not None:
        yield f"size {nominal}", lambda end: _nominal_of(end) == nominal
    if features.gender:
        gender = features.gender
        yield "/".join(sorted(gender)), lambda end: end.gender in gender or _as_said(end, gender)


def _thread_fits(end: CandidateEnd, systems: frozenset[str], size: Fraction, pitch: float | None) -> bool:
    thread = end.thread
    if thread is None or thread.system not in systems or _exact(thread.size) != size:
        return False
    return pitch is None or abs(thread.pitch_mm - pitch) < 0.02


def _nominal_of(end: CandidateEnd) -> Fraction | None:
    return _exact(end.nominal)


@lru_cache(maxsize=1024)
def _exact(text: str) -> Fraction | None:
    try:
        return exact(text)
    except ValueError:
        return None


def _as_said(end: CandidateEnd, gender: frozenset[Gender]) -> bool:
    """A stud is called male and a port female where the series has no other."""
    return (end.gender is Gender.STUD and Gender.MALE in gender) or (
        end.gender is Gender.PORT and Gender.FEMALE in gender
    )


def _named(parts: Sequence[CandidateEnd], text: str) -> Sequence[CandidateEnd]:
    """Of several forms of one end the one whose own words are in the text ("universal", "O-ring nose").

    Without such words the one whose name is part of each other's: a head before an extra thick head.
    """
    words = [set(re.findall(r"[a-z]+", normalised(end.name))) for end in parts]
    if len(parts) < 2 or len({(end.series, end.gender, end.nominal) for end in parts}) > 1:
        return parts
    said = set(re.findall(r"[a-z]+", text)) - set.intersection(*words)
    scores = [len(said & each) for each in words]
    best = max(scores)
    if best:
        return [end for end, score in zip(parts, scores, strict=True) if score == best]
    plain = [end for end, own in zip(parts, words, strict=True) if all(own <= other for other in words)]
    return plain if len(plain) == 1 else parts


def _quantity(text: str) -> int | None:
    if not text:
        return None
    try:
        value = float(text.replace("'", "").replace(" ", "").replace(",", "."))
    except ValueError:
        raise BadInput(f"{text!r} is not a quantity") from None
    if value != value or not 0 <= value < 10**9:
        raise BadInput(f"{text!r} is not a quantity")
    return int(value)


def _heading(text: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"[^\w/]+", " ", text.casefold().replace("_", " "))).strip()
