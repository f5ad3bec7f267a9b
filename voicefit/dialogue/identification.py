"""What is said after readings, corrections and answers: read back, where it stands, what comes next.

In this order: the readings taken are read back, with unit and side; readings that are now taken otherwise; where the
identification stands; cautions that are due; the next check, last. "Identified" is said only when the advice says so,
and only after every reading was read back as it is taken.

A check is asked with the same words twice at most, and given up after two useless answers
(:meth:`~voicefit.dialogue.state.Focus.asked_enough`): then another is asked. The person can always have it repeated.

Duty: the order of the replies, and asking. It must not match, and must not take readings.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from voicefit.dialogue import amending, assemblies, readback, standing, unplaced
from voicefit.dialogue.state import MOST_ASKED, MOST_ITEMS
from voicefit.records import Certainty

if TYPE_CHECKING:
    from collections.abc import Sequence

    from voicefit.dialogue.hoses import Standing
    from voicefit.dialogue.turn import Turn
    from voicefit.records import Advice, Check


def report(turn: Turn) -> None:
    """Say all of it."""
    hose = turn.belief.hose
    readback.new(turn)
    if hose is not None:
        assemblies.say_convention(turn)
        say_hose(turn, hose)
        assemblies.say_bend(turn)
        ask(turn)
        return
    readback.changed(turn)
    standing.say(turn)
    ask(turn)


def report_now(turn: Turn) -> None:
    """Say it before a question that was put in the same breath is answered: the answer depends on it."""
    if turn.report and turn.focus.question is None:
        turn.report = False
        report(turn)


def say_hose(turn: Turn, hose: Standing, *, again: bool = False) -> None:
    """How many hoses fit, or which, and whether anything is still to be asked; ``again`` : also what was said."""
    names = tuple(dict.fromkeys(turn.knowledge.hose_words(each) for each in hose.hoses))
    known = "; ".join(names[: MOST_ITEMS + 1])
    if not turn.piece.readings or (turn.focus.lead == known and not again):
        pass
    elif not names:
        turn.say("hose-none-fits")
    elif len(names) <= MOST_ITEMS:
        turn.add("hose-fits", hoses=", or ".join(names))
    turn.look(lead=known)
    if hose.advice.check is None:
        assemblies.say_assembly(turn, asked=False)
        ends = sum(turn.record.end_of(piece) is not None for piece in turn.job.pieces)
        turn.say("hose-complete" if ends >= 2 else "hose-end-open", count=turn.knowledge.wording.count(ends))


def ask(turn: Turn, *, on_request: bool = False) -> None:
    """Ask what is next, if anything is, after the caution that comes before a first measurement.

    Once in full, then, where something else was said in between, by its question alone, then no more: it stays open.
    ``on_request`` : the person wants to hear it, in full, and it does not count as asking again.
    """
    advice = turn.belief.advice
    checks = advice.checks if turn.piece.decided is None else ()
    if not checks and turn.piece.decided is None and (left_out := standing.would_tell(turn)) is not None:
        turn.look(check=left_out, beside=())
        if not on_request:
            turn.note_asked((left_out,))
        turn.ask("prompt", prompt=_telling(turn, left_out))
        return
    if checks and turn.job.mounted and turn.belief.hose is None:
        turn.caution("pressure")
    if len(checks) > 1 and not turn.has_room_for(turn.knowledge.prompts(checks)):
        checks = checks[:1]
    turn.look(check=checks[0] if checks else None, beside=checks[1:])
    if said := turn.focus.unplaced:  # of that alone; an answer to the check is taken as well
        check = None if turn.knowledge.language.number_in(said) else unplaced.check_of(turn, said)
        if check is None:
            turn.ask("of-what-end", said=said)
        else:
            turn.look(check=check, beside=())
            turn.note_asked((check,))
            turn.ask("of-what-check", said=said, prompt=turn.knowledge.prompts((check,), brief=(check,)))
    if not checks or turn.focus.unplaced:
        return
    spoken = checks if on_request else tuple(each for each in checks if turn.times_asked(each) < MOST_ASKED)
    brief = () if on_request or advice.again else tuple(filter(turn.times_asked, spoken))
    if not on_request:
        turn.note_asked(spoken)
    if spoken:
        turn.ask("prompt", prompt=_with_reason(turn, advice, spoken, brief=brief))
    elif not turn.new_readings or amending.is_unmeasured(
        turn.belief
    ):  # talked past, and now nothing else is left to say
        turn.ask("open-check", prompt=turn.knowledge.prompts(checks[:1], brief=checks))


def beside(turn: Turn) -> None:
    """What was said was done, and the check is open still: its question is repeated, unless that was done before."""
    checks = turn.focus.open_checks
    if all(turn.times_asked(check) < MOST_ASKED for check in checks):
        turn.note_asked(checks)
        turn.ask("open-check", prompt=turn.knowledge.prompts(checks, brief=checks))


def unanswered(turn: Turn) -> None:
    """What was said was no answer to the check: asked again with the reply; the second time it is given up."""
    checks = turn.focus.open_checks
    if not checks and turn.piece.is_empty and turn.focus.question is None:
        ask(turn)
    if not checks:
        return
    turn.note_asked(checks)
    if all(turn.times_asked(check) <= MOST_ASKED for check in checks):
        if not (turn.asks or turn.rejected):
            turn.ask("open-check", prompt=turn.knowledge.prompts(checks, brief=checks))
    else:
        turn.look(left=turn.focus.left | {(turn.piece.number, check.id) for check in checks})
        turn.unask()
        turn.say("left-for-now")
        readback.changed(turn)
        standing.say(turn)
        ask(turn)


def _telling(turn: Turn, check: Check) -> str:
    """A check that was left out, as the one that would tell; where that is more than a breath, its question alone."""
    phrase, prompt = turn.knowledge.wording.phrase, turn.knowledge.prompt
    ways = (phrase("would-tell", prompt=prompt(check)), phrase("would-tell", prompt=prompt(check, brief=True)))
    return next(filter(turn.has_room_for, ways), prompt(check, brief=True))


def _with_reason(turn: Turn, advice: Advice, checks: Sequence[Check], *, brief: Sequence[Check]) -> str:
    """The checks in one breath, with why it is asked where the person could wonder; where it is more than a breath, a
    check by itself is asked without how it is done."""
    prompt = turn.knowledge.prompts(checks, brief=brief)
    if len(checks) == 1 and not turn.has_room_for(prompt):
        prompt = turn.knowledge.prompt(checks[0], brief=True)
    if advice.again:
        why = turn.knowledge.wording.phrase("once-more", prompt=prompt)
        if turn.has_room_for(why):
            return why
        return turn.knowledge.wording.phrase("once-more", prompt=turn.knowledge.prompts(checks, brief=checks))
    if advice.certainty is Certainty.LIKELY and turn.focus.lead != turn.before.focus.lead:
        why = turn.knowledge.wording.phrase("to-be-sure", prompt=prompt)
        return why if turn.has_room_for(why) else prompt
    return prompt
