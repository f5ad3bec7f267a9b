"""Readings: correct, drop, read back, where are we."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import entries, identification, readback, standing, taking
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import Kept
from voicefit.dialogue.state import Checking, Correcting
from voicefit.dialogue.turn import Turn
from voicefit.records import Certainty, Command, Measurand, Reading

_SIDES = {"external": Measurand.OUTSIDE_DIAMETER, "internal": Measurand.INSIDE_DIAMETER}
_OTHER_SIDE = {
    Measurand.OUTSIDE_DIAMETER: Measurand.INSIDE_DIAMETER,
    Measurand.INSIDE_DIAMETER: Measurand.OUTSIDE_DIAMETER,
}


def correct(turn: Turn, command: Command) -> None:
    """Replace what the new readings correct: a named value, else the last one that may have such a value."""
    question = turn.focus.question
    if question is not None:
        turn.settle()
        taking.take(turn, command.readings, question.replacing)
        return
    left = list(turn.piece.readings)
    readings, replaced, words = [], [], []
    for reading in command.readings:
        old = _corrected(turn, left, reading)
        if old is not None:
            left.remove(old)
            replaced.append(old.number)
            words.append(_words(turn, old))
            reading = _on_its_side(reading, old.reading) or _in_its_place(reading, old.reading)
        readings.append(reading)
    if words and not turn.settings.short:
        turn.say("instead-of", old=", ".join(words))
    taking.take(turn, tuple(readings), tuple(replaced))


def correction(turn: Turn, command: Command) -> None:
    """The value that comes next replaces the last one; what is being asked about is dropped."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
    elif not turn.piece.readings:
        turn.say("nothing-to-correct")
    else:
        turn.leave()
        turn.turn_to(Correcting())
        ask_value(turn)


def ask_value(turn: Turn) -> None:
    """Which value replaces the last one."""
    again = isinstance(turn.before.focus.mode, Correcting)
    turn.ask("correct-what-again" if again else "correct-what", old=_words(turn, turn.piece.readings[-1]))


def _corrected(turn: Turn, left: list[Kept], reading: Reading) -> Kept | None:
    """The latest reading taken as a measurand of the new one, else the latest that may be such a one."""
    taken = {kept.number: t.option.measurand for kept, t in zip(turn.piece.readings, turn.belief.taken, strict=True)}
    for kept in reversed(left):
        if taken[kept.number] in reading.measurands:
            return kept
    for kept in reversed(left):
        if kept.reading.measurands & reading.measurands:
            return kept
    side = _side(reading)
    if side is not None:
        return next((kept for kept in reversed(left) if kept.reading.measurands == {_OTHER_SIDE[side]}), None)
    return None


def _side(reading: Reading) -> Measurand | None:
    """The diameter of the side that a reading says, and nothing else: "no, inside"."""
    sides = {
        _SIDES.get(str(o.value)) for o in reading.options if o.measurand is Measurand.THREAD_SIDE and not o.negated
    }
    return sides.pop() if len(sides) == 1 and reading.measurands == {Measurand.THREAD_SIDE} else None


def _on_its_side(reading: Reading, old: Reading) -> Reading | None:
    """What was measured on one side, taken on the other: its value stays."""
    side = _side(reading)
    if side is None or old.measurands != {_OTHER_SIDE[side]}:
        return None
    return replace(old, heard=reading.heard, options=tuple(replace(o, measurand=side) for o in old.options), asked=None)


def _in_its_place(reading: Reading, old: Reading) -> Reading:
    """The new reading, held to what the old one may have been, and to the check it answered."""
    options = tuple(option for option in reading.options if option.measurand in old.measurands)
    return replace(reading, options=options or reading.options, asked=old.asked)


