"""What one step of undo, or of redo, changed: said in words.

    differences(knowledge, work, before) -> ("nineteen pitch", "quantity four")

Duty: name what is in one state of the work and not in another. It must not change the record.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from voicefit.dialogue.record import Job, OnRecord, Piece, Work

if TYPE_CHECKING:
    from voicefit.dialogue.knowledge import Knowledge


def steps_back(record: OnRecord, wanted: int) -> tuple[int, int]:
    """How many turns go for so many steps, and how many steps that are: a turn that left the work as it was is none."""
    works = [*record.past, record.work]
    at, done = len(record.past), 0
    while at and done < wanted:
        at -= 1
        done += works[at] != works[at + 1]
    return (len(record.past) - at, done) if done else (0, 0)


def changed_orders(record: OnRecord) -> bool:
    """Whether the last turn that changed anything changed what is ordered: to read the slip, or to order what is on it
    already, changes nothing, and the turn before is not what one takes back then."""
    before, now = (
        [(p.number, p.count, p.beside) for job in w.jobs for p in job.pieces] for w in (record.past[-1], record.work)
    )
    return before != now


def differences(knowledge: Knowledge, work: Work, other: Work) -> tuple[str, ...]:
    """What one state has and another has not, in words."""
    there = _things(knowledge, other)
    return tuple(dict.fromkeys(words for key, words in _things(knowledge, work, other).items() if key not in there))


def _things(knowledge: Knowledge, work: Work, other: Work | None = None) -> Mapping[tuple[object, ...], str]:
    """All that is in a state of the work: by what it is, in words. ``other`` : jobs and pieces that it has in their
    place are not named."""
    wording = knowledge.wording
    found: dict[tuple[object, ...], str] = {}
    jobs = {job.number: job for job in (other or work).jobs}
    for job in work.jobs:
        if job.number not in jobs:
            found["job", job.number] = wording.phrase("undone-job", job=wording.count(job.number))
        there = [piece.number for piece in jobs[job.number].pieces] if job.number in jobs else []
        here = [piece.number for piece in job.pieces]
        for index, piece in enumerate(job.pieces):
            slots = {"kind": wording.plain(piece.kind), "piece": wording.count(index + 1)}
            replaced = index < len(there) and there[index] not in here
            if piece.number not in there and not replaced and job.number in jobs:
                found["piece", piece.number] = wording.phrase("undone-piece", **slots)
            elsewhere = piece.number in there and piece.number != (other or work).piece.number
            for key, words in _of_piece(knowledge, work, piece):
                named = wording.phrase("undone-on", what=words, **slots) if elsewhere else words
                found[piece.number, *key] = named
        found |= {(f"job {job.number}", *key): words for key, words in _of_job(knowledge, job)}
    for tool in sorted(work.without):
        found["without", tool] = wording.phrase("undone-tool", tool=wording.plain(f"tool.{tool}"))
    for note in work.notes:
        found["note", note.job, note.name] = wording.phrase("undone-note", text="" if note.seconds else note.name)
    return found


def _of_piece(knowledge: Knowledge, work: Work, piece: Piece) -> Iterator[tuple[tuple[object, ...], str]]:
    wording = knowledge.wording
    taken = knowledge.believe(piece, work.without).taken
    for kept, each in zip(piece.readings, taken, strict=True):
        yield ("reading", kept.number), wording.reading(each.option)
    for topic, text in piece.answers:
        yield ("answer", topic, text), knowledge.answer_words(topic, text)
    for check in sorted(piece.impossible):
        yield ("impossible", check), wording.plain("undone.cannot-tell")
    for check in sorted(piece.put_off):
        yield ("put off", check), wording.plain("undone.put-off")
    if piece.worn:
        yield ("worn",), wording.plain("undone.worn")
    row = knowledge.row_of(piece.decided or "")
    if row is not None:
        yield ("decided", piece.decided), wording.phrase("undone-decided", end=knowledge.end_words(row, brief=True))
    if piece.count is not None:
        yield ("count", piece.count), wording.phrase("undone-count", count=wording.count(piece.count))
    for what, count in piece.beside:
        yield ("beside", what, count), wording.phrase(f"undone-{what}", count=wording.count(count))
    if piece.both:
        yield ("both",), wording.plain("undone.both")


def _of_job(knowledge: Knowledge, job: Job) -> Iterator[tuple[tuple[object, ...], str]]:
    wording = knowledge.wording
    if not job.mounted:
        yield ("mounted",), wording.plain("undone.off")
    if job.finished:
        yield ("finished",), wording.plain("undone.finished")
    if job.machine or job.machine_note:
        yield ("machine", job.machine, job.machine_note), wording.plain("undone.machine")
    for goal in job.goals:
        yield ("goal", goal), wording.plain("undone.goal")
