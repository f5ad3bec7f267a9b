"""Jobs: several open at a time, each with its ends and hoses."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import entries, identification, pieces, placing, readback, slip_words, slips
from voicefit.dialogue.functions import Does, answers, orders
from voicefit.dialogue.record import END, HOSE, Job, Piece
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Measurand, Resumed

_ANOTHER = frozenset({"new", "another", "next", "second", "this", "a"})
_ONE_MORE, _NEEDS, _A_HOSE = word_set("another next second"), word_set("need needs want wants order make get build"), 2
_A_WHOLE_HOSE = (
    {Measurand.HOSE_BORE, Measurand.DASH},
    {Measurand.HOSE_TYPE, Measurand.REINFORCEMENT},
    {Measurand.LENGTH},
)
_BACK = frozenset({"back", "again"})
_OF_WHAT_IT_IS = frozenset({"it", "it's", "that", "that's", "on", "crimped"})
_BEGINS = frozenset({"this", "now", "new", "another", "order", "make", "need", "want"})
_SAY_NOTHING = word_set("go going back to the my that a an and now no so one it is again")
_PLACES = {"first": 0, "second": 1, "third": 2, "last": -1}


def new_job(turn: Turn, command: Command) -> None:
    """Another job; one of which nothing was said yet serves."""
    if not turn.record.is_empty(turn.job):
        turn.log(entries.NewJob(job=max(job.number for job in turn.record.work.jobs) + 1))
    _turn_to(turn)
    turn.say("new-job", job=_count(turn, turn.job.number))
    turn.report = True


def other_end(turn: Turn, command: Command) -> None:
    """The next end of the job; one that was begun and of which nothing was said serves."""
    placing.leave_piece(turn)
    if turn.among_others and any(piece.kind == HOSE for piece in turn.job.pieces):
        orders.unlike(turn)  # "the other end is a male"
    pieces = list(enumerate(turn.job.pieces))
    begun = [index for index, piece in pieces if index and piece.kind == END and piece.is_empty]
    begun = begun or _second_of_its_hose(turn)
    if not begun:
        turn.log(entries.NewPiece(piece=END))
    elif begun[-1] != turn.job.current:
        turn.log(entries.GoToPiece(piece=begun[-1]))
    _turn_to(turn)
    turn.look(other=turn.piece.number)
    turn.say("new-end", **_place(turn))
    turn.report = True


def _second_of_its_hose(turn: Turn) -> list[int]:
    """The place of the second end of the hose in hand, where both were begun and that one is not settled."""
    ends = slips.ends_of_hose(turn.knowledge, turn.record, turn.job) if turn.piece.kind == HOSE else ()
    open_ = [piece for piece in list(ends)[1:] if turn.record.end_of(piece) is None and piece is not ends[0]]
    return [turn.job.pieces.index(piece) for piece in open_]


def hose(turn: Turn, command: Command) -> None:
    """The hose of the job: the one in hand, the one that was begun, or, where there is none or another is asked for, a
    new one. Who needs or orders "a hose" while the one begun lacks its bore, its kind or its length goes on with that
    one: one hose is told in several breaths. Of an open end, that it is a hose only explains where it sits."""
    words = frozenset(command.heard.casefold().split())
    if _explains(turn, words):
        answers.explained(turn, command)
        return
    begun = [piece for piece in turn.job.pieces if piece.kind == HOSE]
    another = bool(words & _ANOTHER) and not words & _BACK
    if another and begun and words.isdisjoint(_ONE_MORE) and (words & _NEEDS or len(words) == _A_HOSE):
        another = _is_told(begun[-1])
    if turn.piece.kind == HOSE and (len(words) == 1 or not another or turn.piece.is_empty):
        pass
    elif begun and not another:
        placing.go_to_hose(turn)
    else:
        placing.begin_piece(turn, HOSE)
    turn.report = True


def _is_told(piece: Piece) -> bool:
    """Whether a hose's bore, its kind and its length are on record."""
    known = {measurand for kept in piece.readings for measurand in kept.reading.measurands}
    return not any(known.isdisjoint(each) for each in _A_WHOLE_HOSE)


