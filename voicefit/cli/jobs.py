"""The command ``jobs``: what the journal holds, listed, shown, searched, exported, replayed; kept sound removed.

Duty: arguments in, lines or a document out. It must not change a record: the journal is append-only.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say
from voicefit.cli.recording import warn

if TYPE_CHECKING:
    from voicefit.journal.history import JobDocument, SessionRecords
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.store import Store

STORE_OPTION = typer.Option(None, "--store", help="Journal: a file, a folder or a database URL; default: your own.")
SOUNDS_OPTION = typer.Option(None, "--sounds", metavar="DIR", help="Folder of kept sound; default: your own.")


def register(app: typer.Typer) -> None:
    jobs = typer.Typer(help="What the journal holds: list, show, search, export, replay jobs; remove kept sound.")
    jobs.callback(invoke_without_command=True, epilog="Example: voicefit jobs search flare")(_list_by_default)
    jobs.command("list", epilog="Example: voicefit jobs list")(list_jobs)
    jobs.command("show", epilog="Example: voicefit jobs show 3f9c21ab-2")(show)
    jobs.command("search", epilog="Example: voicefit jobs search flare30 nineteen")(search)
    jobs.command("export", epilog="Example: voicefit jobs export --all --to shift.journal")(export)
    jobs.command("replay", epilog="Example: voicefit jobs replay 3f9c21ab-2")(replay)
    jobs.command("sounds", epilog="Example: voicefit jobs sounds")(sounds)
    jobs.command("prune", epilog="Example: voicefit jobs prune --older-than 30")(prune)
    jobs.command("sync", epilog="Example: voicefit jobs sync --store postgresql+psycopg://shop/voicefit")(sync)
    app.add_typer(jobs, name="jobs")


def _list_by_default(context: typer.Context, store: str | None = STORE_OPTION, json: bool = JSON_OPTION) -> None:
    if context.invoked_subcommand is None:
        list_jobs(store, json)
    else:  # said before the word as well as after it
        said = {name: value for name, value in (("store", store), ("json", json)) if value}
        context.default_map = {context.invoked_subcommand: said}


def list_jobs(store: str | None = STORE_OPTION, json: bool = JSON_OPTION) -> None:
    """List all jobs, oldest first."""
    with errors_as_exit_codes():
        jobs = [job for session in _sessions(store) for job in session.jobs]
        _print_jobs(jobs, json=json)


def search(
    context: typer.Context,
    words: list[str] = typer.Argument(help="All of these must occur: in what was heard, ends, dates, names of sounds."),
    store: str | None = STORE_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """List the jobs in which all of the words occur."""
    from voicefit.cli.catalogue import catalogue_of
    from voicefit.journal.history import matches

    with errors_as_exit_codes():
        catalogue = catalogue_of(context)
        names = {end.id: f"{end.name} {' '.join(catalogue.series[end.series].words)}" for end in catalogue.ends}
        jobs = [job for session in _sessions(store) for job in session.jobs if matches(job, words, names)]
        _print_jobs(jobs, json=json, none=f"no job has {' and '.join(map(repr, words))}")


def show(
    job: str = typer.Argument(help="A job's id, or its beginning."),
    store: str | None = STORE_OPTION,
    folder: Path | None = SOUNDS_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """Show one job: every record of it, its ends, its kept sound."""
    from voicefit.journal.history import find

    with errors_as_exit_codes():
        session, found = find(_sessions(store), job)
        kept = [
            each for each in _shelf(folder).sounds() if (each.session, each.job) == (found.session[:8], found.number)
        ]
        if json:
            records = [{"sequence": r.sequence, "at": r.at, "kind": r.kind, "data": r.data} for r in session.records]
            print_json({"job": found.model_dump(mode="json"), "records": records, "sounds": [k.name for k in kept]})
            return
        print(_line(found))
        for number, piece in enumerate(found.pieces, 1):
            heard = "; ".join(dict.fromkeys(piece.heard)) or "nothing"  # a sentence may hold several readings
            what = piece.end or ("a hose" if piece.kind == "hose" else "not identified")
            print(f"  {number}. {piece.kind}: {what}; heard: {heard}")
        for start, goal in found.goals:
            print(f"  adapters from {start} to {goal}")
        for each in kept:
            print(f"  sound {each.name}, {each.seconds:.1f} s")
        print(f"  voicefit {found.voicefit}, catalogue {found.catalogue[:12]}, grammar {found.grammar[:12]}")


def export(
    job: list[str] = typer.Argument(None, help="Ids of jobs; their whole sessions are exported."),
    every: bool = typer.Option(False, "--all", help="Everything in the journal."),
    to: Path | None = typer.Option(None, "--to", help="A new file; default: stdout."),
    store: str | None = STORE_OPTION,
) -> None:
    """Export records as lines. The file is itself a journal: give it to --store."""
    import sys

    from voicefit.errors import BadInput
    from voicefit.journal.history import find
    from voicefit.journal.record import encode
    from voicefit.journal.store import LINE_SUFFIXES, open_store

    with errors_as_exit_codes():
        if bool(job) == every:
            raise BadInput("give ids of jobs, or --all")
        sessions = _sessions(store)
        wanted = {find(sessions, each)[0].session for each in job or ()}
        records = [r for s in sessions if every or s.session in wanted for r in s.records]
        if to is None:
            sys.stdout.writelines(encode(record) + "\n" for record in records)
            return
        if to.suffix not in LINE_SUFFIXES:
            raise BadInput(f"{to}: the name must end in {' or '.join(LINE_SUFFIXES)}")
        if to.exists():
            raise BadInput(f"{to}: is already there; nothing was written")
        target = open_store(to)
        target.append(records)
        target.close()
        say(f"{_count(len(records), 'record')} written to {to}.")


def replay(
    context: typer.Context,
    job: str = typer.Argument(help="A job's id, or its beginning."),
    store: str | None = STORE_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """Compute a job again under today's catalogue, and say whether the answer changed."""
    from voicefit.driver import grammar_digest, open_knowledge
    from voicefit.journal.history import find
    from voicefit.journal.replay import replayed

    with errors_as_exit_codes():
        session, found = find(_sessions(store), job)
        knowledge = open_knowledge(context.obj.catalogue if context.obj else None)
        document = replayed(knowledge, session, found, grammar_digest())
        if json:
            print_json(document)
            return
        same = document.catalogue_then == document.catalogue_now
        print(f"Job {document.job}: {'the same catalogue as then' if same else 'another catalogue than then'}.")
        for number, piece in enumerate(document.pieces, 1):
            was, now = piece.was or "not identified", piece.now or "not identified"
            verdict = f"CHANGED: was {was}, is {now}" if piece.changed else f"unchanged: {was}"
            print(f"  {number}. {verdict}; likeliest {piece.leading} ({piece.probability:.3f})")
        print("The answer changed." if document.changed else "The answer holds.")


