"""Answers to what was asked: yes, no, the first, the second, can't tell, next."""

from __future__ import annotations

import re
from collections.abc import Mapping, Set
from dataclasses import replace

from voicefit.dialogue import another_end, asking, entries, identification, naming, taking, tools
from voicefit.dialogue.answering import LEAVES_OUT
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.notes import say_so_far
from voicefit.dialogue.functions.readings import correction
from voicefit.dialogue.functions.talk import more
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.state import Choosing, Confirming, Explaining, Question, Spelling
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Measurand, Reading, Reason, Rejection

_TAKES = frozenset({"yes", "no", "correct", "was-of", "first-one", "second-one"})
_THINGS = frozenset({"one", "thing", "end", "fitting"})
_CHOICES = ("first-one", "second-one")
_CALIPERS = frozenset({"caliper", "calipers", "vernier", "verniers"})
_NAMED_TOOLS: Mapping[str, frozenset[str]] = {
    tools.CALIPER: _CALIPERS,
    tools.PITCH_GAUGE: frozenset({"thread", "pitch", "screw", "leaf"}),
    tools.SEAT_GAUGE: frozenset({"seat", "angle", "cone"}),
}
_SKIPPED: Mapping[str, tuple[Measurand, ...]] = {
    **dict.fromkeys(("seat", "cone"), (Measurand.SEAT_FORM, Measurand.SEAT_ANGLE)),
    "angle": (Measurand.SEAT_ANGLE,),
    "pitch": (Measurand.PITCH,),
    "diameter": (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER),
    "tube": (Measurand.TUBE_OUTSIDE_DIAMETER,),
    **dict.fromkeys(("seal", "ring"), (Measurand.SEAL,)),
    "hex": (Measurand.HEX,),
    "nose": (Measurand.NOSE,),
    "taper": (Measurand.TAPER,),
    "flanks": (Measurand.FLANK_ANGLE,),
}
_FILLERS = frozenset({"right", "so", "okay", "ok", "well", "then", "and"})  # "right then", before something is done
_OF_BOTH = frozenset({"neither", "either", "both"})


def yes(turn: Turn, command: Command) -> None:
    question = turn.focus.question
    if isinstance(question, Confirming):
        turn.settle()
        taking.obey(turn, question.meaning, question.replacing, confirmed=True)
    elif isinstance(question, Choosing):
        asking.ask_which(turn, question, again=True)
    elif _FILLERS.issuperset(re.findall(r"[a-z]+", turn.heard.casefold())):
        turn.functions["okay"](turn, command)  # "right so" to a check says that it was heard
    else:
        _answer(turn, command, positive=True)


def no(turn: Turn, command: Command) -> None:
    question = turn.focus.question
    if question is not None:
        turn.settle()
        if _is_for_good(turn, question):
            turn.say("not-removed")
        elif not turn.among_others:  # else what it is instead is said
            turn.say("not-that")
    else:
        _answer(turn, command, positive=False)


def _is_for_good(turn: Turn, question: Question) -> bool:
    """Whether it is about something that cannot be undone."""
    items = question.meaning.items if isinstance(question, Confirming) else ()
    by_id = turn.knowledge.registry.by_id
    return any(isinstance(item, Command) and by_id[item.name].for_good for item in items)


def _answer(turn: Turn, command: Command, *, positive: bool) -> None:
    """Yes or no to the check that was prompted."""
    check = turn.focus.check
    if check is not None and naming.speaks_of_light(turn):
        _ask_for_the_value(turn)
        return
    if check is None and not positive and turn.among_others:
        return  # what it is instead is said
    if check is None:
        turn.rejected.append(Rejection(command.heard, Reason.NOTHING_ASKED))
        _nothing_asked(turn, "no-question")
        return
    option = check.yes if positive else check.no
    if option is None and not positive and turn.piece.readings and _was_just_read_back(turn):
        correction(turn, command)  # of what was just read back
        return
    if option is None and positive and turn.piece.kind == HOSE and _was_just_read_back(turn):
        identification.ask(turn, on_request=True)  # what its print says was heard so
        return
    if option is None:
        _ask_for_the_value(turn)
        return
    taking.take(turn, (Reading(command.heard, (option,), asked=check.id),))