def _explains(turn: Turn, words: frozenset[str]) -> bool:
    """Whether "it's a hose" is said of the end in hand: not settled, and with something on record."""
    piece = turn.piece
    said = not piece.is_empty or turn.focus.question is not None
    is_open = piece.kind == END and said and turn.record.end_of(piece) is None
    return is_open and (not words.isdisjoint(_OF_WHAT_IT_IS) or (turn.among_others and not words & _BEGINS))


def go_back_to(turn: Turn, command: Command) -> None:
    """To an end of the job, by its place, by what it is, or the latest."""
    words = frozenset(command.heard.casefold().split())
    ends = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == END and not piece.is_empty]
    place = next((_PLACES[word] for word in words if word in _PLACES), None)
    if place is not None:
        ends = ends[place:][:1] if place >= 0 else ends[place:]
    elif "other" in words:
        ends = [index for index in ends if index != turn.job.current]
    else:
        ends = [index for index in ends if _is_called(turn, index, words)] or ends
    if not ends:
        turn.say("no-such-end")
        identification.ask(turn)
        return
    placing.go_to(turn, ends[-1])
    turn.report = True


def piece(turn: Turn, command: Command) -> None:
    """To the piece of that name, or, where it is the next one, begin it: nothing else was said of it."""
    pieces.take_up(turn, command, tells=True, say=lambda: None)
    turn.report = True


def one_end(turn: Turn, command: Command) -> None:
    """Beside a hose, its first end: the one that was begun, or a new one. Of an end in hand it says which one: behind
    one that was told as the other, it is the end that was not."""
    other = turn.focus.other
    ends = [index for index, piece in enumerate(turn.job.pieces) if piece.kind == END]
    told = not turn.piece.is_empty or turn.focus.question is not None
    if turn.piece.kind != HOSE and (turn.piece.number != other or not told):
        return
    first = next((index for index in ends if turn.job.pieces[index].number != other), None)
    if first is None:
        placing.begin_piece(turn, END, beside=True)
    else:
        placing.go_to(turn, first)
    turn.report = True


def _is_called(turn: Turn, index: int, words: frozenset[str]) -> bool:
    """Whether one of the words names what an end of the job is."""
    piece = turn.job.pieces[index]
    row = turn.knowledge.row_of(turn.record.end_of(piece) or "")
    if row is not None:
        names = set(turn.knowledge.end_words(row).replace(",", " ").split()) - _SAY_NOTHING
        return bool(words & names)
    return any(words & set(kept.reading.heard.casefold().split()) - _SAY_NOTHING for kept in piece.readings)


def go_to_job(turn: Turn, command: Command) -> None:
    number = int(command.argument or 0)
    if number not in {job.number for job in turn.record.work.jobs}:
        turn.say("no-such-job", number=_count(turn, number))
        return
    turn.log(entries.GoToJob(job=number))
    arrive(turn)


def go_to_end(turn: Turn, command: Command) -> None:
    number = int(command.argument or 0)
    if not 1 <= number <= len(turn.job.pieces):
        turn.say("no-such-piece", number=_count(turn, number))
        return
    turn.log(entries.GoToPiece(piece=number - 1))
    arrive(turn)


def arrive(turn: Turn) -> None:
    """Say where one is now, and have the identification reported."""
    _turn_to(turn)
    words = readback.of_all(turn)
    now = ", ".join(words) if words else turn.knowledge.wording.plain("no-readings")
    turn.say("gone-to", **_place(turn), now=now)
    turn.report = True


def which_jobs(turn: Turn, command: Command) -> None:
    lines = []
    for job in turn.record.work.jobs:
        reply = "job-line-finished" if job.finished else "job-line"
        lines.append(turn.knowledge.wording.phrase(reply, job=_job(turn, job), pieces=_pieces(turn, job)))
    turn.say_list(tuple(lines), "listed", "items")


def read_job(turn: Turn, command: Command) -> None:
    lines = tuple(piece_line(turn, turn.job, index) for index in range(len(turn.job.pieces)))
    turn.say_list(lines, "read-job", "pieces", job=_job(turn, turn.job))


def _pieces(turn: Turn, job: Job) -> str:
    """How many ends and hoses a job has, those aside of which nothing was said."""
    said = [piece for piece in job.pieces if not piece.is_empty]
    return turn.knowledge.wording.pieces(len(said) or len(job.pieces))


