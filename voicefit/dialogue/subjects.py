"""The end that a question is about: the one it names, else the one in hand.

Each question is answered for the end that was identified or decided, and for the one that leads on the condition that
it is it. One that names an end is answered for that one, by its name, and for no other.

Duty: find it, and say which it is. It must not answer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from voicefit.catalogue import CandidateEnd
from voicefit.dialogue import common, identification, named, standing
from voicefit.dialogue.record import END, Piece
from voicefit.dialogue.snapshot import Belief
from voicefit.dialogue.state import MOST_ASKED
from voicefit.dialogue.turn import Turn
from voicefit.records import Certainty, Command, Reading

_LIKELIER = 0.5
_FEW = 2  # ends that are named beside the one that is answered for
_NEXT_SIZE = re.compile(r"\bnext size (up|bigger|larger|down|smaller)\b")
_UP = frozenset({"up", "bigger", "larger"})
_OTHER_END = re.compile(r"\b(other|far|opposite) end\b")


@dataclass(frozen=True, slots=True)
class Subject:
    """The end that is asked about. ``rows`` : its variants that the readings do not tell apart, its own row first;
    ``belief`` : what is believed of it."""

    row: int
    rows: tuple[int, ...]
    belief: Belief


def subject(
    turn: Turn, command: Command | None, known: Callable[[CandidateEnd], object] | None = None
) -> Subject | None:
    """The end that is asked about: the one that the question names, which is said; else the one decided or identified,
    or, said to be on that condition, the one that leads.

    Where it is not settled, what would settle it is asked last. ``None`` where nothing leads, where nothing is as is
    named, and for an end of another trade; that is said. ``command`` : the question; ``None``: it names
    no end. ``known`` : what is asked of an end, by which one is chosen where its form is not named.
    """
    if command is not None and named.is_named(command.about):
        series = frozenset[str]() if command.other else named.series_named(turn, command)
        return _subject_named(turn, command.about, series, known)
    other = command is not None and _OTHER_END.search(command.heard.casefold()) is not None
    piece = _other_end(turn) if other else _end_meant(turn)
    if piece is None:
        turn.say("no-other-end")
        return None
    about = _asked_about(turn, piece)
    if about is not None and command is not None and (found := _NEXT_SIZE.search(command.heard.casefold())):
        return _of_next_size(turn, about, 1 if found[1] in _UP else -1)
    trade = None if about is None else turn.knowledge.catalogue.ends[about.row].trade
    if trade is None:
        return about
    standing.refuse_trade(turn, trade)
    return None


def _subject_named(
    turn: Turn,
    about: Sequence[Reading],
    series: frozenset[str],
    known: Callable[[CandidateEnd], object] | None = None,
) -> Subject | None:
    """The end that is named, with its name said; ``None`` where there is none, which is said."""
    identification.report_now(turn)
    turn.asked = True
    ends = turn.knowledge.catalogue.ends
    near = in_hand(turn)
    found = named.ends_named(turn, about, series, near, known)
    if found.lacks is not None:
        say_lacking(turn, found)
        return None
    like = [row for row in found.rows if near is not None and ends[row].gender is near.gender]
    like.sort(key=lambda row: near is None or ends[row].variant != near.variant)
    order = (*like, *(row for row in found.rows if row not in like))
    row = next((row for row in order if known is not None and known(ends[row])), order[0])
    end, names = turn.knowledge.names.end(ends[row]), turn.knowledge.names
    if found.thread:
        turn.say("of-the-thread", end=end, thread=names.thread(ends[row]))
        for other in found.others if len(found.others) <= _FEW else ():
            turn.add("thread-of-another", end=names.end(ends[other], brief=True))
    else:
        turn.say("of-the-end", end=end)
    return Subject(row, (row,), turn.belief)


def _of_next_size(turn: Turn, about: Subject, step: int) -> Subject | None:
    """The end of the same series and form that is one size larger or smaller, with its name said."""
    ends = turn.knowledge.catalogue.ends
    own = ends[about.row]
    rows = [row for row, end in enumerate(ends) if (end.kind, end.gender) == (own.kind, own.gender)]
    at = rows.index(about.row) + step
    if not 0 <= at < len(rows):
        turn.say("named-no-end")
        return None
    turn.say("of-the-end", end=turn.knowledge.names.end(ends[rows[at]]))
    return Subject(rows[at], (rows[at],), turn.belief)


def say_lacking(turn: Turn, found: named.NamedEnds) -> None:
    """Why no end was found for what is named."""
    words = turn.knowledge.series_words(found.series or "")
    if words is None or found.lacks is named.Lacks.SERIES:
        turn.say(f"named-no-{found.lacks}")
    else:
        turn.say(f"named-no-{found.lacks}-of", series=words)


def in_hand(turn: Turn) -> CandidateEnd | None:
    """The end in hand, settled or leading; ``None`` where nothing leads."""
    return end_of(turn, _end_meant(turn))


def flange_in_hand(turn: Turn) -> CandidateEnd | None:
    """The flange in hand: settled or leading, else the likeliest end, where it is likelier than not some flange."""
    ends, parts = turn.knowledge.catalogue.ends, turn.belief.parts
    end = in_hand(turn)
    if end is None and sum(part.probability for part in parts if ends[part.row].flange is not None) > _LIKELIER:
        end = ends[parts[0].row]
    return None if end is None or end.flange is None else end


def end_of(turn: Turn, piece: Piece) -> CandidateEnd | None:
    """The end that a piece is, settled or leading."""
    end = turn.record.end_of(piece)
    row = None if end is None else turn.knowledge.row_of(end)
    if row is None:
        belief = turn.belief if piece is turn.piece else turn.knowledge.believe(piece, turn.record.without)
        leader = belief.leader if standing.leads(belief) else None
        row = None if leader is None else leader.row
    return None if row is None else turn.knowledge.catalogue.ends[row]


def _other_end(turn: Turn) -> Piece | None:
    """The latest end of the job that is not the one in hand."""
    ends = [each for each in turn.job.pieces if each.kind == END and not each.is_empty and each is not turn.piece]
    return ends[-1] if ends else None


def _asked_about(turn: Turn, piece: Piece) -> Subject | None:
    identification.report_now(turn)
    end = turn.record.end_of(piece)
    row = None if end is None else turn.knowledge.row_of(end)
    belief = turn.belief if piece is turn.piece else turn.knowledge.believe(piece, turn.record.without)
    if row is not None and piece is not turn.piece:
        turn.say("of-the-end", end=turn.knowledge.end_words(row, brief=True))
    if row is not None and piece.decided is not None:
        return Subject(row, (row,), belief)
    if row is not None:
        return Subject(row, belief.advice.variants or (row,), belief)
    if piece is turn.piece:
        _ask_on(turn)
    leader = belief.leader
    if not standing.leads(belief) and leader is not None:
        leader = common.series_and_size(turn.knowledge.catalogue.ends, belief)
    if leader is None:
        if piece.readings and piece is turn.piece:
            standing.say_common(turn)
        turn.say("nothing-leads" if piece.readings else "nothing-yet")
        return None
    if piece is not turn.piece and not standing.leads(belief):
        turn.say("nothing-leads")
        return None
    likely = belief.advice.certainty is Certainty.LIKELY
    row = standing.the_end(turn.knowledge, belief) if leader is belief.leader else leader.row
    end = turn.knowledge.end_words(row, brief=True)
    if likely and turn.has_said("likely", end=end):
        turn.say("if-so")
    else:
        turn.say("if-likely" if likely else "if-leading", end=end)
    if piece is turn.piece:
        turn.look(lead=standing.said_as(turn, belief))
    return Subject(row, belief.advice.variants or (row,), belief)


def _end_meant(turn: Turn) -> Piece:
    """The piece in hand; beside a hose, the latest end of the job that is settled, else the latest."""
    ends = [piece for piece in turn.job.pieces if piece.kind == END and not piece.is_empty]
    if turn.piece.kind == END or not ends:
        return turn.piece
    settled = [piece for piece in ends if turn.record.end_of(piece) is not None]
    return (settled or ends)[-1]


def _ask_on(turn: Turn) -> None:
    """What would settle it, said last, unless it was asked as often as a check is."""
    open_checks = turn.focus.open_checks
    checks = open_checks or turn.belief.advice.checks
    if checks:
        turn.look(check=checks[0], beside=checks[1:])
    if checks and all(turn.times_asked(check) < MOST_ASKED for check in checks):
        turn.note_asked(checks)
        turn.ask("prompt", prompt=turn.knowledge.prompts(checks, brief=checks if open_checks else ()))