def sounds(folder: Path | None = SOUNDS_OPTION, json: bool = JSON_OPTION) -> None:
    """List the sound that is kept: voice notes, and speech where keeping was turned on."""
    from dataclasses import asdict

    with errors_as_exit_codes():
        found = _shelf(folder).sounds()
        if json:
            print_json([asdict(each) for each in found])
            return
        for each in found:
            print(f"{each.name}  {each.seconds:6.1f} s  {each.size_byte:>9} bytes  kept {each.kept_at}")
        say(f"{_count(len(found), 'sound')} kept.")


def prune(
    name: list[str] = typer.Argument(None, help="Names of sounds, or ids of jobs whose sound shall go."),
    older_than: float | None = typer.Option(None, "--older-than", metavar="DAYS", min=0, help="Sound that old."),
    every: bool = typer.Option(False, "--all", help="All kept sound."),
    folder: Path | None = SOUNDS_OPTION,
    json: bool = JSON_OPTION,
) -> None:
    """Remove kept sound. Records are never removed."""
    from voicefit.errors import BadInput

    with errors_as_exit_codes():
        if bool(name) + every + (older_than is not None) != 1:
            raise BadInput("give names, or --older-than, or --all")
        shelf = _shelf(folder)
        gone = _prune_named(shelf, name) if name else shelf.prune(older_than_days=older_than)
        if json:
            print_json({"removed": gone})
            return
        for each in gone:
            print(each)
        say(f"{_count(len(gone), 'sound')} removed.")


def sync(
    store: str = typer.Option(..., "--store", help="URL of the shared journal."), json: bool = JSON_OPTION
) -> None:
    """Send what a shared journal does not have yet."""
    from voicefit.errors import BadInput
    from voicefit.journal.store import is_shared

    with errors_as_exit_codes():
        if not is_shared(store):
            raise BadInput(f"{store}: not the URL of a database server")
        sent = _send_outbox(store)
        if json:
            print_json({"sent": sent})
        else:
            say(f"{_count(sent, 'record')} sent.")


def opened(location: str | None) -> closing[Store]:
    """A store to be read, closed afterwards."""
    from voicefit.journal.store import open_store

    return closing(open_store(location, mends=False))  # a session may have it open


def _sessions(location: str | None) -> tuple[SessionRecords, ...]:
    """All sessions; what could not be read is named on stderr. A shared store first gets what it lacks from here."""
    from voicefit.journal.history import sessions_of
    from voicefit.journal.store import is_shared

    if location is not None and is_shared(location):
        _send_outbox(location)
    with opened(location) as store:
        contents = store.contents()
    sessions = sessions_of(contents)
    warn([*contents.damage, *(each for session in sessions for each in session.damage)])
    return sessions


def _send_outbox(url: str) -> int:
    """Send what sessions here left behind for a shared store; returns how many records went."""
    from voicefit.journal import mirror
    from voicefit.journal.store import open_store, outbox_location

    outbox = outbox_location(url)
    if not outbox.exists():
        open_store(url).close()  # at least says whether it is there
        return 0
    with opened(str(outbox)) as local, opened(url) as shared:
        return mirror.sync(local, shared)


def _shelf(folder: Path | None) -> NoteShelf:
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.store import default_folder

    return NoteShelf(folder or default_folder() / "notes")


def _prune_named(shelf: NoteShelf, names: Sequence[str]) -> list[str]:
    gone = []
    for name in names:
        session, _, number = name.partition("-")
        if number.isdecimal():
            gone += shelf.prune(session=session, job=int(number))
        else:
            shelf.remove(name)
            gone.append(name)
    return gone


def _print_jobs(jobs: Sequence[JobDocument], *, json: bool, none: str = "the journal has no job yet") -> None:
    if json:
        print_json([job.model_dump(mode="json") for job in jobs])
    else:
        for job in jobs:
            print(_line(job))
    if not jobs:
        say(f"voicefit: {none}.")
    raise typer.Exit(DONE if jobs else NOTHING)


def _line(job: JobDocument) -> str:
    ends = ", ".join(piece.end or ("hose" if piece.kind == "hose" else "end not identified") for piece in job.pieces)
    state = "finished" if job.finished else "open"
    return f"{job.id}  {job.opened_at}  {state}  {f'{job.machine}: ' if job.machine else ''}{ends}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
