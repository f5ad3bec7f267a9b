"""The commands ``ask``, ``hear``, ``replay`` and ``demo``: the main job without a live microphone.

Duty: arguments in, documents or lines out. The session and its edges do the rest.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from voicefit.cli.common import BAD_INPUT, DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say

if TYPE_CHECKING:
    from voicefit.app import Conversation
    from voicefit.dialogue import Knowledge, Snapshot
    from voicefit.documents import AnswerDocument

PLAIN_OPTION = typer.Option(False, "--plain", help="Bare lines, for screen readers and files.")
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
    from voicefit.app import utterances_in

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
    from voicefit.app import Conversation

    with errors_as_exit_codes():
        conversation = Conversation(_knowledge(context))
        snapshots = list(_heard(conversation, file, engine, model))
        raise typer.Exit(_finish(_summary(conversation, snapshots), json=json, plain=plain))


def replay(
    context: typer.Context,
    script: Path = typer.Argument(help="A text file, one utterance a line; # begins a comment line."),
    json: bool = JSON_OPTION,
) -> None:
    """Run a recorded transcript through one session and print each reply."""
    from voicefit.app import Conversation, lines_of
    from voicefit.documents import answer_document

    with errors_as_exit_codes():
        lines = lines_of(script)
        if not lines:
            say(f"voicefit: {script} holds no utterance")
            raise typer.Exit(BAD_INPUT)
        conversation = Conversation(_knowledge(context))
        understood = False
        for line in lines:
            snapshot = conversation.take_text(line, typed=False)
            answer = answer_document(conversation.knowledge.catalogue, snapshot)
            understood = understood or understood_in(answer)
            if json:
                print_json(answer, one_line=True)
            else:
                print(f"> {line}\n  {answer.reply or '(silent)'}")
            if conversation.stopped:
                break
        raise typer.Exit(DONE if understood else NOTHING)


def demo(
    context: typer.Context,
    to: Path = typer.Option(Path("out/reply.wav"), "--to", help="Where the spoken reply goes."),
    json: bool = JSON_OPTION,
    plain: bool = PLAIN_OPTION,
) -> None:
    """Run the main job on a recorded sentence that comes with the tool; no microphone is needed."""
    from voicefit.app import Conversation
    from voicefit.errors import VoicefitError
    from voicefit.resources import data_folder

    with errors_as_exit_codes():
        sentence = data_folder() / "demo" / "sentence.flac"
        say(f"Hearing {sentence.name} …")
        conversation = Conversation(_knowledge(context))
        answer = _summary(conversation, list(_heard(conversation, sentence, "neural", None)))
        code = _finish(answer, json=json, plain=plain)
        try:
            _speak(answer.reply, to)
        except VoicefitError as error:  # the reply stands printed: a missing voice is no failure of the job
            say(f"voicefit: {error}")
        raise typer.Exit(code)


def _speak(reply: str, to: Path) -> None:
    """The reply as a WAV, and aloud where a speaker exists."""
    from voicefit.audio.files import write_wav
    from voicefit.audio.sinks import play_if_possible
    from voicefit.synthesis import VoiceSettings, open_voice

    voice = open_voice(None)
    try:
        speech = voice.speak(reply, VoiceSettings())
    finally:
        voice.close()
    to.parent.mkdir(parents=True, exist_ok=True)
    write_wav(to, speech.samples, speech.rate_hz)
    say(f"The spoken reply is in {to}.")
    if not play_if_possible(speech):
        say("There is no speaker here, so it was not played.")


def _knowledge(context: typer.Context) -> Knowledge:
    from voicefit.app import open_knowledge

    return open_knowledge(context.obj.catalogue if context.obj else None)


def _one(knowledge: Knowledge, text: str) -> AnswerDocument:
    """A session of its own for one sentence."""
    from voicefit.app import Conversation

    conversation = Conversation(knowledge)
    return _summary(conversation, [conversation.take_text(text)])


def _heard(conversation: Conversation, file: Path, engine: str, model: str | None) -> Iterator[Snapshot]:
    """The session after each utterance of a sound file."""
    from voicefit.audio.endpointing import Endpointer
    from voicefit.audio.files import audio_blocks
    from voicefit.recognition import open_recogniser

    blocks = audio_blocks(file)
    first = next(blocks)  # a bad file is told before the engine is loaded
    recogniser = open_recogniser(engine, model)
    endpointer = Endpointer()
    for block in (first, *blocks, None):
        for utterance in endpointer.flush() if block is None else endpointer.feed(block):
            yield conversation.take_utterance(recogniser, utterance)
            if conversation.stopped:
                return


def _summary(conversation: Conversation, snapshots: list[Snapshot]) -> AnswerDocument:
    """One document for all utterances: the last state, with all that was heard and all that was refused.

    A live session answers silence after a while; here there is no while, so it is answered at once.
    """
    from voicefit.documents import answer_document
    from voicefit.records import Quiet, Reason, Refused, Rejection

    if not snapshots:
        snapshots = [conversation.take(Refused(Rejection("", Reason.SILENCE)))]
    if not any(snapshot.reply for snapshot in snapshots):
        snapshots = [*snapshots, conversation.take(Quiet(0.0))]
    answers = [answer_document(conversation.knowledge.catalogue, snapshot) for snapshot in snapshots]
    return answers[-1].model_copy(
        update={
            "heard": ". ".join(answer.heard for answer in answers if answer.heard),
            "rejected": [rejection for answer in answers for rejection in answer.rejected],
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
