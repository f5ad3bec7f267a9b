"""Where readings belong: to the end or the hose in hand, to another piece, in place of others.

Duty: the piece that readings are taken on. It must not decide whether they are taken (:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace
from itertools import islice

from voicefit.dialogue import answering, entries, hose_numbers, hoses, readback, superseding
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import END, HOSE, Kept
from voicefit.dialogue.state import Checking, Choosing, Question
from voicefit.dialogue.turn import Turn
from voicefit.ordering.hose import Topic
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Measurand, Reading, Reason, Rejection

_OUTSIDE = frozenset({Measurand.OUTSIDE_DIAMETER})
_OF_AN_END = frozenset({"thread", "threads", "crests", "male", "female", "end", "fitting", "nut", "stud"})
_FRACTIONS = (2, 4, 8, 16, 32)  # of an inch


def of_the_hose(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """What they say of a hose, where they may be of an end as well. Left out are numbers of which it was not said what
    they measure, and which no hose has: they are asked for."""
    kept = []
    for reading in readings:
        reading = hose_numbers.between_the_ends(turn, reading)
        if len(reading.measurands) > 1 and (bore := _as_bore(reading)) is not None:
            kept.append(bore)
        elif len(reading.measurands) > 1 and (hoses.tells_of_an_end(reading) or not _may_be_a_bore(turn, reading)):
            turn.rejected.append(Rejection(reading.heard, Reason.INCOMPLETE, reading.heard))
            turn.say("of-what", number=reading.heard)
        else:
            of_a_hose = tuple(option for option in reading.options if option.measurand in hoses.SAID_OF_A_HOSE)
            kept.append(replace(reading, options=of_a_hose or reading.options))
    return tuple(kept)


def with_its_bore(turn: Turn, meaning: Meaning) -> Meaning:
    """A size right beside the kind of a hose, or behind its name, is its bore, whatever is in hand: "two wire, half
    inch", "now the hose, three eighths"."""
    items = list(meaning.items)
    asked = {check.measurand for check in turn.focus.open_checks} - {Measurand.HOSE_BORE}
    for at, item in enumerate(meaning.items):
        named = isinstance(item, Command) and item.name == HOSE
        if named or (isinstance(item, Reading) and item.measurands <= hose_numbers.KINDS):
            beside = [place for place in ((at + 1,) if named else (at - 1, at + 1)) if 0 <= place < len(items)]
            bores = ((place, bore) for place in beside if (bore := _its_bore(turn, items[place], asked)) is not None)
            for place, bore in islice(bores, 1):
                items[place] = bore
    return replace(meaning, items=tuple(items))


def _its_bore(turn: Turn, reading: Item, asked: Set[Measurand]) -> Reading | None:
    """The size as a bore, where it was not said of what it is, is not of what was asked, and a hose has such a bore."""
    if not isinstance(reading, Reading) or reading.measurands == answering.DASH_OR_BORE:
        return None
    if turn.piece.kind == HOSE and not asked.isdisjoint(reading.measurands):
        return None
    bores = [
        option
        for option in reading.options
        if isinstance(option.value, Quantity) and not option.negated and answering.is_a_bore(turn, option.value)
    ]
    if len(reading.measurands) < 2 or len(set(map(superseding.worth, bores))) != 1:
        return None
    return replace(reading, options=(replace(bores[0], measurand=Measurand.HOSE_BORE, log_prior=0.0),))


def kept_for_hose(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """What is left for the piece in hand where a hose and an end of it were described in one breath: what is of the
    hose is put on record there, and said."""
    of_hose = tuple(reading for reading in readings if hoses.tells_of_a_hose(reading))
    rest = tuple(reading for reading in readings if reading not in of_hose)
    kinds = any(reading.measurands <= hose_numbers.KINDS for reading in of_hose)
    if not of_hose or not (kinds or turn.piece.kind == HOSE) or not any(map(_is_of_an_end, rest)):
        return readings
    here = turn.job.current
    there = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == HOSE]
    if turn.piece.kind != HOSE:
        turn.log(entries.GoToPiece(piece=there[-1]) if there else entries.NewPiece(piece=HOSE))
    for number in superseding.outdated(turn, of_hose):
        turn.log(entries.Dropped(number=number))
    for reading in of_hose:
        turn.log(entries.ReadingKept(number=turn.record.readings_made + 1, reading=reading))
    taken = turn.belief.taken[-len(of_hose) :]
    turn.say("on-the-hose", words=", ".join(turn.knowledge.wording.reading(each.option) for each in taken))
    if here != turn.job.current:
        turn.log(entries.GoToPiece(piece=here))
    return rest


