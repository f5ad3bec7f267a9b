"""Voice notes beside a job: free speech is recorded, not transcribed."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import hoses, identification
from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, NoteDone


def note(turn: Turn, command: Command) -> None:
    turn.look(recording="note")
    turn.say("note")
    turn.do(Deed.RECORD, "note")


def play_note(turn: Turn, command: Command) -> None:
    mine = [each for each in turn.record.notes if each.job == turn.job.number]
    if not mine:
        turn.say("no-note")
        return
    turn.say("playing")
    turn.do(Deed.PLAY, mine[-1].name)


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


TABLE: Mapping[str, Does] = {"note": note, "play-note": play_note}
