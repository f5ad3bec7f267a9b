"""Which jobs are open, and which have nothing in them yet.

Duty: look at the record. It must not change or word it.
"""

from __future__ import annotations

from voicefit.dialogue.record import HOSE, Job, Record


def last_open(record: Record) -> Job | None:
    """The job that was in hand, or else the latest, that has something in it and is not finished."""
    jobs = [record.work.job, *reversed(record.work.jobs)]
    return next((job for job in jobs if not job.finished and not is_empty(record, job)), None)


def is_empty(record: Record, job: Job) -> bool:
    """Whether nothing was said of a job, so that it can serve as a fresh one."""
    said = any(piece.readings or piece.answers or piece.kind == HOSE for piece in job.pieces)
    noted = any(note.job == job.number for note in record.notes)
    named = job.machine or job.machine_note
    return not (said or noted or named or job.finished or len(job.pieces) > 1)
