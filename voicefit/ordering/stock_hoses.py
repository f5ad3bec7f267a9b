"""Hoses by the metre on a shop's list: "2SN -8 hose", "Hose EN 856 4SP DN 20", "R2AT 1/2 hydraulic hose".

A row is a hose where it names a type, and says "hose" or names a type that nothing else is called by ("4SP"; "R2" may
be a thread). What goes on a hose is none, and an assembly is neither a hose nor an end.

Duty: from a text to a type and a size. It must not guess: what could be two hoses is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from voicefit.catalogue.hoses import Hose, HoseType
from voicefit.errors import BadInput
from voicefit.quantities import MM_PER_INCH, exact

_HOSE = re.compile(r"\b(?:hoses?|(?:hydraulik)?schlauch|tuyau|flexible|manguera|slang)\b")
_ON_A_HOSE = re.compile(
    r"\b(?:ferrules?|inserts?|sleeves?|guards?|clamps?|caps?|fittings?|couplings?|tails?|nipples?|stems?|menders?"
    r"|(?:press|schutz)?hülsen?|armatur(?:en)?|schelle)\b"
)
_ASSEMBLY = re.compile(r"\b(?:assembly|assemblies|assy|schlauchleitung)\b")
_BY_R = re.compile(r"R(\d+)")  # SAE 100R2, also "R2AT": the thin-covered R2 of older lists
_DASH = re.compile(r"(?:\bdash ?-?|(?<=\s)-|\bsize ?-?)0?(\d{1,2})(?![\d/.])")
_DN = re.compile(r"\bdn ?(\d{1,3})\b")
_INCH = re.compile(r"(?<![\d/.x-])(\d+[ -]\d+/\d+|\d+/\d+|\d)(?: ?(?:\"|in\b|inch\b)|(?![\d/.x\w°-]))")
# Two figures for one size: EN 853 and its sisters have 19, 31, 38 and 51, ISO 4397 also lists these. Common practice.
_ALSO_DN = {20: 19, 32: 31, 40: 38, 50: 51}


def hose_key(hose: Hose) -> str:
    """The part key of a hose; editions of one type are one part."""
    return f"hose/{hose.type.id}/{hose.dash}"


class HoseReader:
    """Reads texts by the hoses of one catalogue."""

    def __init__(self, hoses: Iterable[Hose]) -> None:
        self._hoses = tuple(hoses)
        types = {hose.type.id: hose.type for hose in self._hoses}
        self._names = [(kind, *_patterns(kind)) for kind in types.values()]

    def part_of(self, text: str) -> str | None:
        """The part key of a hose; ``None`` where the text, normalised, is of no hose.

        Raises ``BadInput`` with the reason where it is of one and does not tell which.
        """
        says_hose = _HOSE.search(text) is not None
        named = [(kind, match) for kind, _, plain in self._names if (match := plain.search(text))]
        standard = [(kind, match) for kind, whole, _ in self._names if (match := whole.search(text))]
        found = standard or named
        if not found or _ON_A_HOSE.search(text):
            return None
        if not says_hose and not standard and any(_BY_R.fullmatch(kind.name) for kind, _ in found):
            return None
        if _ASSEMBLY.search(text):
            raise BadInput("an assembly with its ends, not a hose by the metre")
        kinds = {kind.id: kind for kind, _ in found}
        if len(kinds) > 1:
            raise BadInput("could be " + " or ".join(f"{kind.standard} {kind.name}" for kind in kinds.values()))
        ((kind_id, kind),) = kinds.items()
        match = found[0][1]
        dash = self._dash(text[: match.start()] + " " + text[match.end() :], kind)
        return f"hose/{kind_id}/{dash}"

    def _dash(self, text: str, kind: HoseType) -> int:
        """The size in sixteenths, by dash, DN or inches."""
        sizes = [hose for hose in self._hoses if hose.type.id == kind.id]
        if match := _DASH.search(text):
            said, fits = f"dash {match[1]}", {hose.dash for hose in sizes if hose.dash == int(match[1])}
        elif match := _DN.search(text):
            dn = _ALSO_DN.get(int(match[1]), int(match[1]))
            said = f"DN {match[1]}"
            named = {hose.dash for hose in self._hoses if hose.dn == dn}  # some standards leave it out
            fits = {hose.dash for hose in sizes if hose.dash in named}
        elif match := _INCH.search(text):
            bore_mm = float(exact(match[1]) * MM_PER_INCH)
            said, fits = f"size {match[1]}", {hose.dash for hose in sizes if abs(hose.bore_mm - bore_mm) < 0.1}
        else:
            raise BadInput("no size given")
        if len(fits) != 1:
            raise BadInput(f"no {said} in {kind.standard} {kind.name}")
        return fits.pop()


def _patterns(kind: HoseType) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """A type's name with its standard, and alone."""
    name = re.escape(kind.name.casefold()).replace(r"\ ", "[ -]?")
    standard = re.escape(kind.standard.casefold()).replace(r"\ ", " ?")
    if match := _BY_R.fullmatch(kind.name):
        name = rf"r ?{match[1]}(?: ?at|a|s)?"
        if kind.standard.endswith("R"):
            return re.compile(rf"\b(?:sae )?(?:j517 )?100 ?(?:r )?{name}\b"), re.compile(rf"\b{name}(?!\w)")
    return re.compile(rf"\b(?:din )?{standard}[ -]{name}\b"), re.compile(rf"\b{name}(?!\w)")