def _was_just_read_back(turn: Turn) -> bool:
    """Whether the last reply read back a reading, and did nothing else that was asked for since."""
    return turn.record.changed_turn == turn.record.turn and _TAKES.issuperset(turn.before.last.did)


def _ask_for_the_value(turn: Turn) -> None:
    """What was said is no answer to the check."""
    yes_or_no = turn.focus.check is not None and turn.focus.check.yes is not None
    turn.unanswered = True
    turn.ask("needs-yes-or-no" if yes_or_no else "needs-value", prompt=turn.knowledge.prompts(turn.focus.open_checks))


def choose(turn: Turn, command: Command) -> None:
    """The first or the second of what was offered."""
    question = turn.focus.question
    if not isinstance(question, Choosing) and turn.focus.check is not None:
        _ask_for_the_value(turn)
        return
    if not isinstance(question, Choosing):
        turn.rejected.append(Rejection(command.heard, Reason.NOTHING_ASKED))
        _nothing_asked(turn, "no-question")
        return
    turn.settle()
    taking.obey(turn, question.choices[_CHOICES.index(command.name)], question.replacing, confirmed=True)


def _nothing_asked(turn: Turn, reply: str) -> None:
    """What could be answered is asked; that nothing is asked is said where there is nothing to ask."""
    identification.ask(turn, on_request=True)
    if not turn.asks:
        turn.say(reply)


def cannot_tell(turn: Turn, command: Command) -> None:
    """Of what was asked; "neither" is of both."""
    both = not _OF_BOTH.isdisjoint(command.heard.casefold().split())
    for _ in turn.focus.open_checks if both and turn.focus.question is None else (None,):
        leave_out(turn, "left-out")


def leave_out(turn: Turn, reply: str) -> None:
    """Leave out the check that was asked; of two, the first that is not answered in the same breath."""
    if turn.focus.question is not None:
        turn.settle()
        turn.say("not-that")
        return
    done = turn.answered | (turn.piece.impossible - turn.before.record.work.piece.impossible)
    check = next((each for each in turn.focus.open_checks if each.id not in done), None)
    if check is None:
        if LEAVES_OUT & set(turn.did[:-1]):
            return  # "can't tell, there's no way of telling"
        _nothing_asked(turn, "nothing-to-leave-out")
        return
    turn.log(entries.Impossible(check=check.id))
    (turn.add if reply == "left-out" else turn.say)(reply)
    turn.report = True


def go_on(turn: Turn, command: Command) -> None:
    """Next: the next step of a lesson, the rest of a list, or another check, whichever is open."""
    if skipped := {m for word in command.heard.casefold().split() for m in _SKIPPED.get(word, ())}:
        _put_off(turn, skipped)
    elif turn.focus.question is not None:
        asking.ask_again(turn)
    elif isinstance(turn.focus.mode, Spelling):
        say_so_far(turn)
    elif isinstance(turn.focus.mode, Explaining) or turn.focus.listing is not None:
        more(turn, command)
    elif another_end.says_next_one(turn, turn.heard, command) or _next_behind_an_end(turn):
        turn.functions["other-end"](turn, command)
    elif turn.belief.advice.check is None:
        turn.say("nothing-to-leave-out")
    elif turn.focus.check is None:
        identification.ask(turn, on_request=True)
    else:
        _another_check(turn)


def _next_behind_an_end(turn: Turn) -> bool:
    settled = turn.focus.check is None and turn.record.end_of(turn.piece) is not None
    return settled and not _THINGS.isdisjoint(turn.heard.casefold().split())


def _put_off(turn: Turn, skipped: Set[Measurand]) -> None:
    """Put off all that is asked of something."""
    for id_, check in turn.knowledge.checks.items():
        if check.measurand in skipped and id_ not in turn.piece.put_off:
            turn.log(entries.PutOff(check=id_))
    turn.say("put-off")
    turn.report = True