def wrong(turn: Turn, command: Command) -> None:
    """Drop the last reading, or what is being asked about."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
        return
    if not turn.piece.readings:
        turn.say("nothing-to-drop")
        return
    last = turn.piece.readings[-1]
    words = _words(turn, last)
    turn.log(entries.Dropped(number=last.number))
    turn.say("dropped", reading=words)
    turn.report = True


def _words(turn: Turn, kept: Kept) -> str:
    taken = dict(zip((k.number for k in turn.piece.readings), turn.belief.taken, strict=True))[kept.number]
    return turn.knowledge.wording.reading(taken.option)


def what_do_you_have(turn: Turn, command: Command) -> None:
    words = readback.of_all(turn)
    if not words:
        turn.say("readings-none")
    else:
        turn.say("read-back", readings=", ".join(words))


def where_are_we(turn: Turn, command: Command) -> None:
    """Which job and piece, where there are several; what leads, how sure; what is missing, last."""
    wording, job, belief = turn.knowledge.wording, turn.job, turn.belief
    if len(turn.record.work.jobs) > 1 or len(job.pieces) > 1:
        turn.say("place", job=wording.count(job.number), piece=wording.count(job.current + 1))
    settled = turn.knowledge.row_of(turn.record.end_of(turn.piece) or "")
    if settled is not None:
        by = "decided-is" if turn.piece.decided is not None else "still-identified"
        turn.say(by, end=turn.knowledge.end_words(settled))
    elif turn.piece.is_empty:
        turn.say("readings-none")
    elif belief.leader is not None and standing.leads(belief):
        likely = belief.advice.certainty is Certainty.LIKELY
        turn.say("likely" if likely else "leading", end=turn.knowledge.end_words(belief.leader.row, brief=True))
        turn.look(lead=standing.said_as(belief))
    elif belief.hose is None:
        turn.say("nothing-leads")
    if turn.focus.question is None:
        identification.ask(turn, on_request=True)


def decide(turn: Turn, command: Command) -> None:
    """The person decides which end it is: the one that leads, or the likeliest of the series named.

    It is recorded as such, and what no check has excluded is named once, with the check that would tell.
    """
    row = _decided_row(turn, command.argument)
    if row is None:
        return
    knowledge, belief = turn.knowledge, turn.belief
    end = knowledge.catalogue.ends[row]
    if turn.record.end_of(turn.piece) == end.id:
        turn.say("decided-already", end=knowledge.end_words(row, brief=True))
        return
    rows = (*(part.row for part in belief.parts[:1]), *belief.advice.look_alikes)
    others = [other for other in rows if knowledge.catalogue.ends[other].part != end.part]
    tells = None if not others else knowledge.separating(turn.piece, row, others[0])
    turn.log(entries.Decided(end=end.id, look_alikes=tuple(knowledge.catalogue.ends[each].id for each in others)))
    turn.leave(check=None, beside=())
    if others:
        turn.say(
            "decided-beside",
            end=knowledge.end_words(row, brief=True),
            other=knowledge.end_words(others[0], brief=True),
        )
    else:
        turn.say("decided", end=knowledge.end_words(row, brief=True))
    if tells is not None:
        turn.say("decided-tells", prompt=knowledge.prompt(tells))
    turn.caution("maker")


def _decided_row(turn: Turn, series: str | None) -> int | None:
    """Row of the end that is meant; where none is, that is said."""
    belief = turn.belief
    if belief.hose is not None or not turn.piece.readings or belief.leader is None:
        turn.say("decide-nothing")
        return None
    if series is None and not standing.leads(belief):
        turn.say("decide-nothing")
        return None
    if series is None:
        return standing.the_end(turn.knowledge, belief)
    row = turn.knowledge.likeliest_of(belief, series)
    if row is None:
        turn.say("decide-unknown", series=turn.knowledge.series_words(series) or series)
    return row


def forget(turn: Turn, command: Command) -> None:
    """What is being asked or explained is left; else the last turn is taken back."""
    if not isinstance(turn.focus.mode, Checking) or turn.focus.listing is not None:
        turn.functions["cancel"](turn, command)
    else:
        turn.functions["undo"](turn, command)


def drop(turn: Turn, command: Command) -> None:
    """Drop the readings that were taken as what is named."""
    of = turn.knowledge.glossary.things[command.argument or ""]
    taken = zip(turn.piece.readings, turn.belief.taken, strict=True)
    gone = [(kept, reading.option) for kept, reading in taken if reading.option.measurand in of]
    if not gone:
        turn.say("nothing-of-that")
        return
    words = ", ".join(dict.fromkeys(turn.knowledge.wording.reading(option) for _, option in gone))
    for kept, _ in gone:
        turn.log(entries.Dropped(number=kept.number))
    turn.say("dropped", reading=words)
    turn.report = True


TABLE: Mapping[str, Does] = {
    "correct": correct,
    "correction": correction,
    "wrong": wrong,
    "forget": forget,
    "drop": drop,
    "what-do-you-have": what_do_you_have,
    "where-are-we": where_are_we,
    "decide": decide,
}
