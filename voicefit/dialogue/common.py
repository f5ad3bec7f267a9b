"""What the ends that are still possible have in common, where none of them leads: series and size, or the thread.

A head and a face of one flange size, or four ends on one thread, share what the person asks for first; who says only
that too many still fit keeps back what is known.

Duty: find it in a belief. It must not word it, and must not match.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from voicefit.catalogue import CandidateEnd, Thread
from voicefit.dialogue.names import BRITISH_PIPE
from voicefit.dialogue.snapshot import Belief, Part

SHARED = 0.9  # of the probability; as much as a part needs to be called very likely
Of = TypeVar("Of")


def series_and_size(ends: Sequence[CandidateEnd], belief: Belief) -> Part | None:
    """The likeliest of the parts of one series and size that have nearly all of it between them."""
    shared = _shared(ends, belief, lambda end: (end.series, end.nominal))
    return belief.leader if shared is not None else None


def thread(ends: Sequence[CandidateEnd], belief: Belief) -> Thread | None:
    """The thread that nearly all have, parallel or tapered; as the likeliest of them has it."""
    shared = _shared(ends, belief, lambda end: None if end.thread is None else _key(end.thread))
    return ends[belief.parts[0].row].thread if shared is not None else None


def _key(of: Thread) -> tuple[str, str, float]:
    return ("British" if of.system in BRITISH_PIPE else of.system, str(of.size), of.pitch_mm)


def _shared(ends: Sequence[CandidateEnd], belief: Belief, what: Callable[[CandidateEnd], Of | None]) -> Of | None:
    """What the likeliest part is or has, where those that share it have nearly all of the probability."""
    if not belief.parts:
        return None
    first = what(ends[belief.parts[0].row])
    share = sum(part.probability for part in belief.parts if what(ends[part.row]) == first)
    return first if first is not None and share >= SHARED else None
