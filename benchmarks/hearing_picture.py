"""What two sets of weights hear as noise grows: drawn, and as a table.

Duty: points to a picture. It must not hear.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from benchmarks.hearing_report import Outcome

SNRS_DB = (20.0, 15.0, 10.0, 5.0, 0.0)
_Z = 1.96  # 95 %
_COLOURS = ("#8a8a8a", "#0a5c8f")


@dataclass(frozen=True, slots=True)
class Point:
    """Of ``n`` utterances heard by the ``weights`` at that level of noise."""

    weights: str
    snr_db: float
    n: int
    right: int
    taken: int
    wrong_and_taken: int

    @classmethod
    def of(cls, weights: str, snr_db: float, outcomes: Sequence[Outcome]) -> Point:
        known = [each for each in outcomes if each.known]
        return cls(
            weights,
            snr_db,
            len(known),
            sum(each.right for each in known),
            sum(each.accepted for each in known),
            sum(each.accepted and not each.right for each in known),
        )


def wilson(count: int, n: int) -> tuple[float, float]:
    """The 95 % interval of a share (Wilson 1927).

    >>> [round(bound, 3) for bound in wilson(9, 10)]
    [0.596, 0.982]
    """
    share, spread = count / n, _Z * math.sqrt(count / n * (1 - count / n) / n + _Z**2 / (4 * n**2))
    middle = share + _Z**2 / (2 * n)
    return (middle - spread) / (1 + _Z**2 / n), (middle + spread) / (1 + _Z**2 / n)


def table(points: Sequence[Point]) -> str:
    """One line a point.

    >>> print(table([Point("new", 10.0, 80, 76, 60, 1)]))
    new           10 dB: right 95.0 %, taken 75.0 %, wrong and taken 1 of 80
    """
    return "\n".join(
        f"{each.weights:<13} {each.snr_db:.0f} dB: right {100 * each.right / each.n:.1f} %, "
        f"taken {100 * each.taken / each.n:.1f} %, wrong and taken {each.wrong_and_taken} of {each.n}"
        for each in points
    )


def draw(points: Sequence[Point], noise: str, target: Path) -> None:
    """Write the picture, an SVG that is the same for the same points."""
    import matplotlib

    matplotlib.use("svg")
    matplotlib.rcParams.update({"svg.hashsalt": "voicefit", "svg.fonttype": "none", "font.size": 10})
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(figsize=(7.2, 3.8), layout="constrained")
    for colour, weights in zip(_COLOURS, dict.fromkeys(each.weights for each in points), strict=True):
        own = sorted((each for each in points if each.weights == weights), key=lambda each: -each.snr_db)
        at = [each.snr_db for each in own]
        for name, counts, style in (
            ("right", [each.right for each in own], "-o"),
            ("taken without asking", [each.taken for each in own], "--s"),
        ):
            shares = [100 * count / each.n for count, each in zip(counts, own, strict=True)]
            bounds = [wilson(count, each.n) for count, each in zip(counts, own, strict=True)]
            axes.plot(at, shares, style, color=colour, label=f"{weights}: {name}", markersize=4)
            axes.fill_between(
                at, [100 * low for low, _ in bounds], [100 * high for _, high in bounds], color=colour, alpha=0.12, lw=0
            )
    axes.invert_xaxis()
    axes.set(xlabel=f"speech over noise, dB ({noise})", ylabel="of what was said, %", ylim=(0, 101))
    axes.set_xticks(sorted({each.snr_db for each in points}))
    axes.grid(alpha=0.3)
    axes.legend(loc="lower left", frameon=False)
    axes.set_title(
        f"{max(each.n for each in points)} sentences a point; bands: 95 % intervals", fontsize=9, loc="right"
    )
    figure.savefig(target, metadata={"Date": None, "Creator": None})
    pyplot.close(figure)
