"""Readings: correct, drop, read back, where are we."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from voicefit.dialogue import (
    asking,
    corrections,
    counts,
    entries,
    identification,
    pieces,
    readback,
    standing,
    superseding,
    taking,
)
from voicefit.dialogue.functions import Does, orders, restoring, slip_lines
from voicefit.dialogue.state import Checking, Confirming, Correcting, Explaining
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.spelling import Style, say_quantity
from voicefit.quantities import Quantity, Unit, inches, millimetres
from voicefit.records import Certainty, Command, Context, Meaning, Measurand, Option, Reading, option_key

_SIDE_OF = {"inside": "internal", "outside": "external"}
_WORTH_NAMING = 0.2  # of the probability: what is likeliest is named to who asks, as not sure
_INCHES, _MILLIMETRES = re.compile(r"\bin (inch(es)?|imperial)\b"), re.compile(r"\bin (milli\w+|metric|mil|mm)\b")
_INCH = Fraction("25.4")  # mm
_SHOULD = re.compile(r"\b(should|ought to)\b(?P<past>( have|['’]ve)\b)?")  # "it should have been male"


def correct(turn: Turn, command: Command) -> None:
    """Replace what the new readings correct: a named value, else the last one that may have such a value."""
    number = counts.number_ordered(turn, command)
    if number is not None:
        orders.order(turn, number)
        return
    question = turn.focus.question
    if question is not None:
        turn.settle()
        taking.take(turn, command.readings, question.replacing)
        return
    if not turn.piece.readings and (should := _SHOULD.search(command.heard.casefold())):
        if should["past"]:
            turn.say("nothing-to-correct")
        else:  # what it should be, it may be
            asking.ask_sure(turn, Confirming(Meaning(command.heard, command.readings, 0.0)))
        return
    if pieces.where_it_is_corrected(turn, command):
        return
    readings, gone = corrections.replaced(turn, command.readings)
    said = {option_key(reading.options[0]) for reading in readings}  # said again, it stands in place of nothing else
    other = [old for old in gone if option_key(old.reading.options[0]) not in said]
    superseding.say_instead(turn, other, readings)
    taking.take(turn, readings, tuple(old.number for old in gone))


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
    turn.ask("correct-what-again" if again else "correct-what", old=restoring.words_of(turn, turn.piece.readings[-1]))


def was_of(turn: Turn, command: Command) -> None:
    """The latest value whose words may have been of what is named, as that: "no, the tube"."""
    words = re.findall(r"\w+", command.heard.casefold())
    side = next((side for word, side in _SIDE_OF.items() if word in words), None)
    if side is not None:  # "no, it's the inside": where it was measured
        correct(turn, replace(command, readings=(Reading(command.heard, (Option(Measurand.THREAD_SIDE, side),)),)))
        return
    named = turn.knowledge.glossary.things[command.argument or ""]
    taken = list(zip(turn.piece.readings, turn.belief.taken, strict=True))
    for kept, each in reversed(taken):
        reading = None if each.option.measurand in named else _as_one_of(turn, kept.reading, named)
        if reading is not None:
            turn.say("instead-of", old=restoring.words_of(turn, kept))
            taking.take(turn, (reading,), (kept.number,))
            return
    turn.say("nothing-of-that")


def _as_one_of(turn: Turn, reading: Reading, measurands: frozenset[Measurand]) -> Reading | None:
    """What the words of a reading mean as the answer to a question about one of these; ``None``: nothing."""
    context = Context(expected=tuple(sorted(measurands)))
    for item in turn.knowledge.language.interpret(reading.heard, context)[0].items:
        if isinstance(item, Reading) and len(item.measurands) > 1:
            options = tuple(option for option in item.options if option.measurand in measurands)
            return replace(item, options=options) if options else None
    return None


def wrong(turn: Turn, command: Command) -> None:
    """Drop the last reading, or the one of several of one thing that is named by its place, or what is being asked
    about."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
    elif not turn.piece.readings:
        turn.say("nothing-to-drop")
    else:
        restoring.drop(turn, restoring.of_its_place(turn, command.heard))


def what_do_you_have(turn: Turn, command: Command) -> None:
    words = readback.of_all(turn)
    if not words:
        turn.say("readings-none")
    else:
        turn.say("read-back", readings=", ".join(words))


def read_value(turn: Turn, command: Command) -> None:
    """One value on record, of the piece in hand, else of the latest that has it; in the unit that is named too."""
    of = turn.knowledge.glossary.things[command.argument or ""]
    for piece in (turn.piece, *reversed(turn.job.pieces)):
        options = [each.option for each in turn.knowledge.believe(piece).taken if each.option.measurand in of]
        if options:
            turn.say("read-back", readings=", ".join(map(turn.knowledge.wording.reading, options)))
            other = [each for option in options if (each := _in_other_unit(option, command.heard)) is not None]
            if other:
                turn.say("in-other-unit", value=", ".join(say_quantity(each, style=Style.FULL) for each in other))
            return
    turn.say("nothing-of-that")


def _in_other_unit(option: Option, said: str) -> Quantity | None:
    """A length in the unit that is named, to the sixteenth of an inch or the tenth of a millimetre; ``None`` where it
    is in that already."""
    value, words = option.value, said.casefold()
    if not isinstance(value, Quantity) or not value.is_length:
        return None
    if _INCHES.search(words):
        return None if value.unit is Unit.INCH else inches(Fraction(round(value.mm / _INCH * 16), 16))
    if _MILLIMETRES.search(words):
        return None if value.unit is Unit.MILLIMETRE else millimetres(Fraction(round(value.mm * 10), 10))
    return None


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
        row = standing.the_end(turn.knowledge, belief)
        turn.say("likely" if likely else "leading", end=turn.knowledge.end_words(row, brief=True))
        turn.look(lead=standing.said_as(turn, belief))
    elif belief.hose is None:
        if standing.say_common(turn):
            pass
        elif belief.parts and belief.parts[0].probability >= _WORTH_NAMING:
            turn.say("likeliest", end=turn.knowledge.end_words(belief.parts[0].row, brief=True))
        else:
            turn.say("nothing-leads")
    else:
        identification.say_hose(turn, belief.hose, again=True)
    if turn.focus.question is None:
        identification.ask(turn, on_request=True)


def decide(turn: Turn, command: Command) -> None:
    """The person decides which end it is: the one that leads, or the likeliest of the series named.

    It is recorded as such, and what no check has excluded is named once, with the check that would tell.
    """
    reads = isinstance(turn.focus.mode, Explaining) or turn.focus.listing is not None
    if reads and "rest" in command.heard.casefold().split():  # "skip the rest": of what is being read
        turn.functions["cancel"](turn, command)
        return
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
    """Drop the readings that were taken as what is named, or the latest of the value that is; behind an order, the
    line of the slip that is."""
    if counts.is_ordered(turn) and slip_lines.lines_meant(turn, command):
        slip_lines.off_slip(turn, command)
        return
    if command.readings:
        gone = [old for reading in command.readings if (old := corrections.named(turn, reading)) is not None]
    else:
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
    "was-of": was_of,
    "wrong": wrong,
    "forget": forget,
    "drop": drop,
    "what-do-you-have": what_do_you_have,
    "read-value": read_value,
    "where-are-we": where_are_we,
    "decide": decide,
}
