"""The commands ``ask``, ``hear``, ``replay`` and ``demo``: the main job without a live microphone.

Duty: arguments in, documents or lines out. The session and its edges do the rest.
"""

from __future__ import annotations

import contextlib
import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import (
    BAD_INPUT,
    DONE,
    JSON_OPTION,
    NOTHING,
    PLAIN_OPTION,
    errors_as_exit_codes,
    print_json,
    say,
    with_progress,
)

if TYPE_CHECKING:
    from voicefit.audio.live import Speak
    from voicefit.dialogue import Knowledge, Snapshot
    from voicefit.documents import AnswerDocument
    from voicefit.driver import Conversation

ENGINE_OPTION = typer.Option("neural", "--engine", help="Recogniser: neural or vosk.")
MODEL_OPTION = typer.Option(None, "--model", help="Folder (or name) of the recogniser's model.")


def register(app: typer.Typer) -> None:
    app.command(epilog='Example: voicefit ask "inside fifteen point one millimeters, nineteen pitch"')(ask)
    app.command(epilog="Example: voicefit hear sentence.wav --json")(hear)
    app.command(epilog="Example: voicefit replay night-shift.txt")(replay)
    app.command(epilog="Example: voicefit demo --to reply.wav")(demo)


def ask(
    context: typer.Context,
    text: str = typer.Argument(help="What was said, as words; - reads one sentence a line from stdin."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """Take one sentence as text and answer: the leading candidates and the next check."""
    from voicefit.driver.lines import utterances_in

    with errors_as_exit_codes():
        knowledge = _knowledge(context)
        if text != "-":
            raise typer.Exit(_finish(_one(knowledge, text), json=json, plain=plain))
        codes = [
            _finish(_one(knowledge, line), json=json, plain=plain, one_line=True)
            for line in utterances_in(sys.stdin.buffer, "stdin")
        ]
        if not codes:
            say("voicefit: stdin held no sentence")
            raise typer.Exit(BAD_INPUT)
        raise typer.Exit(DONE if DONE in codes else NOTHING)


def hear(
    context: typer.Context,
    file: Path = typer.Argument(help="WAV or FLAC, any common rate, mono or stereo."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
    engine: str = ENGINE_OPTION,
    model: str | None = MODEL_OPTION,
) -> None:
    """Take a sound file with one or several utterances and answer as ask does."""
    with errors_as_exit_codes():
        raise typer.Exit(_finish(_heard(_knowledge(context), file, engine, model), json=json, plain=plain))


def replay(
    context: typer.Context,
    script: Path = typer.Argument(help="A text file, one utterance a line; # begins a comment line."),
    json: bool = JSON_OPTION,
) -> None:
    """Run a recorded transcript through one session and print each reply."""
    from voicefit.dialogue import Settings
    from voicefit.documents import answer_document
    from voicefit.driver.lines import Lines, lines_of
    from voicefit.driver.loop import drive
    from voicefit.driver.talk import Edges, Talk

    with errors_as_exit_codes():
        lines = lines_of(script)
        if not lines:
            say(f"voicefit: {script} holds no utterance")
            raise typer.Exit(BAD_INPUT)
        knowledge, said, understood = _knowledge(context), iter(lines), False

        def show(snapshot: Snapshot) -> None:
            nonlocal understood
            answer = answer_document(knowledge.catalogue, snapshot)
            understood = understood or understood_in(answer)
            if json:
                print_json(answer, one_line=True)
            else:
                print(f"> {next(said)}\n  {answer.reply or '(silent)'}")

        sound = Lines(lines, by_person=False)
        drive(Talk(knowledge, Settings(), Edges(sound, show=show)), sound)
        raise typer.Exit(DONE if understood else NOTHING)


def demo(
    context: typer.Context,
    to: Path = typer.Option(Path("out/reply.wav"), "--to", help="Where the spoken reply goes."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """Run the main job on a recorded sentence that comes with the tool; no microphone is needed."""
    from voicefit.dialogue import Settings
    from voicefit.driver.edges import speaking
    from voicefit.resources import data_folder

    with errors_as_exit_codes(), speaking(Settings(), lambda text: say(f"voicefit: {text}")) as speak:
        sentence = data_folder() / "demo" / "sentence.flac"
        say(f"Hearing {sentence.name} …")
        to.parent.mkdir(parents=True, exist_ok=True)
        answer = _heard(_knowledge(context), sentence, "neural", None, speak, to)
        code = _finish(answer, json=json, plain=plain)
        _play(to)
        raise typer.Exit(code)


def _play(reply: Path) -> None:
    """Aloud where a speaker exists."""
    import soundfile

    from voicefit.audio.sinks import play_if_possible
    from voicefit.records import Sound

    say(f"The spoken reply is in {reply}.")
    samples, rate_hz = soundfile.read(reply, dtype="int16")
    if not play_if_possible(Sound(samples, rate_hz)):
        say("There is no speaker here, so it was not played.")


def _knowledge(context: typer.Context) -> Knowledge:
    from voicefit.driver import open_knowledge

    return open_knowledge(context.obj.catalogue if context.obj else None)


def _one(knowledge: Knowledge, text: str) -> AnswerDocument:
    """A session of its own for one sentence."""
    from voicefit.driver import Conversation

    conversation = Conversation(knowledge)
    return _summary(conversation, [conversation.take_text(text)])


def _heard(
    knowledge: Knowledge,
    file: Path,
    engine: str,
    model: str | None,
    speak: Speak | None = None,
    to: Path | None = None,
) -> AnswerDocument:
    """What a session makes of a sound file, in one document; with ``speak`` the replies are written to ``to``."""
    from voicefit.audio.files import audio_blocks, seconds_of
    from voicefit.dialogue import Settings
    from voicefit.driver.edges import recording
    from voicefit.driver.loop import drive
    from voicefit.driver.talk import Edges, Talk
    from voicefit.recognition import open_recogniser

    heard = with_progress(audio_blocks(file), "Hearing", math.ceil(seconds_of(file)))  # about a second a block
    with contextlib.closing(recording(heard, speak, to=to, gaps=False)) as sound:
        snapshots: list[Snapshot] = []
        talk = Talk(knowledge, Settings(), Edges(sound, show=snapshots.append))
        drive(talk, sound, open_recogniser(engine, model))
        return _summary(talk.conversation, snapshots)


def _summary(conversation: Conversation, snapshots: list[Snapshot]) -> AnswerDocument:
    """One document for all utterances: the last state, with all that was heard and all that was refused.

    A live session answers silence after a while; here there is no while, so it is answered at once.
    """
    from voicefit.documents import answer_document
    from voicefit.records import Quiet, Reason, Refused, Rejection

    if not any(snapshot.heard or snapshot.rejected for snapshot in snapshots):
        snapshots = [conversation.take(Refused(Rejection("", Reason.SILENCE)))]
    if not any(snapshot.reply for snapshot in snapshots):
        snapshots = [*snapshots, conversation.take(Quiet(0.0))]
    answers = [answer_document(conversation.knowledge.catalogue, snapshot) for snapshot in snapshots]
    return answers[-1].model_copy(
        update={
            "heard": ". ".join(answer.heard for answer in answers if answer.heard),
            "rejected": [rejection for answer in answers for rejection in answer.rejected],
            "did": [function for answer in answers for function in answer.did],
        }
    )


def understood_in(answer: AnswerDocument) -> bool:
    """Whether anything was understood: a reading that stands, or words that were not refused."""
    return bool(answer.readings) or (bool(answer.heard) and not answer.rejected)


def _finish(answer: AnswerDocument, *, json: bool, plain: bool, one_line: bool = False) -> int:
    """Print an answer; its exit code."""
    if json:
        print_json(answer, one_line=one_line)
    else:
        from voicefit.cli.screen import rows_of, show

        show(rows_of(answer), plain=plain)
    return DONE if understood_in(answer) and not answer.nothing_fits else NOTHING
