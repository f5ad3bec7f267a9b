"""A size that is said back of an end that is settled or very likely: "so it's the half inch", "inch and a half then".

How it works. Whoever says so measures nothing. What the end is called, or has, is a yes; of any other size it is said
what the end is, and asked what the size is of. Neither is put on record.

Duty: this. What answers an open check, and what says its measure, stays a reading.
"""

from __future__ import annotations

import re

from voicefit.dialogue import counts, standing
from voicefit.dialogue.named import as_called, it_is
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity
from voicefit.records import Certainty, Command, Meaning, Reading

_WHETHER = "why-not"
_OPENS = re.compile(
    r"(?:(?:right|ok|okay|well|ah|yeah)\W+)?(so\b)?\W*(it's|it is|its|that's|that is)?\W*\b(the|an?)?\b"
)
_THEN = re.compile(r"\bthen\W*$")


def says_back(turn: Turn, meaning: Meaning) -> bool:
    """Answer what says a size back; whether it was that."""
    end = turn.record.end_of(turn.piece)
    likely = turn.belief.leader is not None and turn.belief.advice.certainty is Certainty.LIKELY
    reading = meaning.items[-1] if meaning.items else None
    if not isinstance(reading, Reading) or (end is None and not likely) or turn.focus.question is not None:
        return False
    if not counts.ORDERS.isdisjoint(turn.before.last.did):
        return False  # "order it", "four then"
    others = [item for item in meaning.items[:-1] if not (isinstance(item, Command) and item.name == "yes")]
    sizes = [option.value for option in reading.options if not option.negated and option.certainty == 1.0]
    if others or len(reading.measurands) == 1 or len(sizes) < len(reading.options):
        return False
    if not all(isinstance(size, Quantity) for size in sizes) or not _is_said_back(turn, meaning.text, reading):
        return False
    knowledge = turn.knowledge
    row = knowledge.row_of(end) if end is not None else standing.the_end(knowledge, turn.belief)
    if row is None:
        return False
    if as_called(turn, reading)[row]:
        turn.did.append(_WHETHER)
        turn.functions[_WHETHER](turn, Command(_WHETHER, meaning.text, about=(reading,)))
        return True
    turn.say("whether-other", so=it_is(turn, row))
    number = knowledge.language.number_in(reading.heard)
    if number and knowledge.catalogue.ends[row].flange is None:
        turn.look(unplaced=number)
        turn.ask("of-what-end", said=number)
    turn.asked = True
    return True


def _is_said_back(turn: Turn, text: str, reading: Reading) -> bool:
    """Whether it is said as what follows, or as the name of one; where that is asked for, only both."""
    opens = _OPENS.match(text.casefold())
    so, is_it, article = opens.groups() if opens else (None, None, None)
    if any(check.measurand in reading.measurands for check in turn.focus.open_checks):
        return so is not None and article == "the"
    return so is not None or _THEN.search(text.casefold()) is not None or (is_it is not None and article is not None)
