"""The command ``slip``: the order slip of a recorded job, or of ends given by id.

Duty: arguments in, a document or files out. The slip is made in :mod:`voicefit.ordering`, drawn in
:mod:`voicefit.slips`.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import JSON_OPTION, errors_as_exit_codes, print_json, say
from voicefit.cli.jobs import STORE_OPTION

if TYPE_CHECKING:
    from voicefit.dialogue import Knowledge
    from voicefit.ordering.job_slip import JobFacts, StockLookUp
    from voicefit.ordering.room import Ordering
    from voicefit.ordering.slip import OrderSlip


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit slip 3f9c21ab-1 --to . --as pdf --as label")(slip)


def slip(
    context: typer.Context,
    job: str | None = typer.Argument(None, help="A job's id, as voicefit jobs lists it."),
    end: list[str] = typer.Option([], "--end", metavar="ID", help="Instead of a job: an end by id; may be repeated."),
    join: list[str] = typer.Option(
        [], "--join", metavar="ID:ID", help="Two ends to be joined by adapters; may be repeated."
    ),
    to: Path | None = typer.Option(None, "--to", metavar="DIR", help="Write files here instead of printing the text."),
    as_: list[str] = typer.Option(
        [], "--as", metavar="KIND", help="text, csv, json, pdf or label; all where not given."
    ),
    store: str | None = STORE_OPTION,
    schema: bool = typer.Option(False, "--schema", help="Print the JSON schema of order slips."),
    json: bool = JSON_OPTION,
) -> None:
    """Write what to order: text for the telephone, CSV, JSON, PDF with outlines to scale, a label with a QR code."""
    from voicefit.errors import BadInput
    from voicefit.ordering.slip import OrderSlip

    with errors_as_exit_codes():
        if schema:
            print_json(OrderSlip.model_json_schema())
            return
        if job is None and not end and not join:
            raise BadInput("give a job's id, or --end")
        made, ordering = _slip(context, job, end, join, store)
        if to is not None:
            from voicefit.slips.files import KINDS, write_slip

            paths = write_slip(made, ordering.catalogue, to, as_ or KINDS)
            if not json:
                for path in paths:
                    print(path)
        if json:
            print_json(made.model_dump(mode="json", exclude_defaults=True) | {"format": made.format})
        elif to is None:
            from voicefit.ordering.slip_text import to_text

            if as_:
                say("voicefit: --as needs --to; here is the text.")
            print(to_text(made), end="")


def _slip(
    context: typer.Context, job: str | None, ends: list[str], join: list[str], store: str | None
) -> tuple[OrderSlip, Ordering]:
    from voicefit.driver import open_knowledge
    from voicefit.journal.stock_file import load_stock
    from voicefit.journal.store import default_folder
    from voicefit.ordering.job_slip import job_slip

    knowledge = open_knowledge(context.obj.catalogue if context.obj else None)
    ordering = knowledge.aftercare.ordering
    stock = load_stock(default_folder()).of
    if job is not None:
        return _recorded(knowledge, job, store, stock), ordering
    return job_slip(ordering, _asked_for(ordering, ends, join), stock), ordering


def _asked_for(ordering: Ordering, ends: list[str], join: list[str]) -> JobFacts:
    from voicefit.errors import BadInput
    from voicefit.journal.session_log import utc_now
    from voicefit.ordering.job_slip import EndFacts, JobFacts

    goals = []
    for pair in join:
        first, sign, second = pair.partition(":")
        if not sign:
            raise BadInput(f"{pair}: give ID:ID")
        goals.append((ordering.end(first).id, ordering.end(second).id))
        if ordering.chain(first, second) is None:
            say(f"voicefit: no chain of two adapters goes from {first} to {second}.")
    known = tuple(EndFacts(ordering.end(each).id) for each in ends)
    return JobFacts(job="without-job", written_at=utc_now(), ends=known, goals=tuple(goals))


def _recorded(knowledge: Knowledge, job: str, store: str | None, stock: StockLookUp) -> OrderSlip:
    from voicefit.cli.jobs import opened
    from voicefit.dialogue import Session
    from voicefit.journal.history import find, sessions_of
    from voicefit.journal.session_log import utc_now
    from voicefit.slips.job import slip_of_job

    with opened(store) as journal:
        records, known = find(sessions_of(journal.contents()), job)
    session = Session.replay(knowledge, records.entries)
    return slip_of_job(
        session, known.number, job_id=known.id, opened_at=known.opened_at, written_at=utc_now(), stock=stock
    )
