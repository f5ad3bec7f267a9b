"""Jobs: several open at a time, each with its ends and hoses."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import assemblies, entries, identification, placing, readback, slips
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import END, HOSE, Job
from voicefit.dialogue.state import Deed
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Resumed


def new_job(turn: Turn, command: Command) -> None:
    """Another job; one of which nothing was said yet serves."""
    if not turn.record.is_empty(turn.job):
        turn.log(entries.NewJob(job=max(job.number for job in turn.record.work.jobs) + 1))
    _turn_to(turn)
    turn.say("new-job", job=_count(turn, turn.job.number))
    turn.report = True


def other_end(turn: Turn, command: Command) -> None:
    turn.log(entries.NewPiece(piece=END))
    _turn_to(turn)
    turn.say("new-end", **_place(turn))
    turn.report = True


def hose(turn: Turn, command: Command) -> None:
    """A piece of which nothing was said becomes the hose; else a hose is added to the job, where one is asked for: who
    only names the hose in hand means that one."""
    if turn.piece.kind != HOSE or len(command.heard.split()) > 1:
        placing.begin_piece(turn, HOSE)
    turn.report = True


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
        lines.append(
            turn.knowledge.wording.phrase(
                reply, job=_job(turn, job), pieces=turn.knowledge.wording.pieces(len(job.pieces))
            )
        )
    turn.say_list(tuple(lines), "listed", "items")


def read_job(turn: Turn, command: Command) -> None:
    lines = tuple(piece_line(turn, turn.job, index) for index in range(len(turn.job.pieces)))
    turn.say_list(lines, "read-job", "pieces", job=_job(turn, turn.job))


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
    turn.log(entries.Finished(finished=True))
    _turn_to(turn)
    turn.say("finished", job=_count(turn, turn.job.number), pieces=turn.knowledge.wording.pieces(len(turn.job.pieces)))


def order_slip(turn: Turn, command: Command) -> None:
    """Have the slip written, and say what is on it, how surely, and what speaks against it."""
    knowledge, job = turn.knowledge, turn.job
    facts = slips.job_facts(knowledge, turn.record, job.number)
    lines = [
        knowledge.wording.phrase(
            "slip-refused" if knowledge.catalogue.ends[row].trade else f"slip-{each.decided_by.value}",
            end=knowledge.end_words(row),
        )
        for each in facts.ends
        if each.end is not None and (row := knowledge.row_of(each.end)) is not None
    ]
    if not lines and not facts.hoses:
        turn.say("slip-nothing")
        identification.ask(turn, on_request=True)
        return
    open_ends = len(facts.ends) - len(lines)
    for order in facts.hoses:
        lines.append(knowledge.wording.plain("hose-open") if order.hose is None else knowledge.hose_words(order.hose))
    turn.do(Deed.SLIP, str(job.number))
    turn.say_list(tuple(lines), "slip", "items", job=_count(turn, job.number))
    for order in facts.hoses:
        assembly = assemblies.judged(turn, order)
        if assembly is not None:
            for fault in assembly.faults:
                turn.say("slip-fault", fault=knowledge.wording.plain(f"fault.{fault.value}"))
    if command.argument not in (None, "1"):
        turn.say("slip-one-each", count=_count(turn, int(command.argument or 0)))
    if open_ends:
        turn.say("slip-open", count=_count(turn, open_ends))
    turn.caution("maker")


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
    "which-jobs": which_jobs,
    "read-job": read_job,
    "save": save,
    "finish": finish,
    "order-slip": order_slip,
}
