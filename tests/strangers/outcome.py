"""What came of a sentence, in one line: readings that are new, and functions that were called.

outside_diameter 19/32 in     taken        maybe seal washer    taken with doubt
not pitch 19 tpi              denied       gone pitch           no longer on record
!order-slip                   called       ?old lump            not understood
-                             nothing of all that
"""

from __future__ import annotations

from collections.abc import Sequence

from tests.dialogue.talk import Talk
from tests.interpretation.notes import quantity
from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.quantities import Quantity

SURE = 0.75  # of probability: less is "maybe"
ANSWERS = frozenset({"yes", "no", "correct"})  # show in what is taken


def outcome(talk: Talk, before: Sequence[ReadingTaken]) -> str:
    """Of the last sentence; ``before`` : the readings before it."""
    now = talk.snapshot.readings
    known, kept = {note(each) for each in before}, {each.option.measurand for each in now}
    lines = [note(each) for each in now if note(each) not in known]
    lines += [f"gone {m}" for m in dict.fromkeys(each.option.measurand for each in before) if m not in kept]
    lines += [f"!{name}" for name in talk.snapshot.did if name not in ANSWERS]
    lines += [f"?{each.text}" for each in talk.snapshot.rejected]
    return "; ".join(lines) or "-"


def note(each: ReadingTaken) -> str:
    value = each.option.value
    said = quantity(value).split(" /")[0] if isinstance(value, Quantity) else value
    maybe = "maybe " if each.probability < SURE and isinstance(value, str) else ""
    return f"{maybe}{'not ' if each.option.negated else ''}{each.option.measurand} {said}"
