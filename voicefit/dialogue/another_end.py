"""Another end of the job, by what is said of it: the next one begun, one like the one before but for something, and
what the other end is said to be in the midst of one that is not settled.

Duty: which of these it is, and to begin or note it. It must not judge what is said.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from voicefit.dialogue import entries, hoses, pieces
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import END
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.pieces import BEGINS, OTHER, PIECE, WHAT_IT_IS
from voicefit.records import Certainty, Command, Item, Meaning, Measurand, Reading

_STATED = re.compile(r"\b(other|far|opposite)\b[^,;.]*('s|\bis|\bhas|\bgot|\bare|\btakes|\blooks)\b")
_NEXT_ONE = re.compile(r"\bnext one\b", re.IGNORECASE)
_OF_BOTH = frozenset({"both", "each", "either"})
_DIAMETERS = frozenset({Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER})
_OF_A_THREAD = _DIAMETERS | {Measurand.THREAD_SIZE, Measurand.DASH}
_SIZES = _OF_A_THREAD | {Measurand.TUBE_OUTSIDE_DIAMETER, Measurand.HEX}
_MEASURED = _SIZES | {Measurand.PITCH}  # another size has its own
_OF_ITS_SIDE = _DIAMETERS | {Measurand.SEAT_FORM, Measurand.SEAL}  # what its counterpart has otherwise
_SURE = (Certainty.LIKELY, Certainty.IDENTIFIED)


def noted_of_the_other(
    turn: Turn, meanings: Sequence[Meaning], hear: Callable[[Turn, Sequence[Meaning]], None]
) -> bool:
    """Take what the other end is said to be or have, in the midst of one that is not settled, as a note of that end,
    and go on with the one in hand; whether it was that. ``hear`` : takes what is said of the piece in hand."""
    best = max(meanings, key=lambda meaning: meaning.log_weight)
    first = next(iter(best.items), None)
    begins = isinstance(first, Command) and first.name == BEGINS and _STATED.search(best.text.casefold())
    settled = turn.record.end_of(turn.piece) is not None or turn.belief.advice.certainty in _SURE
    of_a_hose = any(piece.kind != END for piece in turn.job.pieces)  # whose ends are told one after the other
    if settled or of_a_hose or not begins or not readings_of(best):
        return False
    home = turn.job.current
    index = pieces.meant(turn, Command(PIECE, best.text, argument=OTHER))
    if index is None:
        turn.log(entries.NewPiece(piece=END))
        index = turn.job.current
        turn.log(entries.GoToPiece(piece=home))
    said = [replace(meaning, items=meaning.items[1:]) for meaning in meanings if meaning.items[:1] == (first,)]
    pieces.in_passing(turn, index, lambda: hear(turn, said))
    return True


def is_another(turn: Turn, meaning: Meaning) -> bool:
    """Whether what is said behind a "next" is of another end: it says what that is, and the one in hand is settled, or
    what it is is on record, or "next one" was said of it."""
    said = {measurand for reading in readings_of(meaning) for measurand in reading.measurands}
    known = {m for kept in turn.piece.readings for m in kept.reading.measurands}
    settled = turn.record.end_of(turn.piece) is not None
    is_said = bool(said & WHAT_IT_IS) and turn.piece.kind == END
    return is_said and (
        settled or bool(said & known & WHAT_IT_IS) or says_next_one(turn, meaning.text, meaning.items[0])
    )


def says_next_one(turn: Turn, text: str, item: Item) -> bool:
    """Whether "next one" is said where something was said of the end in hand: that is the next end, and no more to be
    asked of this one. "Next" alone leaves a question."""
    named = isinstance(item, Command) and item.heard.casefold().startswith("next")
    return named and _NEXT_ONE.search(text) is not None and turn.piece.kind == END and not turn.piece.is_empty


def is_alike_but(meaning: Meaning) -> bool:
    """Whether the other end is said to be the same but for something: "the other end is the same, but forty"."""
    same = [item for item in meaning.items if isinstance(item, Command) and item.name == "same-end"]
    said = readings_of(meaning)
    both = any(not _OF_BOTH.isdisjoint(item.heard.split()) for item in same)
    return bool(same) and bool(said) and not both and not any(map(hoses.tells_of_a_hose, said))


def alike_but(turn: Turn, readings: tuple[Reading, ...]) -> None:
    """Begin the next end as the one before it, but for what is said of it otherwise: "the same, but tube fourteen"."""
    ends = [index for index in pieces.ends_of(turn) if not turn.job.pieces[index].is_empty]
    if turn.piece.kind == END and turn.piece.is_empty and ends:
        first = turn.job.pieces[ends[-1]]
    elif ends:
        first = turn.piece if turn.piece.kind == END else turn.job.pieces[ends[-1]]
        turn.functions["other-end"](turn, Command("other-end", ""))
    else:
        return
    said = {measurand for reading in readings for measurand in reading.measurands}
    known = {measurand for kept in first.readings for measurand in kept.reading.measurands}
    another_size = bool(said & (known | _OF_A_THREAD) & _SIZES)
    left_out = said | (_MEASURED if another_size else set()) | (_OF_ITS_SIDE if Measurand.GENDER in said else set())
    for kept in first.readings:
        if left_out.isdisjoint(kept.reading.measurands):
            number = turn.record.readings_made + 1
            turn.log(entries.ReadingKept(number=number, reading=kept.reading, confirmed=kept.confirmed))
            turn.new_readings.append(number)
