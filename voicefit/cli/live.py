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

from voicefit.cli.ask import ENGINE_OPTION, MODEL_OPTION
from voicefit.cli.common import JSON_OPTION, PLAIN_OPTION, errors_as_exit_codes, print_json, say

if TYPE_CHECKING:
    from voicefit.audio.events import Line
    from voicefit.audio.live import LiveSound
    from voicefit.dialogue import Knowledge, Settings, Snapshot
    from voicefit.driver import Conversation
    from voicefit.driver.edges import Speaking
    from voicefit.driver.talk import Edges
    from voicefit.journal.notes import NoteShelf
    from voicefit.ordering.job_slip import StockLookUp
    from voicefit.phone.hosting import Host
    from voicefit.recognition.protocol import Recogniser


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
    phone: bool = typer.Option(False, "--phone", help="Hear and speak through a phone that scans the code shown."),
    glance: bool = typer.Option(False, "--glance", help="Serve the page as a screen to look at, on this machine."),
    address: str | None = typer.Option(None, "--address", help="With --phone or --glance: serve here, in the network."),
    port: int = typer.Option(8443, "--port", min=0, max=65535, help="With --phone or --glance; 0 takes a free one."),
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
    from voicefit.driver.loop import drive
    from voicefit.driver.talk import Talk
    from voicefit.errors import BadInput
    from voicefit.journal.stock_file import load_stock
    from voicefit.journal.store import default_folder
    from voicefit.records import Resumed
    from voicefit.settings import load_settings

    with errors_as_exit_codes():
        if to is not None and source is None:
            raise BadInput("--to goes with --from: a live session speaks through the speaker")
        if typed and source is not None:
            raise BadInput("--typed or --from: not both")
        if phone and (typed or source is not None):
            raise BadInput("--phone goes with neither --typed nor --from: the phone is the microphone")
        if address is not None and not (phone or glance):
            raise BadInput("--address goes with --phone or --glance")
        settings = load_settings()
        if headset:
            settings = replace(settings, barge_in=True)
        shelves = load_stock(default_folder()).of
        knowledge = open_knowledge(context.obj.catalogue if context.obj else None).with_stock(shelves)
        with contextlib.ExitStack() as stack:
            host = (
                stack.enter_context(hosted(address, port, phone=phone, headset=settings.barge_in))
                if phone or glance
                else None
            )
            if typed:
                edges = stack.enter_context(typed_edges(host))
            elif phone and host is not None:
                edges = stack.enter_context(phone_edges(settings, host, engine, model))
            else:
                edges = stack.enter_context(heard_edges(settings, source, to, engine, model, host))
            stack.enter_context(recording(edges, knowledge, store, job))
            if typed and isinstance(edges.begin, Resumed):
                edges.begin = replace(edges.begin, greets=True)  # words on the screen; by ear it is a tone
            edges.write_slip = lambda live, session, number: _write_slip(live, session, int(number), shelves)
            edges.show = lambda snapshot: show_answer(knowledge, snapshot, json=json, plain=plain)
            edges.tell = lambda text: say(f"voicefit: {text}")
            live = Talk(knowledge, settings, edges)
            if host is not None:
                shown = host  # of which mypy knows that it is there

                def show(snapshot: Snapshot) -> None:
                    show_answer(knowledge, snapshot, json=json, plain=plain)
                    shown.show(live.conversation, snapshot)

                edges.show, edges.greets = show, True
            with contextlib.suppress(KeyboardInterrupt):
                drive(live, edges.sound, edges.recogniser)
                return
            say("Stopped.")


@contextlib.contextmanager
def typed_edges(host: Host | None = None) -> Iterator[Edges]:
    """The keyboard alone."""
    from voicefit.driver.lines import Lines, typed
    from voicefit.driver.talk import Edges
    from voicefit.settings import save_settings

    lines = (line for line in typed(sys.stdin) if host is None or not host.answers(line))
    yield Edges(sound=Lines(lines), shelf=_shelf(), keep=save_settings, greets=True)


