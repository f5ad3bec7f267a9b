"""What a shop's own words say about an end: series, thread, dash, nominal size, tube, gender.

Duty: read one text into features, each only where it is plainly there. It must not choose an end
(:mod:`voicefit.ordering.stock` does) and must not guess: what is not said stays open.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from voicefit.catalogue import Catalogue
from voicefit.quantities import exact
from voicefit.records import Gender

# Number words in the catalogue's spoken names; a shop writes figures.
_FIGURES = {
    "twenty four": "24",
    "thirty seven": "37",
    "forty five": "45",
    "sixty one forty nine": "6149",
    "sixty one": "61",
    "sixty two": "62",
    "seventy four": "74",
    "thirty": "30",
    "sixty": "60",
    "three thousand": "3000",
    "six thousand": "6000",
}
_GENDERS: Mapping[str, Gender] = {
    **dict.fromkeys(("male", "m", "mas", "masc", "external"), Gender.MALE),
    **dict.fromkeys(("female", "fem", "f", "internal"), Gender.FEMALE),
    **dict.fromkeys(("aussen", "aussengewinde", "ag", "mâle", "macho", "maschio", "buiten"), Gender.MALE),
    **dict.fromkeys(("innen", "innengewinde", "ig", "femelle", "hembra", "femmina", "binnen"), Gender.FEMALE),
    "port": Gender.PORT,
    "stud": Gender.STUD,
}
# Words that tell it where none of those above does.
_HINTS: Mapping[str, Gender] = {
    **dict.fromkeys(("ext", "head", "spigot", "probe", "bolt", "groove"), Gender.MALE),
    **dict.fromkeys(("swivel", "nut", "int", "eye", "bore", "mutter", "überwurfmutter"), Gender.FEMALE),
    **dict.fromkeys(("tapped", "pad"), Gender.PORT),
    "plug": Gender.STUD,
}
_SIZE = r"\d+(?:[ -]\d+/\d+)?(?:/\d+)?(?:\.\d+)?"
_METRIC = re.compile(r"\bm ?(\d+(?:\.\d+)?) ?[x*] ?(\d+(?:\.\d+)?)\b")
_PIPE = re.compile(rf"\b(g|rc|rp|r|bspp|bspt|bsp|nptf|npt|npsm) ?({_SIZE})(?: ?- ?\d+(?:\.5)?)?(?![\d/])")
_AFTER = re.compile(rf"(?<![\d/])({_SIZE}) ?(?:\"|in\b|inch\b)? ?(?:- ?\d+(?:\.5)? ?)?(bspp|bspt|bsp|nptf|npt|npsm)\b")
_UNIFIED = re.compile(r"(?<![\d/])(\d+[ -]\d+/\d+|\d+/\d+|\d) ?- ?(\d{2})\b(?: ?(?:unf|unef|uns|unc|un)\b)?")
_DASH = re.compile(r"(?:\bdash ?-?|(?:(?<=\s)|^)-|#|\bsize ?-?)0?(\d{1,2})(?![\d/.])")
_TUBE = re.compile(r"\b(\d{1,2}(?:\.\d+)?) ?(?:mm )?(ll|l|s)\b|\b(ll|l|s) ?(\d{1,2}(?:\.\d+)?)\b")
_TUBE_MM = re.compile(r"\b(?:tube ?(\d{1,2}(?:\.\d+)?)|(\d{1,2}(?:\.\d+)?) ?mm(?: tube| od|$))")
_CIRCLE = re.compile(r"\bcircle (\d+)(?: mm)?")  # of the bolts of a gear pump's flange
_NOMINAL = re.compile(r"(?<![\d/.x-])(\d+[ -]\d+/\d+|\d+/\d+|\d+\.\d+|\d)(?: ?(?:\"|in\b|inch\b)|(?![\d/.x\w°-]))")
# A comma that is a decimal point: "M18x1,5", "19,3 x 2,2", "15,1 mm". Between other figures it only parts words.
_COMMA = re.compile(r"(?<=\d),(?=\d{1,2} ?(?:mm\b|[x*] ?\d))|(?<=[x*]\d),(?=\d)|(?<=[x*] \d),(?=\d)")
_DEGREE = re.compile(r"\bdeg\b")
_WORD = re.compile(r"(?<![\w/])[^\W\d_]+(?!\w)")
_RING_WORD = re.compile(r"\bo[ -]?ring\b")
_UNIFIED_TPI = frozenset({12, 14, 16, 18, 20, 24, 28})


@dataclass(frozen=True, slots=True)
class Features:
    """What was found; empty or ``None`` where nothing was. ``thread`` : system, size, and pitch in mm where said."""

    series: frozenset[str] = frozenset()
    thread: tuple[frozenset[str], Fraction, float | None] | None = None
    dash: int | None = None
    nominal: Fraction | None = None
    tube_mm: float | None = None
    gender: frozenset[Gender] = frozenset()
    o_ring: bool = False


class Reader:
    """Reads texts by the words of one catalogue."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._series = _series_words(catalogue)
        self._by_letter = _series_of_letters(catalogue)
        longest_first = sorted(self._series, key=len, reverse=True)
        self._names = re.compile(r"(?<![\w])(" + "|".join(map(re.escape, longest_first)) + r")(?![\w])")

    def features(self, text: str) -> Features:
        """The features of one text."""
        left = _Left(normalised(text))
        series: frozenset[str] = frozenset()
        words = left.text
        if match := self._names.search(left.text):
            series = self._series[match[1]]
            words = words[: match.start()] + " " + words[match.end() :]
            if not match[1].isalpha() and any(map(str.isdigit, match[1])):  # its figures are no size
                left.blank(match)
        thread = _thread(left)
        tube, lettered = _tube(left, series, self._by_letter)
        if lettered:
            series = lettered
        dash = left.take(_DASH)
        nominal = left.take(_CIRCLE) or left.take(_NOMINAL) if dash is None and tube is None else None
        return Features(
            series=series,
            thread=thread,
            dash=None if dash is None else int(dash[1]),
            nominal=None if nominal is None else _fraction(nominal[1]),
            tube_mm=tube,
            gender=_gender(set(_WORD.findall(words))),
            o_ring=_RING_WORD.search(words) is not None,
        )