def of_the_cover(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The readings with an outside as that of the hose's cover, where the size of the hose is asked for and nothing is
    said that only an end has."""
    outside = [r.measurands == _OUTSIDE and _OF_AN_END.isdisjoint(r.heard.casefold().split()) for r in readings]
    others = (reading for reading, its in zip(readings, outside, strict=True) if not its)
    asks_its_size = turn.piece.kind == HOSE and hoses.topic_of(turn.focus.check) is Topic.SIZE
    if not asks_its_size or any(map(hoses.tells_of_an_end, others)):
        return readings
    return tuple(_of_the_cover(reading) if its else reading for reading, its in zip(readings, outside, strict=True))


def _of_the_cover(reading: Reading) -> Reading:
    cover = Measurand.HOSE_OUTSIDE_DIAMETER
    return replace(reading, options=tuple(replace(option, measurand=cover) for option in reading.options))


def _may_be_a_bore(turn: Turn, reading: Reading) -> bool:
    """Whether a number said of nothing may be a bore, or is of something else of a hose."""
    return any(
        option.measurand is not Measurand.HOSE_BORE or answering.is_a_bore(turn, option.value)
        for option in reading.options
        if option.measurand in hoses.SAID_OF_A_HOSE and isinstance(option.value, Quantity)
    )


def _as_bore(reading: Reading) -> Reading | None:
    """A fraction of an inch, said of nothing: hoses go by their bore in such sizes, and nothing else of them does."""
    for option in reading.options:
        value = option.value
        fraction = isinstance(value, Quantity) and value.unit == "in" and value.value.denominator in _FRACTIONS
        if fraction and not option.negated:
            return replace(reading, options=(replace(option, measurand=Measurand.HOSE_BORE, log_prior=0.0),))
    return None


def is_of_its_hose(turn: Turn, readings: tuple[Reading, ...]) -> bool:
    """Whether only the bore of a hose was said, while an end is being identified: that of the hose it sits on; or what
    may be of a hose, and is a number of the end that was said before: "fifty-seven long, like I said"."""
    if turn.piece.kind == END and all(_is_said_again(turn, reading) for reading in readings):
        return True
    in_hand = turn.piece.kind == END and not turn.piece.is_empty and turn.record.end_of(turn.piece) is None
    return in_hand and all(reading.measurands == {Measurand.HOSE_BORE} for reading in readings)


def _is_said_again(turn: Turn, reading: Reading) -> bool:
    on_record = {option.value for kept in turn.piece.readings for option in kept.reading.options}
    said = {option.value for option in reading.options if isinstance(option.value, Quantity)}
    return hoses.tells_of_a_hose(reading) and not said.isdisjoint(on_record)


def turn_to_piece_of(turn: Turn, readings: tuple[Reading, ...]) -> None:
    """Readings that cannot be about the piece in hand begin another: a layline begins a hose, a thread an end. A hose
    that was named stays, though nothing is known of it yet: the end is one of its.

    A job with one hose already goes on with that one; a second is begun by name.
    """
    of_a_hose, of_an_end = (any(map(tells, readings)) for tells in (hoses.tells_of_a_hose, hoses.tells_of_an_end))
    if turn.piece.kind == END and of_a_hose and not of_an_end:
        go_to_hose(turn)
    elif turn.piece.kind == HOSE and of_an_end and not of_a_hose:
        at = _open_end(turn, readings)
        if at is None:
            begin_piece(turn, END, beside=True)
        else:
            go_to(turn, at)


def which_of_a_hose(turn: Turn, meaning: Meaning) -> Choosing | None:
    """The question what of a hose a number is, asked on the job's hose; ``None``: there is none to ask."""
    question = hose_numbers.which(turn, meaning)
    if question is not None and turn.piece.kind != HOSE and any(piece.kind == HOSE for piece in turn.job.pieces):
        go_to_hose(turn)
    return question


def go_to_hose(turn: Turn) -> None:
    """To the latest hose of the job, or to its first."""
    there = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == HOSE]
    if there:
        go_to(turn, there[-1])
    else:
        begin_piece(turn, HOSE)


def go_back(turn: Turn) -> None:
    """To the piece that was in hand before this one, where that is still there; else it is said where one is."""
    at = before(turn)
    go_to(turn, turn.job.current if at is None else at)
    turn.report = True


