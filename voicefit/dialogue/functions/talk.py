"""The universal words: repeat, back, undo, cancel, help, more, start over, stop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.dialogue import asking, entries, identification, placing, readback, refusals
from voicefit.dialogue.expecting import situations
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.notes import say_so_far
from voicefit.dialogue.functions.reasons import step_on
from voicefit.dialogue.record import END, HOSE, Work
from voicefit.dialogue.state import Checking, Choosing, Confirming, Correcting, Explaining, Listing, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.dialogue.undoing import changed_orders, differences, steps_back
from voicefit.records import Command, Meaning

_ANEW = frozenset({"start", "begin", "over", "again", "scratch", "beginning", "top", "fresh", "afresh", "anew", "new"})

# By topic, the groups of functions whose help lines "more" reads.
TOPICS: Mapping[str, tuple[str, ...]] = {
    "help-hoses": ("hoses", "fluids"),
    "help-orders": ("using it",),
    "help-settings": ("settings", "listening"),
    "help-corrections": ("readings",),
    "help-jobs": ("jobs", "notes"),
}


def repeat(turn: Turn, command: Command) -> None:
    turn.keep_reply = turn.asked = True
    if turn.before.last.spoken:
        turn.speak(turn.before.last.spoken)
    else:
        turn.say("nothing-to-repeat")


def back(turn: Turn, command: Command) -> None:
    """The step before in a lesson, the items before in a list; else to the piece that was in hand before. Nothing is
    taken back."""
    listing = turn.focus.listing
    if isinstance(turn.focus.mode, Explaining):
        step_on(turn, -1)
    elif listing is not None and listing.starts:
        read(turn, replace(listing, starts=listing.starts[:-1] or listing.starts))
    elif isinstance(turn.focus.begun, Spelling):
        take_back(turn, 1)
    elif turn.focus.question is None:
        placing.go_back(turn)


def undo(turn: Turn, command: Command) -> None:
    take_back(turn, int(command.argument) if command.argument else 1)


def take_back(turn: Turn, wanted: int) -> None:
    """Step back over turns that changed the record, and say what is now true.

    A question about something that is not on record yet counts as a turn.
    """
    mode = turn.focus.mode
    if isinstance(mode, Spelling) and mode.pieces:
        turn.turn_to(Spelling(mode.pieces[:-1]))
        say_so_far(turn)
        return
    if isinstance(mode, Spelling):
        turn.turn_to(Checking())
        turn.say("name-dropped")
        return
    if turn.focus.question is not None:
        turn.settle()
        wanted -= 1
        if wanted < 1:
            turn.say("not-that")
            return
    if "order-slip" in turn.before.last.did and turn.record.past and not changed_orders(turn.record):
        turn.say("nothing-to-undo-of-order")
        return
    turns, done = steps_back(turn.record, wanted)
    if done == 0:
        turn.say("nothing-to-undo")
        return
    before = turn.record.work
    turn.log(entries.Undone(turns=turns))
    _say_what_changed(turn, before, "undone")
    if done < wanted:
        turn.say("undo-fewer", count=turn.knowledge.wording.count(done))


def redo(turn: Turn, command: Command) -> None:
    """The last undo is taken back; where nothing was undone since, what the last step took away comes back."""
    before = turn.record.work
    if turn.record.undone:
        turn.log(entries.Redone())
        _say_what_changed(turn, before, "redone")
        return
    turns, _ = steps_back(turn.record, 1)
    took_away = turns and differences(turn.knowledge, turn.record.past[-turns], before)
    if not took_away or differences(turn.knowledge, before, turn.record.past[-turns]):
        turn.say("nothing-to-redo")
        identification.ask(turn, on_request=True)
        return
    turn.log(entries.Undone(turns=turns))
    _say_what_changed(turn, before, "undone")


def _say_what_changed(turn: Turn, before: Work, reply: str) -> None:
    """What a step back or forth changed, where one is now, and what is now on record there."""
    knowledge, work = turn.knowledge, turn.record.work
    _withdraw(turn, before)
    turn.leave(lead=None)
    was, now = (before, work) if reply == "undone" else (work, before)
    changed, replaced = differences(knowledge, was, now), differences(knowledge, now, was)
    moved = (before.current, before.job.current) != (work.current, work.job.current)
    if changed:
        turn.say(reply, what=", ".join(changed))
    elif not (moved or replaced):
        turn.say(reply, what=knowledge.wording.plain("undone.step"))
    if replaced and reply == "undone":
        turn.say("undone-restored", what=", ".join(replaced))
    words = readback.of_all(turn)
    have = ", ".join(words) if words else knowledge.wording.plain("no-readings")
    count = knowledge.wording.count
    if moved and (changed or replaced) and before.job.number == work.job.number:
        turn.say(f"back-to-{work.piece.kind}", piece=count(work.job.current + 1))
    elif moved:
        place = {"job": count(work.job.number), "piece": count(work.job.current + 1), "now": have}
        turn.say("gone-to" if changed else "undone-to-piece", **place)
    elif reply == "undone":
        turn.add("undone-now", now=have)
    turn.report = True


def _withdraw(turn: Turn, before: Work) -> None:
    """A conclusion does not outlast the readings that it was drawn from; that of the piece in hand is drawn anew."""
    readings = {piece.number: piece.readings for job in before.jobs for piece in job.pieces}
    for job in turn.record.work.jobs:
        for piece in job.pieces:
            if piece.number in turn.record.concluded and readings.get(piece.number) != piece.readings:
                turn.log(entries.Concluded(piece=piece.number, end=None))


def cancel(turn: Turn, command: Command) -> None:
    focus = turn.focus
    if isinstance(focus.mode, Checking) and focus.listing is None:
        turn.say("nothing-to-cancel")
        return
    turn.leave()
    turn.say("cancelled")
    if focus.check is not None:
        turn.say("prompt", prompt=turn.knowledge.prompt(focus.check))


def help_me(turn: Turn, command: Command) -> None:
    """What can be said now, then, on "more", every function's help line."""
    match turn.focus.mode:
        case Choosing():
            turn.say("help-choice")
        case Confirming():
            turn.say("help-question")
        case Spelling():
            turn.say("help-spelling")
        case Checking() | Explaining() | Correcting():
            _help_at_rest(turn)
    functions = turn.knowledge.registry.fitting(situations(turn.now))
    turn.look(listing=Listing(tuple(function.help for function in functions)))
    turn.add("help-more")


