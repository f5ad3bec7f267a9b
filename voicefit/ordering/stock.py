"""A shop's own stock: rows matched by meaning to what the catalogue orders, and looked up again by part.

Duty: from rows of text to stock lines, and the reason for each row that cannot be matched. It must not read files and
must not guess: a row that could be two parts is not matched but named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from voicefit.catalogue import CandidateEnd, Catalogue
from voicefit.errors import BadInput
from voicefit.ordering.mating import distinct_parts
from voicefit.ordering.naming import end_name
from voicefit.ordering.slip import StockItem
from voicefit.ordering.stock_hoses import HoseReader
from voicefit.ordering.stock_list import counting
from voicefit.ordering.stock_text import Features, Reader, normalised, size_of
from voicefit.records import Gender

_BETWEEN_ENDS = re.compile(r"\s+(?:x|to)\s+")
_RING_WORD = re.compile(r"\bo ?-?rings?\b")
_WORD = re.compile(r"[a-z]+")
_RING = re.compile(r"\b(?:as ?568 ?-? ?|2-)?(\d{3})\b")
_RING_MM = re.compile(r"\b(\d+(?:\.\d+)?) ?x ?(\d+(?:\.\d+)?)\b")


@dataclass(frozen=True, slots=True)
class StockLine:
    """``part`` : key of what it is, see :func:`adapter_key`, :func:`ring_key` and
    :func:`~voicefit.ordering.stock_hoses.hose_key`; of an end its ``part``."""

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


class StockMatcher:
    """Matches rows to the parts of one catalogue. Equal texts are matched once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._reader = Reader(catalogue)
        self._hoses = HoseReader(catalogue.hoses)
        self._by_series: dict[str, list[CandidateEnd]] = {}
        for end in catalogue.ends:
            if end.trade is not None:  # not ours to order
                continue
            self._by_series.setdefault(end.series, []).append(end)
        self._name_words = frozenset(word for end in catalogue.ends for word in _words(end.name))
        self._known: dict[str, str | tuple[str]] = {}
        self._ends: dict[tuple[Features, frozenset[str]], CandidateEnd | str] = {}  # or the reason why none

    def match(
        self, rows: Iterable[tuple[int, Sequence[str]]], columns: Mapping[str, int]
    ) -> Iterator[StockLine | Unmatched]:
        """One result a row, in order. ``rows`` : line number and cells."""
        rows, at = list(rows), columns.get("quantity")
        counts = counting(cells[at] for _, cells in rows if at is not None and at < len(cells))
        for number, cells in rows:
            yield self._row(number, cells, columns, counts)

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

    def _row(
        self, number: int, cells: Sequence[str], columns: Mapping[str, int], counts: Callable[[str], int | None]
    ) -> StockLine | Unmatched:
        def cell(name: str) -> str:
            at = columns.get(name)
            return cells[at].strip() if at is not None and at < len(cells) else ""

        text = " ".join(filter(None, (cell("series"), cell("designation"), cell("size"), cell("gender"))))
        if not text:
            return Unmatched(number, "", "the row says nothing of what it is")
        try:
            quantity = counts(cell("quantity"))
            part = self.part_of(text)
        except BadInput as error:
            return Unmatched(number, text, str(error))
        return StockLine(part, cell("part_number"), cell("bin"), quantity, cell("designation") or text)

    def _part(self, text: str) -> str:
        plain = normalised(text)
        if _RING_WORD.search(plain) and not self._reader.features(text).series:
            return self._ring(plain)
        if (hose := self._hoses.part_of(plain)) is not None:
            return hose
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
        said = _words(text) & self._name_words
        if (features, said) not in self._ends:  # lot numbers and the like make rows differ, not what they mean
            try:
                self._ends[features, said] = self._of(features, said)
            except BadInput as error:
                self._ends[features, said] = str(error)
        found = self._ends[features, said]
        if isinstance(found, str):
            raise BadInput(found)
        return found

    def _of(self, features: Features, said: frozenset[str]) -> CandidateEnd:
        candidates = [end for series in features.series for end in self._by_series.get(series, ())]
        if not features.series:
            if features.thread is None:
                raise BadInput("no series named")
            candidates = [end for ends in self._by_series.values() for end in ends]
        for what, keep in _filters(features):
            kept = [end for end in candidates if keep(end)]
            if not kept:
                series = ", ".join(sorted({end.series for end in candidates}))
                raise BadInput(f"no {what} in {series}" if features.series else f"no end has {what}")
            candidates = kept
        parts = _named(distinct_parts(candidates), said)
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
        yield f"size {nominal}", lambda end: size_of(end.nominal) == nominal
    if features.gender:
        gender = features.gender
        yield "/".join(sorted(gender)), lambda end: end.gender in gender or _as_said(end, gender)


def _thread_fits(end: CandidateEnd, systems: frozenset[str], size: Fraction, pitch: float | None) -> bool:
    thread = end.thread
    if thread is None or thread.system not in systems or size_of(thread.size) != size:
        return False
    return pitch is None or abs(thread.pitch_mm - pitch) < 0.02


def _as_said(end: CandidateEnd, gender: frozenset[Gender]) -> bool:
    """A stud is called male and a port female where the series has no other."""
    return (end.gender is Gender.STUD and Gender.MALE in gender) or (
        end.gender is Gender.PORT and Gender.FEMALE in gender
    )


def _named(parts: Sequence[CandidateEnd], said: frozenset[str]) -> Sequence[CandidateEnd]:
    """Of several forms of one end the one whose own words were said ("universal", "O-ring nose").

    Without such words the one whose name is part of each other's: a head before an extra thick head.
    """
    words = [_words(end.name) for end in parts]
    if len(parts) < 2 or len({(end.series, end.gender, end.nominal) for end in parts}) > 1:
        return parts
    own = said - frozenset.intersection(*words)
    scores = [len(own & each) for each in words]
    best = max(scores)
    if best:
        return [end for end, score in zip(parts, scores, strict=True) if score == best]
    plain = [end for end, each in zip(parts, words, strict=True) if all(each <= other for other in words)]
    return plain if len(plain) == 1 else parts


def _words(text: str) -> frozenset[str]:
    return frozenset(_WORD.findall(normalised(text)))