def _another_check(turn: Turn) -> None:
    check = turn.focus.check
    assert check is not None
    without = replace(turn.piece, put_off=turn.piece.put_off | {check.id})
    other = turn.knowledge.believe(without).advice.check
    if other is None or other.id == check.id:
        turn.say("nothing-next", prompt=turn.knowledge.prompt(check))
        return
    turn.log(entries.PutOff(check=check.id))
    turn.say("put-off")
    turn.report = True


def without_tool(turn: Turn, command: Command) -> None:
    """A tool is not at hand: nothing that needs it is asked in this session. Without a name, the one just asked for."""
    named = command.name.removeprefix("no-")
    words = set(command.heard.casefold().split())
    if named != tools.CALIPER and words & _CALIPERS:  # "only the caliper"
        for tool in (tools.PITCH_GAUGE, tools.SEAT_GAUGE):
            turn.log(entries.WithoutTool(tool=tool))
            turn.say("no-tool", tool=turn.knowledge.wording.plain(f"tool.{tool}"))
        turn.report = True
        return
    tool = named if named in tools.TOOLS else _tool_asked_for(turn, command)
    if not tool:
        leave_out(turn, "no-tool-named")
        return
    turn.log(entries.WithoutTool(tool=tool))
    turn.say("no-tool", tool=turn.knowledge.wording.plain(f"tool.{tool}"))
    turn.report = True


def _tool_asked_for(turn: Turn, command: Command) -> str:
    """The tool that an open check needs, one of the kind that is named first; empty where none needs any."""
    needed = [tool for check in turn.focus.open_checks if (tool := tools.tool_of(check.measurand))]
    said = set(command.heard.casefold().split())
    return max(needed, key=lambda tool: len(said & set(tool.split("-"))), default="")


def gauge_found(turn: Turn, command: Command) -> None:
    words = set(command.heard.casefold().split())
    found = {tool for tool, names in _NAMED_TOOLS.items() if words & names} or turn.record.without
    for tool in sorted(turn.record.without & found):
        turn.log(entries.WithoutTool(tool=tool, without=False))
    turn.say("tool-found")
    turn.report = True


def no_tube(turn: Turn, command: Command) -> None:
    """No tube is there to be measured: nothing asks for it again. That of its mate can still be said."""
    of_tube = {
        id_ for id_, check in turn.knowledge.checks.items() if check.measurand is Measurand.TUBE_OUTSIDE_DIAMETER
    }
    if turn.did.count("no-tube") > 1:
        return
    if turn.piece.kind == HOSE:
        turn.functions["aside"](turn, command)
        return
    for check in sorted(of_tube - turn.piece.impossible):
        turn.log(entries.Impossible(check=check))
    turn.say("no-tube")
    turn.report = True


def explained(turn: Turn, command: Command) -> None:
    """That an end sits on a hose tells nothing of it, but that no tube is there, where a tube was asked for."""
    if any(check.measurand is Measurand.TUBE_OUTSIDE_DIAMETER for check in turn.focus.open_checks):
        no_tube(turn, command)
    elif not turn.among_others:
        turn.functions["aside"](turn, command)


def worn(turn: Turn, command: Command) -> None:
    """What is measured on a worn or stripped thread says less; what was asked is left out where nothing is said."""
    if not turn.piece.worn:
        turn.log(entries.Worn())
    if turn.focus.check is not None and not turn.answered and turn.focus.question is None:
        leave_out(turn, command.name)
    else:
        turn.say(command.name)
        turn.report = True


def missing(turn: Turn, command: Command) -> None:
    """What seals it is gone: it tells nothing, but where its groove, or what it was, was said before."""
    if not turn.new_readings:
        leave_out(turn, "missing")


TABLE: Mapping[str, Does] = {
    "yes": yes,
    "no": no,
    **dict.fromkeys(_CHOICES, choose),
    "cannot-tell": cannot_tell,
    **dict.fromkeys(("no-gauge", *(f"no-{tool}" for tool in tools.TOOLS)), without_tool),
    "gauge-found": gauge_found,
    "no-tube": no_tube,
    **dict.fromkeys(("worn", "stripped"), worn),
    "missing": missing,
    "none-fits": lambda turn, _: leave_out(turn, "none-fits"),
    "next": go_on,
}
