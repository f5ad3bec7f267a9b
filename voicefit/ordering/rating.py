"""The pressure of several parts in a line: the lowest of them.

Duty: pick the lowest published figure and say which part it belongs to and what has no figure. It must not average and
must not fill a gap with a guess.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd
from voicefit.catalogue.ends import Figure


@dataclass(frozen=True, slots=True)
class Rating:
    """``bar`` : lowest published working pressure, ``None`` when none of the parts has one.

    ``weakest`` : id of the part it belongs to. ``figure`` : it, with its source; ``None`` for a hose.
    ``without_figure`` : ids of parts of which no pressure is published here; the line may hold less than ``bar``.
    """

    bar: float | None
    weakest: str | None
    figure: Figure | None
    without_figure: tuple[str, ...] = ()


def lowest(end: CandidateEnd) -> Figure | None:
    """The lowest working pressure published for an end: editions and conditions differ, the cautious one counts."""
    return min(end.pressure, key=lambda figure: figure.low, default=None)


def rating_of(ends: Iterable[CandidateEnd]) -> Rating:
    """The rating of ends in one line, each named once."""
    best: tuple[Figure, str] | None = None
    without: dict[str, None] = {}
    for end in ends:
        figure = lowest(end)
        if figure is None:
            without[end.id] = None
        elif best is None or figure.low < best[0].low:
            best = (figure, end.id)
    if best is None:
        return Rating(None, None, None, tuple(without))
    return Rating(best[0].low, best[1], best[0], tuple(without))
