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
    from voicefit.app import Conversation
    from voicefit.audio.live import ConversationSound
    from voicefit.dialogue import Knowledge, Settings, Snapshot
    from voicefit.ordering.job_slip import StockLookUp
    from voicefit.synthesis import Speech, Voice, VoiceSettings
    from voicefit.talking import Edges, Speaking, Talk


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

    from voicefit.app import open_knowledge
    from voicefit.cli.recording import recording
    from voicefit.errors import BadInput
    from voicefit.journal.stock_file import load_stock
    from voicefit.journal.store import default_folder
    from voicefit.settings import load_settings
    from voicefit.talking import Talk

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
        opened = _edges(settings, source, to, engine, model, typed=typed)
        with opened as edges, recording(knowledge, store, job) as kept:
            edges.log, edges.entries, edges.begin = kept.log, kept.entries, kept.begin
            edges.write_slip = lambda live, session, number: _write_slip(live, session, int(number), shelves)
            edges.show = lambda snapshot: _show(knowledge, snapshot, json=json, plain=plain)
            edges.tell = lambda text: say(f"voicefit: {text}")
            _run(Talk(knowledge, settings, edges))


def _run(session: Talk) -> None:
    try:
        session.run()
    except KeyboardInterrupt:
        say("Stopped.")


@contextlib.contextmanager
def _edges(
    settings: Settings, source: Path | None, to: Path | None, engine: str, model: str | None, *, typed: bool
) -> Iterator[Edges]:
    """Sound, voice and recogniser, or the keyboard alone."""
    from voicefit.cli.typed import TypedSound
    from voicefit.errors import Missing
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.store import default_folder
    from voicefit.recognition import open_recogniser
    from voicefit.talking import Edges, Speaking, TypedLines

    shelf = NoteShelf(default_folder() / "notes")
    if typed:
        lines, silent = TypedLines(sys.stdin), NoVoice(Missing("a voice", "a typed session has none"))
        edges = Edges(sound=TypedSound(lines), speaking=Speaking(silent, settings), typed=lines, shelf=shelf)
        _live(edges)
        yield edges
        return
    with _voice(settings) as speaking, contextlib.closing(_sound(speaking, settings, source, to, engine)) as sound:
        edges = Edges(sound=sound, speaking=speaking, recogniser=open_recogniser(engine, model), shelf=shelf)
        if source is None:
            edges.typed = TypedLines(sys.stdin)
            _live(edges)
        yield edges


def _live(edges: Edges) -> None:
    """What only a session with a person has: settings that last, devices to choose from by name, no time to lose."""
    from voicefit.audio.devices import Host
    from voicefit.settings import save_settings
    from voicefit.synthesis import SupervisedVoice

    def names(what: str) -> list[str]:
        if what == "voice":
            return list(voice.voices()) if isinstance(voice := edges.speaking.voice, SupervisedVoice) else []
        found = Host().devices("input" if what == "microphone" else "output")
        return list(dict.fromkeys(device.name for device in found))

    edges.speaking.prepare("Yes.")  # the first sentence takes a voice ten times as long as any other
    gc.freeze()  # what is loaded stays: to look through all of it for garbage takes a tenth of a second at a time
    edges.keep = save_settings
    edges.names_of = names


class NoVoice:
    """Stands in where no voice can be had: replies are printed, and the session is told."""

    name = "none"

    def __init__(self, error: Exception) -> None:
        self._error = error

    def speak(self, text: str, settings: VoiceSettings) -> Speech:
        raise self._error

    def close(self) -> None:
        pass


@contextlib.contextmanager
def _voice(settings: Settings) -> Iterator[Speaking]:
    from voicefit.errors import Missing
    from voicefit.synthesis import open_voice
    from voicefit.talking import Speaking

    try:
        voice: Voice = open_voice(None)
    except Missing as error:
        say(f"voicefit: {error}. Replies are printed.")
        voice = NoVoice(error)
    try:
        yield Speaking(voice, settings)
    finally:
        voice.close()


def _sound(
    speaking: Speaking, settings: Settings, source: Path | None, to: Path | None, engine: str
) -> ConversationSound:
    from voicefit.audio.ears import TENTATIVE_AFTER_S, HearingSettings
    from voicefit.settings import load_hearing

    profile = load_hearing(report=lambda text: None)  # the settings beside it were loaded, and reported on, before
    checked = profile.microphone == settings.microphone and source is None
    hearing = HearingSettings(
        barge_in=settings.barge_in,
        tentative_after_s=TENTATIVE_AFTER_S if engine != "text" else (),  # a script has one line an utterance
        quietest_dbfs=profile.quietest_dbfs if checked else None,
    )
    if source is not None:
        from voicefit.audio.recorded import RecordedSound

        return RecordedSound(source, speaking, to=to, settings=hearing, tone_volume=settings.volume)
    from voicefit.audio.live import LiveSound

    return LiveSound(
        speaking,
        microphone=settings.microphone,
        speaker=settings.speaker,
        settings=hearing,
        tone_volume=settings.volume,
    )


def _write_slip(conversation: Conversation, session: str, job: int, stock: StockLookUp) -> None:
    from voicefit.journal.jobs import job_id
    from voicefit.journal.session_log import utc_now
    from voicefit.journal.store import default_folder
    from voicefit.slips.files import write_slip
    from voicefit.slips.job import slip_of_job

    slip = slip_of_job(conversation.session, job, job_id=job_id(session, job), written_at=utc_now(), stock=stock)
    for path in write_slip(slip, conversation.knowledge.catalogue, default_folder() / "slips"):
        say(f"The slip is in {path}.")


def _show(knowledge: Knowledge, snapshot: Snapshot, *, json: bool, plain: bool) -> None:
    from voicefit.cli.screen import rows_of, show
    from voicefit.documents import answer_document

    answer = answer_document(knowledge.catalogue, snapshot)
    if json:
        print_json(answer, one_line=True)
    else:
        print()
        show(rows_of(answer), plain=plain)
