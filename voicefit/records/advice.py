"""What to do next: a check, and what the posterior advises."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from voicefit.quantities import Quantity
from voicefit.records.meanings import Option
from voicefit.records.measurands import Measurand


@dataclass(frozen=True, slots=True)
class Check:
    """A thing the person can do next. Its words live in ``grammar/checks.toml`` under ``id``.

    ``slots`` : values for the words ("leaf": 19 tpi). ``yes``/``no`` : what those answers mean as evidence;
    both ``None`` for a check that is answered by a value.
    """

    id: str
    measurand: Measurand
    time_s: float
    slots: Mapping[str, Quantity | str] = field(default_factory=dict)
    yes: Option | None = None
    no: Option | None = None
    information_bit: float = 0.0  # expected, over the decision


class Certainty(StrEnum):
    """How sure the identification is. Values appear in the public JSON."""

    OPEN = "open"  # nothing leads
    LEADING = "leading"  # one part leads
    LIKELY = "likely"  # it is right nine times in ten or better
    IDENTIFIED = "identified"  # to conclude is worth more than any further check


@dataclass(frozen=True, slots=True)
class Advice:
    """What to say next about the identification. Ends are rows of the catalogue, readings are indices.

    ``checks`` : what may be asked next in one breath, ``check`` first; a second stands there where it is worth asking
    whatever the first says. Empty when no check is left or it is identified.
    ``again`` : ``check`` was answered before; it is asked once more because the readings of ``contradiction`` do not go
    together.
    ``variants`` : the ends of the leading part that the readings do not tell apart and that seal differently, the
    likeliest first: one where the readings say which, empty where nothing leads.
    ``look_alikes`` : the likeliest end of every part that is not excluded, the likeliest first, without the leader's;
    ``grave`` : those of them that, taken for the leader, would hold at idle and let go.
    ``standoff`` : two ends that no possible check separates.
    ``contradiction`` : the one or two readings that spoil it, where all together fit no end at their word; or of those
    that speak for the leading part and those that speak for its rival one each, where one of them is asked once more.
    """

    checks: tuple[Check, ...] = ()
    certainty: Certainty = Certainty.OPEN
    again: bool = False
    nothing_fits: bool = False
    variants: tuple[int, ...] = ()
    look_alikes: tuple[int, ...] = ()
    grave: tuple[int, ...] = ()
    standoff: tuple[int, int] | None = None
    contradiction: tuple[int, ...] = ()

    @property
    def check(self) -> Check | None:
        """The next check; ``None`` when no check is left or it is identified."""
        return self.checks[0] if self.checks else None

    @property
    def identified(self) -> bool:
        """Whether the checks that were made conclude it."""
        return self.certainty is Certainty.IDENTIFIED
