"""The command ``talk``: the live session.

Duty: open the edges that the options and settings name, and run the session. It must not answer anything itself.
"""

from __future__ import annotations

import contextlib
import gc
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import JSON_OPTION, errors_as_exit_codes, print_json, say
from voicefit.cli.job import ENGINE_OPTION, MODEL_OPTION, PLAIN_OPTION

if TYPE_CHECKING:
    from voicefit.dialogue import Knowledge, Settings, Snapshot
    from voicefit.driver import Conversation
    from voicefit.driver.talk import Edges
    from voicefit.journal.notes import NoteShelf
    from voicefit.ordering.job_slip import StockLookUp


def register(app: typer.Typer) -> None:
    app.command(epilog="Example: voicefit talk --from shift.wav --to answers.wav")(talk)


def talk(
    context: typer.Context,
    source: Path | None = typer.Option(None, "--from", help="Hear this sound file instead of a microphone."),
    to: Path | None = typer.Option(None, "--to", help="With --from: write the spoken replies to this WAV."),
    typed: bool = typer.Option(False, "--typed", help="No sound: type each utterance, read each reply."),
    job: str | None = typer.Option(None, "--job", metavar="ID", help="Go on with this job, as voicefit jobs lists it."),
    store: str | None = typer.Option(None, "--store", help="Journal: a file, a folder or a database URL."),
    headset: bool = typer.Option(False, "--headset", help="A headset is worn: replies may be talked over."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
    engine: str = ENGINE_OPTION,
    model: str | None = MODEL_OPTION,
) -> None:
    """Talk: microphone in, speech out, until told to stop. With --from and --to, without devices.

    What was left open when the last session ended, or was cut off, is named at the start.
    """
    from dataclasses import replace

    from voicefit.cli.recording import recording
    from voicefit.driver import open_knowledge
    from voicefit.driver.talk import Talk
    from voicefit.errors import BadInput
    from voicefit.journal.stock_file import load_stock
    from voicefit.journal.store import default_folder
    from voicefit.settings import load_settings

    with errors_as_exit_codes():
        if to is not None and source is None:
            raise BadInput("--to goes with --from: a live session speaks through the speaker")
        if typed and source is not None:
            raise BadInput("--typed or --from: not both")
        settings = load_settings()
        if headset:
            settings = replace(settings, barge_in=True)
        shelves = load_stock(default_folder()).of
        knowledge = open_knowledge(context.obj.catalogue if context.obj else None).with_stock(shelves)
        opened = typed_edges() if typed else heard_edges(settings, source, to, engine, model)
        with opened as edges, recording(knowledge, store, job) as kept:
            edges.log, edges.entries, edges.begin, edges.news = kept.log, kept.entries, kept.begin, kept.news
            edges.write_slip = lambda live, session, number: _write_slip(live, session, int(number), shelves)
            edges.show = lambda snapshot: show_answer(knowledge, snapshot, json=json, plain=plain)
            edges.tell = lambda text: say(f"voicefit: {text}")
            with contextlib.suppress(KeyboardInterrupt):
                Talk(knowledge, settings, edges).run()
                return
            say("Stopped.")


@contextlib.contextmanager
def typed_edges() -> Iterator[Edges]:
    """The keyboard alone."""
    from voicefit.driver.lines import Lines, typed
    from voicefit.driver.talk import Edges
    from voicefit.settings import save_settings

    yield Edges(sound=Lines(typed(sys.stdin)), shelf=_shelf(), keep=save_settings, greets=True)


@contextlib.contextmanager
def heard_edges(
    settings: Settings, source: Path | None, to: Path | None, engine: str, model: str | None
) -> Iterator[Edges]:
    """Sound, voice and recogniser. What only a session with a person has: a keyboard beside the microphone, settings
    that last, devices to choose from by name, no time to lose."""
    from voicefit.driver.edges import devices, names_of, recording
    from voicefit.driver.lines import read_beside
    from voicefit.driver.speaking import speaking
    from voicefit.driver.talk import Edges
    from voicefit.recognition import open_recogniser
    from voicefit.settings import save_settings

    with speaking(settings, lambda text: say(f"voicefit: {text}")) as speak:
        if source is not None:
            heard = recording(source, speak, to=to, engine=engine, tone_volume=settings.volume)
            with contextlib.closing(heard):
                yield Edges(sound=heard, speaking=speak, recogniser=open_recogniser(engine, model), shelf=_shelf())
            return
        with contextlib.closing(devices(speak, settings)) as live:
            recogniser = open_recogniser(engine, model)
            read_beside(sys.stdin, live.put)
            speak.prepare("Yes.")  # the first sentence takes a voice ten times as long as any other
            gc.freeze()  # what is loaded stays: to look through it for garbage takes a tenth of a second at a time
            yield Edges(
                sound=live,
                speaking=speak,
                recogniser=recogniser,
                shelf=_shelf(),
                keep=save_settings,
                names_of=lambda what: names_of(what, speak),
            )


def _shelf() -> NoteShelf:
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.store import default_folder

    return NoteShelf(default_folder() / "notes")


def _write_slip(conversation: Conversation, session: str, job: int, stock: StockLookUp) -> None:
    from voicefit.journal.jobs import job_id
    from voicefit.journal.session_log import utc_now
    from voicefit.journal.store import default_folder
    from voicefit.slips.files import write_slip
    from voicefit.slips.job import slip_of_job

    slip = slip_of_job(conversation.session, job, job_id=job_id(session, job), written_at=utc_now(), stock=stock)
    for path in write_slip(slip, conversation.knowledge.catalogue, default_folder() / "slips"):
        say(f"The slip is in {path}.")


def show_answer(knowledge: Knowledge, snapshot: Snapshot, *, json: bool, plain: bool) -> None:
    from voicefit.cli.screen import rows_of, show
    from voicefit.documents import answer_document

    answer = answer_document(knowledge.catalogue, snapshot)
    if json:
        print_json(answer, one_line=True)
    elif answer.heard or answer.reply:
        print()
        show(rows_of(answer), plain=plain)