def _job(turn: Turn, job: Job) -> str:
    """A job by its number, and by its machine where that is spelled."""
    number = _count(turn, job.number)
    if not job.machine:
        return number
    return turn.knowledge.wording.phrase(
        "job-of-machine", job=number, name=turn.knowledge.language.say_name(job.machine)
    )


def piece_line(turn: Turn, job: Job, index: int) -> str:
    """One piece of a job in words."""
    wording, piece = turn.knowledge.wording, job.pieces[index]
    slots = {"kind": wording.plain(piece.kind), "piece": wording.count(index + 1)}
    row = turn.knowledge.row_of(turn.record.end_of(piece) or "")
    if row is not None:
        return wording.phrase("piece-identified", **slots, end=turn.knowledge.end_words(row))
    if not piece.readings:
        return wording.phrase("piece-empty", **slots)
    taken = turn.knowledge.believe(piece).taken
    readings = ", ".join(wording.reading(each.option) for each in taken)
    return wording.phrase("piece-hose" if piece.kind == HOSE else "piece-open", **slots, readings=readings)


def save(turn: Turn, command: Command) -> None:
    turn.say("saved")


def finish(turn: Turn, command: Command) -> None:
    """Close the job; a hose in it is read, with what it still needs."""
    if turn.record.is_empty(turn.job):
        turn.say("nothing-to-finish", job=_count(turn, turn.job.number))
        return
    placing.leave_piece(turn)
    turn.log(entries.Finished(finished=True))
    _turn_to(turn)
    turn.say("finished", job=_count(turn, turn.job.number), pieces=_pieces(turn, turn.job))
    for piece, order in slip_words.hoses(turn):
        turn.speak(turn.knowledge.wording.sentence(slip_words.hose(turn, piece, order)))
        if needed := slip_words.needed(turn, order):
            turn.say("hose-needs", needed=needed)


def _turn_to(turn: Turn) -> None:
    turn.leave(check=None, lead=None)


def _place(turn: Turn) -> dict[str, str]:
    return {"job": _count(turn, turn.job.number), "piece": _count(turn, turn.job.current + 1)}


def _count(turn: Turn, number: int) -> str:
    return turn.knowledge.wording.count(number)


def resumed(turn: Turn, event: Resumed) -> None:
    """A session that begins: what to say first; or, with what is on record, go on with the job asked for, or name the
    one that was in hand and begin another, for what is measured next must not be mixed into an end of yesterday."""
    if event.job is not None:
        if event.job != turn.job.number:
            turn.log(entries.GoToJob(job=event.job))
        arrive(turn)
        if turn.job.mounted:
            turn.caution("pressure", again=True)  # it may be another day
        identification.report(turn)
        return
    last = turn.record.last_open
    if last is None and not event.greets:
        turn.silent("nothing_open")
        return
    line = "" if last is None else piece_line(turn, last, last.current)
    if not turn.record.is_empty(turn.job):
        _fresh_job(turn)
    if last is None:
        turn.say("ready")
    else:
        turn.say("still-open", job=_count(turn, last.number), piece=line, fresh=_count(turn, turn.job.number))
    turn.caution("pressure", again=True)  # it may be another day
    if last is None:
        identification.ask(turn)


def _fresh_job(turn: Turn) -> None:
    """A job of which nothing is on record yet: the first one without anything, or another."""
    jobs = turn.record.work.jobs
    fresh = next((job.number for job in jobs if turn.record.is_empty(job)), None)
    if fresh is None:
        turn.log(entries.NewJob(job=max(job.number for job in jobs) + 1))
    else:
        turn.log(entries.GoToJob(job=fresh))


TABLE: Mapping[str, Does] = {
    "new-job": new_job,
    "other-end": other_end,
    "hose": hose,
    "go-to-job": go_to_job,
    "go-to-end": go_to_end,
    "go-back-to": go_back_to,
    "piece": piece,
    "remove-piece": pieces.remove,
    "one-end": one_end,
    "which-jobs": which_jobs,
    "read-job": read_job,
    "save": save,
    "finish": finish,
}
