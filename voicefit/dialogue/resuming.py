"""A session that begins with what is on record from before.

Unless a job is asked for, a fresh one is in hand: what is measured next must not be mixed into an end of yesterday.

Duty: where to begin, and what is said of it. It must not read a journal.
"""

from __future__ import annotations

from voicefit.dialogue import identification
from voicefit.dialogue.functions import jobs
from voicefit.dialogue.open_jobs import is_empty, last_open
from voicefit.dialogue.turn import Turn
from voicefit.records import Resumed


def resumed(turn: Turn, event: Resumed) -> None:
    """Go on with the job asked for, or name the one that was in hand and begin another."""
    if event.job is not None:
        if event.job != turn.job.number:
            turn.log("go_to_job", job=event.job)
        jobs.arrive(turn)
        if turn.job.mounted:
            turn.caution("pressure", again=True)  # it may be another day
        identification.report(turn)
        return
    last = last_open(turn.record)
    if last is None:
        turn.silent("nothing_open")
        return
    count, line = turn.knowledge.wording.count, jobs.piece_line(turn, last, last.current)
    fresh = next((job.number for job in turn.record.work.jobs if is_empty(turn.record, job)), None)
    if fresh is None:
        fresh = max(job.number for job in turn.record.work.jobs) + 1
        turn.log("new_job", job=fresh)
    elif fresh != turn.job.number:
        turn.log("go_to_job", job=fresh)
    turn.say("still-open", job=count(last.number), piece=line, fresh=count(fresh))
    turn.caution("pressure", again=True)