@contextlib.contextmanager
def heard_edges(
    settings: Settings, source: Path | None, to: Path | None, engine: str, model: str | None, host: Host | None = None
) -> Iterator[Edges]:
    """The devices, or a recording in their place."""
    from voicefit.driver.edges import devices, recogniser_for, recording, speaking
    from voicefit.driver.talk import Edges
    from voicefit.recognition import open_recogniser

    with speaking(settings, lambda text: say(f"voicefit: {text}")) as speak:
        if source is not None:
            heard = recording(source, speak, to=to, tone_volume=settings.volume)
            with contextlib.closing(heard):
                yield Edges(sound=heard, speaking=speak, recogniser=open_recogniser(engine, model), shelf=_shelf())
            return
        with contextlib.closing(devices(speak, settings)) as live:
            yield _with_person(live, speak, recogniser_for(settings, engine, model), host)


@contextlib.contextmanager
def phone_edges(settings: Settings, host: Host, engine: str, model: str | None) -> Iterator[Edges]:
    """The phone, once it has joined: it is waited for with everything ready."""
    from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings
    from voicefit.audio.sinks import play_if_possible
    from voicefit.driver.edges import speaking
    from voicefit.errors import VoicefitError
    from voicefit.phone.sound import PhoneSound
    from voicefit.recognition import open_recogniser

    with speaking(settings, lambda text: say(f"voicefit: {text}")) as speak:
        recogniser = open_recogniser(engine, model)
        with contextlib.suppress(VoicefitError):
            aloud = f"Scan the code on the screen with the phone, and touch the page once. The page is at {host.aloud}."
            play_if_possible(speak(aloud))
        host.wait_for_phone()
        hearing = HearingSettings(barge_in=settings.barge_in, tentative_after_s=TENTATIVE_AFTER_S)
        sound = PhoneSound(speak, host.phone, settings=hearing, tone_volume=settings.volume)
        with contextlib.closing(sound):
            yield _with_person(sound, speak, recogniser, host)


def _with_person(sound: LiveSound, speak: Speaking, recogniser: Recogniser, host: Host | None) -> Edges:
    """What only a session with a person has: a keyboard beside the microphone, settings that last, devices to choose
    from by name, no time to lose."""
    from voicefit.driver.edges import names_of
    from voicefit.driver.lines import read_beside
    from voicefit.driver.talk import Edges
    from voicefit.settings import save_settings

    def put(line: Line) -> None:
        if host is None or not host.answers(line.text):
            sound.put(line)

    read_beside(sys.stdin, put)
    speak.prepare("Yes.")  # the first sentence takes a voice ten times as long as any other
    gc.freeze()  # what is loaded stays: to look through it for garbage takes a tenth of a second at a time
    return Edges(
        sound=sound,
        speaking=speak,
        recogniser=recogniser,
        shelf=_shelf(),
        keep=save_settings,
        names_of=lambda what: names_of(what, speak),
    )


@contextlib.contextmanager
def hosted(address: str | None, port: int, *, phone: bool, headset: bool) -> Iterator[Host]:
    """The page, as long as the session lasts. Raises ``Missing`` where its server is not installed."""
    from voicefit.errors import Missing
    from voicefit.journal.store import default_folder

    try:
        from voicefit.phone.hosting import Host
    except ImportError:
        raise Missing("the phone's page", "install voicefit[phone]: pip install 'voicefit[phone]'") from None
    with contextlib.closing(Host(address, port, default_folder() / "phone", say, phone=phone, headset=headset)) as host:
        yield host


def _shelf() -> NoteShelf:
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.store import default_folder

    return NoteShelf(default_folder() / "notes")


def _write_slip(conversation: Conversation, session: str, job: int, stock: StockLookUp) -> None:
    from voicefit.journal.history import job_id
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
