"""Which hose belongs to an end, and whether one that is named goes with it.

Duty: the bore that an end of its size is made for. Another bore is no plain no: there are ends with a thread of one
size and the tail for a hose of another (common practice, no source). It must not choose a hose by what it holds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue.functions import Does
from voicefit.dialogue.named import is_called
from voicefit.dialogue.subjects import subject
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.wanted import SIZES
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Gender, Measurand, Reading

_SIZES = SIZES | {Measurand.HOSE_BORE}
_SIXTEENTHS = 16  # of an inch: a dash
_NEAR_MM = 1.0  # a nominal bore is called by round millimeters


def which_hose(turn: Turn, command: Command) -> None:
    """The bore of the hose that an end of its size is made for, and how the rest of the hose is said."""
    about = subject(turn, command)
    if about is None:
        return
    hose = _hose_of(turn, turn.knowledge.catalogue.ends[about.row])
    if hose is None:
        turn.say("hose-by-other-end")
    else:
        turn.say("hose-of", hose=hose)


def says_whether(turn: Turn, row: int, named: Sequence[Reading]) -> bool:
    """Whether an end is made for the hose whose size is named, which is no end's; whether any is."""
    values = [option.value for reading in named if reading.measurands & _SIZES for option in reading.options]
    sizes = [value for value in values if isinstance(value, Quantity) and (value.is_length or value.unit is Unit.COUNT)]
    end = turn.knowledge.catalogue.ends[row]
    if not sizes:
        return False
    if (hose := _hose_of(turn, end)) is None:
        turn.say("hose-by-other-end")
    elif any(is_called(end.nominal, size) or _is_its_bore(end, size) for size in sizes):
        turn.say("goes-on", item=hose)
    else:
        turn.say("hose-of-other-bore", item=hose)
    return True


def _is_its_bore(end: CandidateEnd, size: Quantity) -> bool:
    """Whether a size is the bore of an end's hose: its dash, as many sixteenths of an inch, or its millimeters."""
    if size.unit is Unit.COUNT:
        return end.dash == size.value
    if size.unit is Unit.INCH and end.dash is not None:
        return end.dash == size.value * _SIXTEENTHS
    return end.dn is not None and abs(size.mm - end.dn) < _NEAR_MM


def _hose_of(turn: Turn, end: CandidateEnd) -> str | None:
    """The hose that an end is made for, in words; ``None`` where none goes straight on it."""
    wording = turn.knowledge.wording
    if end.gender in (Gender.PORT, Gender.STUD):
        return None
    if end.dash is not None:
        return wording.phrase("hose-dash", size=wording.count(end.dash), bore=turn.knowledge.names.size(end))
    return None if end.dn is None else wording.phrase("hose-bore", bore=wording.count(end.dn))


TABLE: Mapping[str, Does] = {"which-hose": which_hose}
