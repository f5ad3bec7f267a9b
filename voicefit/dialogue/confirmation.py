"""The confirmation policy: what was heard so surely, with so much hanging on it, is taken, asked about or refused.

Every reading is read back in the reply to it; this decides what happens before. All numbers are in
``data/confirmation.toml``; ``share`` is the part of the weight of all that may have been said, 1 being all of it:

    risk         what hangs on it                                       taken from    else
    ----------   ----------------------------------------------------   -----------   ------------------------------
    URGENT       somebody may be hurt                                   ``urgent``
    HARMLESS     a command that changes nothing                         ``harmless``
    PLAIN        a value that leaves the conclusion open; a command     ``plain``     two that differ in one thing
    COSTLY       a command that costs something to take back            ``costly``    and together have ``offer``:
    DECIDING     a value that concludes, or overturns a settled leader  ``deciding``  "fifteen, or fifty?"; one that
    FOR_GOOD     what cannot be undone                                  never         has ``ask``: "...: right?";
                                                                                      else "say it again"

An answer to such a question is taken for one of what was offered when it has ``same_answer`` of the offered weight and
``ask`` of all. What the engine itself doubted is offered from ``engine_from`` on, never taken: it counts
``engine_at_most``. What it wrote beside its constraint counts ``engine_freely``, enough for what is harmless: of
ordinary sentences nine in ten are right, also beside a running tap; of talk among people one in five is a command.

What is asked about stays open while something else is said, and is asked once more behind that. Passed over again:

    risk         what was asked about                                   becomes
    ----------   ----------------------------------------------------   -------------------------------------------
    PLAIN        a value that was said in words                         taken as perhaps so, with ``passed_over``
    PLAIN        a value that was guessed at                            dropped, and said to be
    any other    a value; a command                                     dropped, a value said to be

Duty: thresholds and judgements. It must not word anything, and must not know how a share came about.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from fractions import Fraction
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from voicefit import toml_data
from voicefit.quantities import Quantity, Unit
from voicefit.records import Measurand, Option

FILE = "confirmation.toml"
Share = Annotated[float, Field(gt=0, le=1)]


class Risk(StrEnum):
    """What hangs on taking something that may not have been said."""

    URGENT = "urgent"
    HARMLESS = "harmless"
    PLAIN = "plain"
    COSTLY = "costly"
    DECIDING = "deciding"
    FOR_GOOD = "for_good"


class Outcome(StrEnum):
    TAKE = "take"
    CHOOSE = "choose"  # ask which of two
    CONFIRM = "confirm"  # ask whether it was this
    REFUSE = "refuse"


class Policy(BaseModel):
    """The numbers; see the head of this file. ``rival`` : a second is offered where it is not so many times less
    likely than the first. ``keep`` : an alternative under this share of the one taken is not carried on. ``settled`` :
    a part with this probability is a leader that a value can overturn. ``passed_over`` : how sure it is of a value that
    nobody denied."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    urgent: Share
    harmless: Share
    plain: Share
    costly: Share
    deciding: Share
    offer: Share
    rival: Annotated[float, Field(gt=1)]
    ask: Share
    keep: Share
    same_answer: Share
    settled: Share
    passed_over: Share
    engine_from: Share
    engine_at_most: Share
    engine_freely: Share

    def outcome(self, share: float, rival: float, risk: Risk) -> Outcome:
        """What becomes of the likeliest, whose comparable rival has the share ``rival`` (0: there is none)."""
        if risk is not Risk.FOR_GOOD and share >= self.taken_from(risk):
            return Outcome.TAKE
        if rival > 0 and share + rival >= self.offer and rival >= share / self.rival:
            return Outcome.CHOOSE
        return Outcome.CONFIRM if share >= self.ask else Outcome.REFUSE

    def taken_from(self, risk: Risk) -> float:
        """The share from which something of that risk is taken without asking."""
        return 1.0 if risk is Risk.FOR_GOOD else float(getattr(self, risk.value))

    def doubted(self, confidence: float) -> float:
        """The share that the engine's best counts where the engine refused it for want of confidence; 0: none."""
        return min(confidence, self.engine_at_most) if confidence >= self.engine_from else 0.0

    def passed_over_as(self, risk: Risk, *, guessed: bool) -> float:
        """How surely a value is taken that was asked about twice and passed over; 0: it is dropped."""
        return self.passed_over if risk is Risk.PLAIN and not guessed else 0.0

    def answers(self, share: float, all_shares: float) -> bool:
        """Whether an answer with this share, of all that were offered, is taken for the one offered."""
        return share >= self.ask and share >= self.same_answer * all_shares


def load_policy(texts: Mapping[str, str]) -> Policy:
    """The policy of ``confirmation.toml`` among the texts of ``data/``. Raises ``BadTable`` naming file and entry."""
    return toml_data.read(texts, FILE, Policy)


_SPOKEN_AS_MEASURED = frozenset({Unit.MILLIMETRE, Unit.METRE, Unit.BAR, Unit.CELSIUS, Unit.FAHRENHEIT})


def confusable(option: Option) -> bool:
    """Whether the value holds a number that sounds like another which is as possible: fifteen and fifty.

    Gauge leaves, seat angles and fractions of an inch do not count: their rivals (ninety pitch, thirteen degrees,
    thirty sixteenths) do not exist.

    >>> from voicefit.quantities import inches, millimetres
    >>> confusable(Option(Measurand.OUTSIDE_DIAMETER, millimetres("15")))
    True
    >>> confusable(Option(Measurand.OUTSIDE_DIAMETER, inches("13/16")))
    False
    """
    value = option.value
    if not isinstance(value, Quantity) or option.negated:
        return False
    measured = value.unit in _SPOKEN_AS_MEASURED or option.measurand in (Measurand.ELBOW_ANGLE, Measurand.ROUTE_BEND)
    return measured and option.measurand is not Measurand.PITCH and teen_or_ten(value.value)


def teen_or_ten(number: Fraction) -> bool:
    """Whether the whole part, below a hundred, is said with -teen or as a bare -ty.

    >>> [n for n in (12, 13, 19, 20, 30, 35, 90, 115, 150) if teen_or_ten(Fraction(n))]
    [13, 19, 30, 90, 115, 150]
    """
    last_two = int(abs(number)) % 100
    return 13 <= last_two <= 19 or (last_two % 10 == 0 and 30 <= last_two <= 90)
