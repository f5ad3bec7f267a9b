"""Voice notes beside a job, recorded and not transcribed; and the machine's name, spelled or recorded."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import accumulate

from voicefit.dialogue import asking, entries, hoses, identification
from voicefit.dialogue.functions import Does, slip_lines
from voicefit.dialogue.record import Note
from voicefit.dialogue.state import Confirming, Deed, Explaining, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.numerals import spell as spell_together
from voicefit.records import Command, Meaning, NoteDone

_CAPITAL = re.compile(r"\b[A-Z][a-z]+")
_POINTS_BACK = re.compile(r"\b(that|it)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"[^.?]+[.?]\s*")
_NEXT = re.compile(r"(the )?(next|new) job\b", re.IGNORECASE)  # "the next job is called" begins it


def note(turn: Turn, command: Command) -> None:
    """Keep the words said in the same breath, or of "write that down" those that it points to; without any, record what
    is said next."""
    words = command.argument or (_pointed_to(turn) if _POINTS_BACK.search(turn.heard) else "")
    if words:
        turn.log(entries.NoteKept(name=words[: entries.LONGEST_NOTE], seconds=0.0))
        turn.say("note-written", text=words[: entries.LONGEST_NOTE])
        return
    if words is None:
        turn.say("note-on-record")
        return
    turn.look(recording="note")
    turn.say("note")
    turn.do(Deed.RECORD, "note")


def _pointed_to(turn: Turn) -> str | None:
    """What was said last: the remark, where that told nothing of an end, or what was answered to a question, as many of
    its sentences as a note keeps. ``None`` where it is on record already; empty where nothing was said."""
    last, by_id = turn.before.last, turn.knowledge.registry.by_id
    if last.rejected or last.did == ("aside",):
        return last.heard
    if last.heard and not (last.did and all(by_id[name].harmless for name in last.did)):
        return None
    sentences = _SENTENCE.findall(last.reply) if last.heard else []
    lengths = accumulate(len(sentence) for sentence in sentences)
    kept = [sentence for sentence, length in zip(sentences, lengths, strict=True) if length <= entries.LONGEST_NOTE]
    return "".join(kept).strip()


def play_note(turn: Turn, command: Command) -> None:
    mine = _notes(turn)
    if not mine:
        turn.say("no-note")
        return
    if not mine[-1].seconds or "notes" in command.heard.casefold():  # kept in words, or all of them
        slip_lines.read_notes(turn)
    if not mine[-1].seconds:
        return
    turn.say("playing")
    turn.do(Deed.PLAY, mine[-1].name)


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
        turn.log(entries.SoundRemoved(names=(mine[-1].name,)))
        if mine[-1].seconds:
            turn.do(Deed.REMOVE, mine[-1].name)
        turn.say("note-removed")


def remove_sound(turn: Turn, command: Command) -> None:
    """Remove all sound of this job, the machine's name and kept speech too: asked first, for there is no undo."""
    if command.argument is None:
        _ask(turn, command)
        return
    turn.log(entries.SoundRemoved(names=tuple(each.name for each in _notes(turn))))
    turn.do(Deed.REMOVE, f"job {turn.job.number}")
    turn.say("sound-removed", job=turn.knowledge.wording.count(turn.job.number))


def _ask(turn: Turn, command: Command) -> None:
    sure = replace(command, argument="sure")
    turn.look(listing=None)
    asking.ask_sure(turn, Confirming(Meaning(command.heard, (sure,))))


def _notes(turn: Turn) -> list[Note]:
    return [each for each in turn.record.notes if each.job == turn.job.number]


def recorded(turn: Turn, event: NoteDone) -> None:
    """A note, or the machine's name, has been recorded by the edge."""
    purpose = turn.focus.recording
    turn.look(recording="")
    topic = hoses.topic_of(turn.focus.check)
    if purpose == "note" and topic in hoses.NOTED:
        turn.log(entries.NoteKept(name=event.name, seconds=event.seconds))
        turn.log(entries.Answered(topic=str(topic), text=event.name))
        turn.say("answer-kept")
        identification.report(turn)
        return
    if purpose == "machine":
        turn.log(entries.Machine(name=event.name))
        turn.say("machine-kept")
        return
    turn.log(entries.NoteKept(name=event.name, seconds=event.seconds))
    turn.say("note-kept", seconds=turn.knowledge.wording.count(max(1, round(event.seconds))))


def name_machine(turn: Turn, command: Command) -> None:
    """Keep the name that was spelled in the same breath; without one, record it."""
    if command.argument:
        _keep(turn, command.argument)
        return
    turn.look(recording="machine")
    turn.say("machine")
    turn.do(Deed.RECORD, "machine")


def name_job(turn: Turn, command: Command) -> None:
    """Keep the name said in the same breath: words, which are said as they are."""
    if not command.argument:
        job_name(turn, command)
        return
    if _NEXT.match(command.heard):
        turn.functions["new-job"](turn, Command("new-job", command.heard))
    _keep(turn, _CAPITAL.sub(lambda word: word[0].lower(), command.argument[: entries.LONGEST_NOTE]), "job-named")


def job_name(turn: Turn, command: Command) -> None:
    turn.say(
        "job-named" if turn.job.machine else "job-name-none", name=aloud(turn, turn.job.machine), job=_number(turn)
    )


def spell(turn: Turn, command: Command) -> None:
    """Begin to spell, or take the next piece of the name; it is read back letter by letter."""
    so_far = _pieces(turn)
    turn.leave()
    if command.argument is None:
        turn.turn_to(Spelling(so_far))
        turn.ask("spell")
        return
    turn.turn_to(Spelling((*so_far, command.argument)))
    say_so_far(turn)


def _pieces(turn: Turn) -> tuple[str, ...]:
    begun = turn.focus.begun
    return begun.pieces if isinstance(begun, Spelling) else ()


def say_so_far(turn: Turn) -> None:
    pieces = _pieces(turn)
    if pieces:
        turn.ask("spelled-so-far", name=aloud(turn, joined(pieces)))
    else:
        turn.ask("spell")


def done(turn: Turn, command: Command) -> None:
    """A name is spelled; a step was made; where neither is, how one goes on from here."""
    pieces = _pieces(turn)
    if isinstance(turn.focus.mode, Explaining):
        turn.functions["more"](turn, command)
    elif not isinstance(turn.focus.begun, Spelling):
        turn.say("done-with-what")
        identification.ask(turn, on_request=True)
    elif not pieces:
        turn.leave()
        turn.say("name-dropped")
    else:
        _keep(turn, joined(pieces))


def _keep(turn: Turn, name: str, reply: str = "machine-named") -> None:
    turn.log(entries.Machine(text=name))
    turn.leave()
    turn.say(reply, name=aloud(turn, name), job=_number(turn))


def _number(turn: Turn) -> str:
    return turn.knowledge.wording.count(turn.job.number)


def joined(pieces: tuple[str, ...]) -> str:
    """Pieces side by side, words apart: ("loader", "A1", "2") is "loader A12"."""
    return spell_together(*pieces) or ""


def aloud(turn: Turn, name: str) -> str:
    return turn.knowledge.language.say_name(name)


TABLE: Mapping[str, Does] = {
    "note": note,
    "play-note": play_note,
    "what-is-kept": what_is_kept,
    "remove-note": remove_note,
    "remove-sound": remove_sound,
} | {"name-machine": name_machine, "name-job": name_job, "job-name": job_name, "spell": spell, "done": done}
