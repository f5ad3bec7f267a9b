"""Pieces of the job by their names: to be taken up, begun, asked about in passing, removed.

What is asked of a piece that is not in hand, and what is corrected there, is done in passing: the piece is named, and
then it goes on with the one in hand. What is told of it takes it up; a piece that is not there yet is begun by what is
told of it, and by nothing else.

Duty: which piece is meant, and the way there and back. It must not judge what is said of it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from voicefit.dialogue import asking, entries, identification, placing, readback, standing
from voicefit.dialogue.meanings import weigh
from voicefit.dialogue.record import END, HOSE, Work
from voicefit.dialogue.state import Checking, Confirming
from voicefit.dialogue.turn import Turn
from voicefit.dialogue.undoing import differences
from voicefit.interpretation.pieces import BOTH, NUMBERS, OTHER, PIECE
from voicefit.records import Command, Item, Meaning, Reading

_SAID_AS = {
    "swivel": {"female"},
    "nut": {"female"},
    "flange": {"flange", "flange61", "flange62"},
    "bolts": {"flange", "flange61", "flange62"},
}


def said_of_pieces(turn: Turn, meanings: Sequence[Meaning], hear: Callable[[Turn, Sequence[Meaning]], None]) -> bool:
    """Take what is said of each piece that is named, in its order, as if it were said by itself of that piece; whether
    any is. ``hear`` : takes what is said of the piece in hand."""
    best = max(meanings, key=lambda meaning: meaning.log_weight)
    names = _names(best)
    if not names or len(best.items) == 1:
        return False
    alike = [meaning for meaning in meanings if _names(meaning) == names]
    shares = weigh(meanings, lambda alternatives: [0.0] * len(alternatives))
    if sum(share for meaning, share in shares if meaning in alike) < turn.knowledge.policy.costly:
        asking.ask_sure(turn, Confirming(best))
        return True
    for at, (name, _) in enumerate(_parts(best)):
        said = [replace(meaning, items=_parts(meaning)[at][1]) for meaning in alike]
        first = said[alike.index(best)]
        if name is None and first.items:
            hear(turn, said)
        elif name is not None:
            tells = not first.items or any(isinstance(item, Reading) for item in first.items)
            take_up(turn, name, tells=tells, say=partial(hear, turn, said) if first.items else lambda: None)
    turn.heard = best.text
    return True


def _names(meaning: Meaning) -> tuple[str | None, ...]:
    return tuple(name.argument for name, _ in _parts(meaning) if name is not None)


def _parts(meaning: Meaning) -> list[tuple[Command | None, tuple[Item, ...]]]:
    """The items said of each piece that is named, with its name; before the first name, those of the one in hand."""
    found: list[tuple[Command | None, tuple[Item, ...]]] = [(None, ())]
    for item in meaning.items:
        if isinstance(item, Command) and item.name == PIECE:
            found.append((item, ()))
        else:
            found[-1] = (found[-1][0], (*found[-1][1], item))
    return found


def take_up(turn: Turn, command: Command, *, tells: bool, say: Callable[[], None]) -> None:
    """Do what is said of the piece that a command names. ``tells`` : readings of it are said, and not corrected.
    ``say`` : does it, on the piece that is then in hand."""
    if command.argument == BOTH and len(ends_of(turn)) == 1 and turn.piece.kind == END:
        say()
        return
    if command.argument == BOTH:
        home = turn.job.current
        for end in ends_of(turn):
            in_passing(turn, end, say, named=True)
        turn.report = turn.report and turn.job.current == home
        return
    index = meant(turn, command)
    if index is None:
        begun = begin(turn, command) if tells else False
        if not begun:
            _say_none(turn, command)
            return
        say()
    elif tells or index == turn.job.current:
        if index != turn.job.current:
            placing.go_to(turn, index)
        elif not tells and len(turn.job.pieces) > 1:
            _name(turn, index)
        say()
    else:
        in_passing(turn, index, say)


def begin(turn: Turn, command: Command) -> bool:
    """Begin the piece of that name, where it is the next one."""
    ends = ends_of(turn)
    if command.argument not in (OTHER, str(len(ends) + 1), str(len(turn.job.pieces) + 1)):
        return False
    turn.functions["other-end" if ends else "one-end"](turn, command)
    return True


def meant(turn: Turn, command: Command) -> int | None:
    """The place of the piece in the job: a "piece" by its number among all, an end among the ends."""
    ends = ends_of(turn)
    if command.argument == OTHER:
        others = [index for index in ends if index != turn.job.current]
        return others[-1] if others and len(ends) > 1 else None
    if command.argument and not command.argument.isdecimal():
        return _of_kind(turn, command.argument)
    number = int(command.argument or 0)
    places = list(range(len(turn.job.pieces))) if PIECE in command.heard.split() else ends
    return places[number - 1] if 1 <= number <= len(places) else None


def _of_kind(turn: Turn, kind: str) -> int:
    """The place of the end that is of that kind, by what was said of it: "the swivel"; the piece in hand where none is,
    or that is one of several."""
    words = _SAID_AS.get(kind, {kind})
    found = [
        index
        for index in ends_of(turn)
        if any(
            (option.value in words and not option.negated) or kind in kept.reading.heard.casefold().split()
            for kept in turn.job.pieces[index].readings
            for option in kept.reading.options[:1]
        )
    ]
    return turn.job.current if turn.job.current in found or not found else found[-1]


def ends_of(turn: Turn) -> list[int]:
    return [index for index, piece in enumerate(turn.job.pieces) if piece.kind == END]


def _name(turn: Turn, index: int) -> None:
    kind = turn.knowledge.wording.plain(turn.job.pieces[index].kind)
    turn.say("of-piece", kind=kind, piece=turn.knowledge.wording.count(index + 1))


def _say_none(turn: Turn, command: Command) -> None:
    if command.argument and command.argument.isdecimal():
        turn.say("no-such-piece", number=turn.knowledge.wording.count(int(command.argument)))
    else:
        turn.say("no-such-end")
    identification.ask(turn)


def in_passing(turn: Turn, index: int, say: Callable[[], None], *, named: bool = False) -> None:
    """Do it on another piece, and go on with the one in hand; where that leaves something to be answered, one stays
    there."""
    home, before, focus, report = turn.job.current, turn.record.work, turn.focus, turn.report
    if index == home:
        if named:
            _name(turn, index)
        say()
        return
    readback.new(turn)
    asked = ", ".join(reading.heard for reading in placing.asked_about(turn))
    turn.log(entries.GoToPiece(piece=index))
    turn.leave(check=None, beside=(), lead=None, contradiction=())
    _name(turn, index)
    turn.report = False
    say()
    changed = _but_for_place(turn.record.work) != _but_for_place(before)
    if not isinstance(turn.focus.mode, Checking) or len(turn.job.pieces) != len(before.job.pieces):
        if asked:
            turn.say("not-taken", words=asked)
        return
    if turn.report:
        readback.new(turn)
        readback.changed(turn)
        standing.say(turn)
    turn.unask()
    turn.log(entries.GoToPiece(piece=home))
    listing = turn.focus.listing
    turn.focus = replace(focus, listing=listing, asked=turn.focus.asked)
    turn.report = report
    if changed:
        turn.say(f"back-to-{turn.piece.kind}", piece=turn.knowledge.wording.count(home + 1))
        identification.ask(turn, on_request=True)


def where_it_is_corrected(turn: Turn, command: Command) -> bool:
    """Correct on the piece that was in hand before, where nothing is said of the one in hand yet and the other has what
    the correction is of; whether it was done there."""
    at = placing.before(turn)
    if not turn.piece.is_empty or at is None:
        return False
    known = {m for kept in turn.job.pieces[at].readings for m in kept.reading.measurands}
    if not any(reading.measurands & known for reading in command.readings):
        return False
    in_passing(turn, at, lambda: turn.functions[command.name](turn, command))
    return True


def remove(turn: Turn, command: Command) -> None:
    """Take the pieces off the job that are meant."""
    wording = turn.knowledge.wording
    words = re.findall(r"[\w']+", command.heard.casefold())
    denied = any(word in ("no", "not") or word.endswith("n't") for word in words) and "hose" in words
    places = _to_be_removed(turn, words, command.argument, denied=denied)
    if not places and denied:
        turn.functions["aside"](turn, command)
        return
    if not places:
        turn.say("no-such-end")
        identification.ask(turn)
        return
    before, in_hand = turn.record.work, turn.piece.number
    for number in [turn.job.pieces[place].number for place in places]:
        turn.log(entries.Removed(piece=number))
    turn.say("removed", what=", ".join(differences(turn.knowledge, before, turn.record.work)) or wording.plain("piece"))
    if turn.piece.number != in_hand:
        turn.leave(check=None, lead=None, contradiction=())
        if not turn.piece.is_empty:
            turn.say(f"back-to-{turn.piece.kind}", piece=wording.count(turn.job.current + 1))
    turn.report = True


def _to_be_removed(turn: Turn, words: list[str], number: str | None, *, denied: bool) -> list[int]:
    pieces = turn.job.pieces
    hoses = [index for index, piece in enumerate(pieces) if piece.kind == HOSE]
    if "hose" in words:
        return [turn.job.current] if turn.piece.kind == HOSE else [] if denied else hoses[-1:]
    places = list(range(len(pieces))) if {"piece", "pieces"} & set(words) else ends_of(turn)
    numbers = [int(NUMBERS[word]) for word in words if word in NUMBERS] or ([int(number)] if number else [])
    if "last" in words:
        return places[-1:]
    if "other" in words:
        return [index for index in places if index != turn.job.current][-1:]
    if numbers:
        found = [places[each - 1] for each in dict.fromkeys(numbers) if each <= len(places)]
        return found if len(found) == len(set(numbers)) else []
    return [turn.job.current]


def _but_for_place(work: Work) -> Work:
    return replace(work, jobs=tuple(replace(job, current=0) for job in work.jobs))