class _Left:
    """A text from which what was understood is blanked out."""

    def __init__(self, text: str) -> None:
        self.text = text

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        match = pattern.search(self.text)
        if match is not None:
            self.blank(match)
        return match

    def blank(self, match: re.Match[str]) -> None:
        self.text = f"{self.text[: match.start()]} , {self.text[match.end() :]}"


def _gender(words: set[str]) -> frozenset[Gender]:
    said = frozenset(_GENDERS[word] for word in words & _GENDERS.keys())
    return said or frozenset(_HINTS[word] for word in words & _HINTS.keys())


@lru_cache(maxsize=4096)
def normalised(text: str) -> str:
    """Lower case, one space between words, one sign for times and for inches."""
    low = text.casefold().replace("×", "x").replace("”", '"').replace("″", '"').replace("''", '"').replace("–", "-")
    if "," in low:
        low = _COMMA.sub(".", low).replace(",", " , ")
    low = low.replace("°", " degree ").replace("deg.", "degree").replace(";", " , ")
    return " ".join(_DEGREE.sub("degree", low).split())


def _series_words(catalogue: Catalogue) -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for series in catalogue.series.values():
        for word in series.written:
            found.setdefault(normalised(word), set()).add(series.id)
        for words in (series.id, series.name, *series.words):
            phrase = normalised(words)
            for spelled, figures in _FIGURES.items():
                phrase = re.sub(rf"\b{spelled}\b", figures, phrase)
            for form in {phrase, phrase.replace(" degree", ""), phrase.replace("o ring", "o-ring")}:
                found.setdefault(form, set()).add(series.id)
    return {phrase: frozenset(ids) for phrase, ids in found.items()}


def _series_of_letters(catalogue: Catalogue) -> dict[str, frozenset[str]]:
    """The series that a letter beside the tube names: ``12L``."""
    found: dict[str, set[str]] = {}
    for series in catalogue.series.values():
        if series.tube_letter:
            found.setdefault(series.tube_letter, set()).add(series.id)
    return {letter: frozenset(ids) for letter, ids in found.items()}


_SYSTEMS = {
    "g": {"G"},
    "bspp": {"G"},
    "rc": {"R"},
    "r": {"R"},
    "bspt": {"R"},
    "bsp": {"G", "R"},
    "rp": {"G"},
    "npt": {"NPT"},
    "nptf": {"NPT"},
    "npsm": {"NPSM"},
}


def _thread(left: _Left) -> tuple[frozenset[str], Fraction, float | None] | None:
    """Systems, size, and pitch in mm where the text has one."""
    if match := left.take(_METRIC):
        return frozenset({"M", "M-taper"}), Fraction(match[1]), float(match[2])
    if match := left.take(_PIPE):
        return frozenset(_SYSTEMS[match[1]]), _fraction(match[2]), None
    if match := left.take(_AFTER):
        return frozenset(_SYSTEMS[match[2]]), _fraction(match[1]), None
    match = _UNIFIED.search(left.text)
    if match is not None and int(match[2]) in _UNIFIED_TPI:
        left.blank(match)
        return frozenset({"UN"}), _fraction(match[1]), 25.4 / int(match[2])
    return None


def _tube(
    left: _Left, series: frozenset[str], by_letter: Mapping[str, frozenset[str]]
) -> tuple[float | None, frozenset[str]]:
    """Tube in mm, and the series that its letter names."""
    lettered = frozenset().union(*by_letter.values())
    if (not series or series & lettered) and (match := left.take(_TUBE)):
        tube, letter = (match[1], match[2]) if match[1] else (match[4], match[3])
        return float(tube), by_letter.get(letter, frozenset())
    if match := left.take(_TUBE_MM):
        return float(match[1] or match[2]), frozenset()
    return None, frozenset()


@lru_cache(maxsize=1024)
def size_of(text: str) -> Fraction | None:
    """The number that a size is; ``None`` where it is none, as a fraction over zero."""
    try:
        return exact(text)
    except ValueError:
        return None


def _fraction(text: str) -> Fraction:
    return size_of(text) or Fraction(0)
