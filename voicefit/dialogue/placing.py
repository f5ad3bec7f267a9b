"""Where readings belong: to the end or the hose in hand, to another piece, in place of others.

Duty: the piece that readings are taken on. It must not decide whether they are taken (:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import entries, hoses
from voicefit.dialogue.record import END, HOSE
from voicefit.dialogue.turn import Turn
from voicefit.records import Reading, Reason, Rejection


def of_the_hose(turn: Turn, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """What they say of a hose, where they may be of an end as well. Left out are numbers of which it was not said what
    they measure, and which no hose has: they are asked for."""
    kept = []
    for reading in readings:
        if len(reading.measurands) > 1 and hoses.tells_of_an_end(reading):
            turn.rejected.append(Rejection(reading.heard, Reason.INCOMPLETE, reading.heard))
            turn.say("of-what", number=reading.heard)
        else:
            of_a_hose = tuple(option for option in reading.options if option.measurand in hoses.SAID_OF_A_HOSE)
            kept.append(replace(reading, options=of_a_hose or reading.options))
    return tuple(kept)


def outdated(turn: Turn, readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """Readings of a hose in whose place others come: it has one length, and temperatures from and to. It is said."""
    if turn.piece.kind != HOSE:
        return ()
    new = {reading.measurands: reading for reading in readings if reading.measurands <= hoses.ONE_VALUE}
    taken = dict(zip((kept.number for kept in turn.piece.readings), turn.belief.taken, strict=True))
    old = [kept for kept in turn.piece.readings if kept.reading.measurands in new]
    wording = turn.knowledge.wording
    words = [
        wording.reading(taken[kept.number].option)
        for kept in old
        if kept.reading.options[0].value != new[kept.reading.measurands].options[0].value
    ]
    if words and not turn.settings.short:
        turn.say("instead-of", old=", ".join(words))
    return tuple(kept.number for kept in old)


def turn_to_piece_of(turn: Turn, readings: tuple[Reading, ...]) -> None:
    """Readings that cannot be about the piece in hand begin another: a layline begins a hose, a thread an end.

    A job with one hose already goes on with that one; a second is begun by name.
    """
    of_a_hose, of_an_end = (any(map(tells, readings)) for tells in (hoses.tells_of_a_hose, hoses.tells_of_an_end))
    if turn.piece.kind == END and of_a_hose and not of_an_end:
        there = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == HOSE]
        if len(there) == 1:
            turn.log(entries.GoToPiece(piece=there[0]))
            turn.leave(check=None, lead=None, contradiction=())
            turn.say("back-to-hose", piece=turn.knowledge.wording.count(there[0] + 1))
        else:
            begin_piece(turn, HOSE)
    elif turn.piece.kind == HOSE and of_an_end and not of_a_hose:
        begin_piece(turn, END)


def begin_piece(turn: Turn, kind: str) -> None:
    """Another piece of the job; a piece of which nothing was said yet becomes it."""
    place = {"job": turn.knowledge.wording.count(turn.job.number)}
    if not turn.piece.is_empty:
        turn.log(entries.NewPiece(piece=kind))
        turn.say(f"new-{kind}", piece=turn.knowledge.wording.count(turn.job.current + 1), **place)
    elif turn.piece.kind != kind:
        turn.log(entries.Becomes(piece=kind))
        turn.say(f"is-{kind}")
    turn.leave(check=None, lead=None, contradiction=())
