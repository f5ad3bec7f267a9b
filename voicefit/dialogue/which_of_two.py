"""Which of two names of one thing an end has, or its mate: "what's in the nut, a cone or a flat face".

How it works. A question that offers two is answered with what the end has, whichever that is, or neither; where the
mate is named by a word of its own, with what that has. Where nothing leads, how one tells them is the answer.

Duty: this. What was offered is found in the words (:mod:`voicefit.interpretation.either`).
"""

from __future__ import annotations

import re

from voicefit.dialogue import standing
from voicefit.dialogue.turn import Turn
from voicefit.matching import explain as explanations
from voicefit.records import Command, Gender, Measurand, Option

_OFFERED = 2
_MATE = re.compile(r"\b(mate|mating|counterpart|goes on|other (half|side|part)|opposite)\b")
_CALLED = {
    Gender.MALE: re.compile(r"\b(nut|female|swivel|port|collar)\b"),
    Gender.STUD: re.compile(r"\b(port|female|hole|boss|block)\b"),
    Gender.FEMALE: re.compile(r"\b(male|stud|nipple|adapter)\b"),
    Gender.PORT: re.compile(r"\b(male|stud|nipple|adapter|plug)\b"),
}  # what is no end of that gender


def says(turn: Turn, command: Command) -> bool:
    """Answer a question that offers two names of one thing; whether it is one."""
    things = {measurand for reading in command.about for measurand in reading.measurands}
    named = [reading for reading in command.about if len(reading.measurands) == 1]
    if len(named) != _OFFERED or len(command.about) != _OFFERED or "or" not in turn.heard.casefold().split():
        return False
    settled = turn.record.end_of(turn.piece) is not None
    row = leading_row(turn) if settled or standing.leads(turn.belief) else None
    if row is None:
        turn.functions["how"](turn, Command("how", command.heard))
        return True
    knowledge, heard = turn.knowledge, command.heard.casefold()
    end, own = knowledge.catalogue.ends[row], named[0].measurands == {Measurand.GENDER}
    called = _CALLED.get(end.gender)
    of_its_mate = not own and (_MATE.search(heard) or (called is not None and called.search(heard)))
    mates = knowledge.aftercare.follow(row).mating.mates if of_its_mate else ()
    if of_its_mate and not mates:
        return False
    has = [(each, explanations.nominal(mates[0] if mates else end, each)) for each in sorted(things)]
    items = [knowledge.wording.reading(Option(each, value)) for each, value in has if value is not None]
    if not items:
        return False
    who = knowledge.names.end(mates[0] if mates else end, brief=True)
    turn.say("end-has" if settled else "end-would-have", end=who, items=", ".join(items))
    return True


def leading_row(turn: Turn) -> int | None:
    """The row of the end that is settled, or of the one that leads; ``None`` where there is neither."""
    end = turn.record.end_of(turn.piece)
    row = None if end is None else turn.knowledge.row_of(end)
    if row is not None:
        return row
    return None if turn.belief.leader is None else standing.the_end(turn.knowledge, turn.belief)
