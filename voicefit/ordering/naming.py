"""Ends, hoses and sources in writing: "3/8 30° flare on parallel pipe thread, female swivel, dash 6".

Duty: names for paper and screens. It must not name anything for the ear: that is the dialogue's.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from voicefit.catalogue import CandidateEnd, Thread
from voicefit.catalogue.ends import Figure
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.rows import Source
from voicefit.catalogue.sizes import inch_text
from voicefit.quantities import MM_PER_INCH
from voicefit.records import Seal

SEALS: Mapping[Seal, str] = {
    Seal.METAL: "metal on metal",
    Seal.CONE_O_RING: "O-ring in the cone",
    Seal.FACE_O_RING: "O-ring in the face",
    Seal.BASE_O_RING: "O-ring at the base of the thread",
    Seal.WASHER: "bonded washer or captured ring",
    Seal.CUTTING_RING: "cutting ring",
    Seal.THREAD: "the taper thread itself",
    Seal.FLANGE_O_RING: "flange O-ring",
    Seal.BORE_O_RING: "O-ring in the bore",
}


def end_name(end: CandidateEnd) -> str:
    """Size first, as a counter looks it up."""
    if end.dash is None and end.tube_od_mm is not None:
        size = f"tube {end.tube_od_mm:g} mm"
    elif end.dash is None and end.flange is not None:
        size = f"bolt circle {end.nominal} mm"
    elif end.nominal == (end.thread.size if end.thread else None):
        size = "" if end.dash is None else end.nominal
    else:
        size = end.nominal
    parts = [f"{size} {end.name}".strip()]
    if end.dash is not None:
        parts.append(f"dash {end.dash}")
    if end.thread is not None:
        parts.append(thread_name(end.thread))
    return ", ".join(parts)


def thread_name(thread: Thread) -> str:
    """The designation, with the pitch where the designation does not show it: ``G3/8, 19 per inch``."""
    if thread.tpi is None or f"-{float(thread.tpi):g}" in thread.designation:
        return thread.designation
    return f"{thread.designation} ({float(thread.tpi):g} per inch)"


def seat_name(end: CandidateEnd) -> str:
    """Form and angles of the seat, both ways of counting; empty where no cone seats."""
    if end.seat_half_angle_deg is None:
        return ""
    half = end.seat_half_angle_deg
    return f"{end.seat_form.value}, {half:g}° to the axis, {2 * half:g}° included"


def hose_name(hose: Hose) -> str:
    """``EN 853 2SN, dash 8, bore 12.7 mm``."""
    return f"{hose.type.standard} {hose.type.name}, dash {hose.dash}, bore {hose.bore_mm:.1f} mm"


def length_name(mm: float) -> str:
    """A size of a hose: ``12.7 mm (1/2 in)`` where it is so many sixteenths of an inch, else ``32 mm``."""
    sixteenths = round(mm / MM_PER_INCH * 16)
    inch = f" ({inch_text(Fraction(sixteenths, 16))} in)" if abs(sixteenths * MM_PER_INCH / 16 - mm) < 0.01 else ""
    return f"{mm:.4g} mm{inch}"


def sources_name(figure: Figure, sources: Mapping[str, Source]) -> str:
    """All sources of a figure; of a span there are several. Empty where it was recalled of no book that is named."""
    editions = {figure.source: figure.edition} | dict.fromkeys(figure.more_sources, "")
    books = {key for key, source in sources.items() if source.publication}
    named = [key for key in editions if key in books or not figure.recalled]
    return ", ".join(source_name(key, editions[key], sources) for key in named)


def source_name(figure_source: str, edition: str, sources: Mapping[str, Source]) -> str:
    """A source as it is quoted: publication with edition, or title where it has no publication."""
    source = sources.get(figure_source)
    if source is None:
        return figure_source
    name = source.publication or source.title
    year = edition or (source.edition if source.publication else "")
    return f"{name}:{year}" if year and year[0].isdigit() else f"{name} {year}".strip()
