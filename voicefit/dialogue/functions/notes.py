"""Voice notes beside a job: free speech is recorded, not transcribed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import hoses, identification
from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.functions import Does
from voicefit.dialogue.record import Note
from voicefit.dialogue.state import Sure
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Meaning, NoteDone


def note(turn: Turn, command: Command) -> None:
    turn.look(recording="note")
    turn.say("note")
    turn.do(Deed.RECORD, "note")


def play_note(turn: Turn, command: Command) -> None:
    mine = _notes(turn)
    if not mine:
        turn.say("no-note")
        return
    turn.say("playing")
    turn.do(Deed.PLAY, mine[-1].name)


def keep_sound(turn: Turn, command: Command) -> None:
    turn.set("keep_speech", True)
    turn.say("keep-sound")


def keep_no_sound(turn: Turn, command: Command) -> None:
    turn.set("keep_speech", False)
    turn.say("keep-no-sound")


def what_is_kept(turn: Turn, command: Command) -> None:
    """The notes of this job, and whether what is said is kept too."""
    wording = turn.knowledge.wording
    count = len(_notes(turn))
    if count:
        turn.say("kept-notes", count=f"{wording.count(count)} {wording.plain('note' if count == 1 else 'notes')}")
    else:
        turn.say("no-note")
    turn.say("listed", items=wording.plain(f"keep_speech.{'yes' if turn.settings.keep_speech else 'no'}"))


def remove_note(turn: Turn, command: Command) -> None:
    """Remove the last note: asked first, for there is no undo."""
    mine = _notes(turn)
    if not mine:
        turn.say("no-note")
    elif command.argument is None:
        _ask(turn, command)
    else:
        turn.log("sound_removed", names=[mine[-1].name])
        turn.do(Deed.REMOVE, mine[-1].name)
        turn.say("note-removed")


def remove_sound(turn: Turn, command: Command) -> None:
    """Remove all sound of this job, the machine's name and kept speech too: asked first, for there is no undo."""
    if command.argument is None:
        _ask(turn, command)
        return
    turn.log("sound_removed", names=[each.name for each in _notes(turn)])
    turn.do(Deed.REMOVE, f"job {turn.job.number}")
    turn.say("sound-removed", job=turn.knowledge.wording.count(turn.job.number))


def _ask(turn: Turn, command: Command) -> None:
    sure = replace(command, argument="sure")
    turn.look(question=Sure(Meaning(command.heard, (sure,))), lesson=None, listing=None)
    turn.say(command.name)


def _notes(turn: Turn) -> list[Note]:
    return [each for each in turn.record.notes if each.job == turn.job.number]


def recorded(turn: Turn, event: NoteDone) -> None:
    """A note, or the machine's name, has been recorded by the edge."""
    purpose = turn.focus.recording
    turn.look(recording="")
    topic = hoses.topic_of(turn.focus.check)
    if purpose == "note" and topic in hoses.NOTED:
        turn.log("note", name=event.name, seconds=event.seconds)
        turn.log("answered", topic=str(topic), text=event.name)
        turn.say("answer-kept")
        identification.report(turn)
        return
    if purpose == "machine":
        turn.log("machine", name=event.name)
        turn.say("machine-kept")
        return
    turn.log("note", name=event.name, seconds=event.seconds)
    turn.say("note-kept", seconds=turn.knowledge.wording.count(max(1, round(event.seconds))))


TABLE: Mapping[str, Does] = {
    "note": note,
    "play-note": play_note,
    "keep-sound": keep_sound,
    "keep-no-sound": keep_no_sound,
    "what-is-kept": what_is_kept,
    "remove-note": remove_note,
    "remove-sound": remove_sound,
}