def before(turn: Turn) -> int | None:
    """The place of the piece of this job that was in hand before this one; ``None`` where there is none."""
    numbers = [piece.number for piece in turn.job.pieces]
    works = (work.piece.number for work in reversed(turn.record.past) if work.job.number == turn.job.number)
    return next((numbers.index(each) for each in works if each in numbers and each != turn.piece.number), None)


def go_to(turn: Turn, index: int) -> None:
    """Take a piece of the job up again, and say which; of the one in hand, that one is there."""
    if index == turn.job.current and turn.said:
        return
    if index == turn.job.current:
        words = readback.of_all(turn)
        now = ", ".join(words) if words else turn.knowledge.wording.plain("no-readings")
        turn.say("here-already", kind=turn.piece.kind, piece=turn.knowledge.wording.count(index + 1), now=now)
        return
    question = _left_for(turn, turn.job.pieces[index].kind)
    turn.log(entries.GoToPiece(piece=index))
    _arrive(turn, question)
    turn.say(f"back-to-{turn.piece.kind}", piece=turn.knowledge.wording.count(index + 1))


def _open_end(turn: Turn, readings: tuple[Reading, ...]) -> int | None:
    """Of the job, the end of which nothing was said; else the latest that is open, if what is said is new of it and
    goes with the rest."""
    ends = [(index, piece) for index, piece in enumerate(turn.job.pieces) if piece.kind == END]
    if empty := [index for index, piece in ends if piece.is_empty]:
        return empty[-1]
    if not ends or turn.record.end_of(ends[-1][1]) is not None:
        return None
    index, piece = ends[-1]
    known = {m for kept in piece.readings for m in kept.reading.measurands}
    if any(reading.measurands & known for reading in readings):
        return None
    more = tuple(Kept(-1 - number, reading) for number, reading in enumerate(readings))
    after = turn.knowledge.believe(replace(piece, readings=(*piece.readings, *more)), turn.record.without)
    return None if after.advice.contradiction else index


def leave_piece(turn: Turn) -> None:
    """What was taken of the piece in hand is read back before another is. What is being asked about is left with the
    piece that it was said of: that is said, for it is not on record."""
    readback.new(turn)
    if readings := asked_about(turn):
        turn.say("not-taken", words=", ".join(reading.heard for reading in readings))


def asked_about(turn: Turn) -> tuple[Reading, ...]:
    question = turn.focus.question
    if question is None:
        return ()
    choices = question.choices[:1] if isinstance(question, Choosing) else (question.meaning,)
    return tuple(reading for choice in choices for reading in readings_of(choice))


def _left_for(turn: Turn, kind: str) -> Question | None:
    """The question that goes along to a piece of another kind, since it is of one; any other is dropped aloud."""
    readback.new(turn)
    tells = hoses.tells_of_a_hose if kind == HOSE else hoses.tells_of_an_end
    if turn.piece.kind != kind and any(map(tells, asked_about(turn))):
        return turn.focus.question
    leave_piece(turn)
    return None


def _arrive(turn: Turn, question: Question | None) -> None:
    turn.leave(check=None, lead=None, contradiction=())
    if question is not None:
        turn.turn_to(replace(question, beneath=Checking(), replacing=()))


def speak_of_an_end(readings: tuple[Reading, ...]) -> bool:
    """Whether something that only an end has is said, and nothing that only a hose has."""
    return any(map(_is_of_an_end, readings)) and not any(map(hoses.tells_of_a_hose, readings))


def _is_of_an_end(reading: Reading) -> bool:
    """Whether it was said of what it is, and that is of an end: a bare number may be of the hose in hand."""
    return len(reading.measurands) == 1 and hoses.tells_of_an_end(reading)


def begin_piece(turn: Turn, kind: str, *, beside: bool = False) -> None:
    """Another piece of the job; a piece of which nothing was said yet becomes it. ``beside`` : that stays, too."""
    question = _left_for(turn, kind)
    place = {"job": turn.knowledge.wording.count(turn.job.number)}
    if beside or not turn.piece.is_empty:
        turn.log(entries.NewPiece(piece=kind))
        turn.say(f"new-{kind}", piece=turn.knowledge.wording.count(turn.job.current + 1), **place)
    elif turn.piece.kind != kind:
        turn.log(entries.Becomes(piece=kind))
        turn.say(f"is-{kind}")
    _arrive(turn, question)