def _help_at_rest(turn: Turn) -> None:
    check = turn.focus.check
    if check is not None:
        turn.say("help-check", what=refusals.what_can_be_said(turn))
        turn.ask("prompt", prompt=turn.knowledge.prompt(check, brief=True))
    elif turn.concluded is not None:
        turn.say("after-identified")
    elif turn.piece.kind == HOSE:
        turn.say("help-hose")
    else:
        turn.say("help-start")


def more(turn: Turn, command: Command) -> None:
    """The next step or items; where nothing is being read, what is open ("go on")."""
    listing = turn.focus.listing
    if isinstance(turn.focus.mode, Explaining):
        step_on(turn, 1)
        return
    if listing is None:
        turn.functions["resume" if turn.focus.open_checks or turn.focus.question else "help"](turn, command)
        return
    read(turn, replace(listing, starts=(*listing.starts, listing.next)))


def read(turn: Turn, listing: Listing) -> None:
    """Say the last breath of a list."""
    for item in listing.breath(listing.starts[-1]):
        turn.speak(turn.knowledge.wording.sentence(item))
    turn.look(listing=None if listing.done else listing)
    turn.say("no-more" if listing.done else "help-more")


def start_over(turn: Turn, command: Command) -> None:
    """The end begins anew. Who says that all goes, and not that one starts again, is asked first."""
    again = not _ANEW.isdisjoint(command.heard.casefold().split()) or not turn.piece.readings
    if command.argument is None and not again:
        asking.ask_sure(turn, Confirming(Meaning(command.heard, (replace(command, argument="sure"),))))
        turn.ask("start-over-sure")
        return
    turn.log(entries.StartOver())
    turn.leave(lead=None, check=None)
    turn.say("started-over")
    turn.report = True


def stop(turn: Turn, command: Command) -> None:
    turn.say("stopped-unwritten" if "store" in turn.focus.troubles else "stopped")
    turn.stop()


def hello(turn: Turn, command: Command) -> None:
    """What I do and what to say first; in the midst of something, what is asked; beside other things, a greeting."""
    if turn.among_others:
        turn.add("hello-beside")
        return
    turn.say("hello" if turn.piece.is_empty else "help-start")
    if turn.focus.check is not None:
        identification.ask(turn, on_request=True)


def thanks(turn: Turn, command: Command) -> None:
    turn.keep_reply = True
    turn.add("thanks")


_TOLD = frozenset({"it", "that", "all", "i"})


def okay(turn: Turn, command: Command) -> None:
    """It was heard, nothing more: what is open is said again, once; to "...: right?" it is a yes."""
    if isinstance(turn.focus.mode, Confirming):
        turn.functions["yes"](turn, command)
        return
    if turn.focus.check is not None and turn.focus.question is None and "okay" not in turn.before.last.did:
        turn.keep_reply = True
        turn.ask("open-check", prompt=turn.knowledge.prompts(turn.focus.open_checks, brief=turn.focus.open_checks))
        return
    turn.keep_reply = turn.asked = True
    turn.tone("heard")
    told = not _TOLD.isdisjoint(command.heard.casefold().replace("'", " ").split())  # "it's fine" is no mere nod
    if told and turn.focus.check is not None and turn.piece.kind == END and turn.record.end_of(turn.piece) is None:
        turn.ask("open-check", prompt=turn.knowledge.prompts(turn.focus.open_checks, brief=turn.focus.open_checks))
        return
    turn.silent("acknowledged")


def aside(turn: Turn, command: Command) -> None:
    """Understood, and no evidence of anything: that is said, and it is no answer to what is open."""
    turn.keep_reply = True
    turn.say("aside")
    if turn.focus.check is not None:
        turn.unanswered = True
    elif turn.piece.is_empty:
        turn.say("nothing-yet")


def help_with(turn: Turn, command: Command) -> None:
    """One topic in a breath; on "more", the help lines of its functions."""
    turn.say(command.name)
    functions = turn.knowledge.registry.functions
    items = tuple(function.help for function in functions if function.group in TOPICS[command.name])
    turn.look(listing=Listing(items))
    turn.asked = True


TABLE: Mapping[str, Does] = {
    "repeat": repeat,
    "back": back,
    "undo": undo,
    "redo": redo,
    "cancel": cancel,
    "help": help_me,
    **dict.fromkeys(TOPICS, help_with),
    "hello": hello,
    "thanks": thanks,
    "okay": okay,
    "aside": aside,
    "more": more,
    "start-over": start_over,
    "stop": stop,
}
