"""Reasons and teaching: why, what else; how a check is made, step by step and by touch.

Which reasons there are, and how heavy, is the matter of :mod:`voicefit.matching.explain`; here they are put into words:
"nineteen threads per inch rules out thirty seven degree flare".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

from voicefit.dialogue import asking, standing
from voicefit.dialogue.functions import Does
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.names import either
from voicefit.dialogue.state import TRANSITIONS, Checking, Choosing, Confirming, Explaining
from voicefit.dialogue.turn import Turn
from voicefit.matching import explain as explanations
from voicefit.matching.explain import WeightedReason
from voicefit.quantities import Quantity
from voicefit.records import Check, Command, Option

LEAST_BIT = 0.5  # a reason that moves the odds by less is not worth a breath
_APART = frozenset({"difference", "differ", "different", "apart", "two", "both"})  # of what was just named
SERIES_NAMED = 2  # series named as ruled out by one reading
_TOLD_APART = 4  # of so many likeliest ends, two are named that the open check tells apart
ALIVE = 0.005  # a series with a part of this probability is not said to be ruled out
_FIGURES = {
    "torque": "torque",
    "o-ring": "what-seals-it",
    "washer": "what-seals-it",
    "bar": "pressure",
    "mate-of": "what-fits",
}
_ANY = frozenset({"a", "an", "does", "mean"})


def why(turn: Turn, command: Command) -> None:
    if not turn.piece.readings:
        turn.say("why-nothing")
        return
    reasons = _for_the_leader(turn)
    if reasons:
        turn.say_list(reasons, "why", "reasons")
    else:
        turn.say("why-none")


def why_ask(turn: Turn, command: Command) -> None:
    """What the open check is for: the two likeliest ends that it tells apart, where there are such; else how many."""
    check = turn.focus.check
    if check is None:
        turn.say("no-question")
        return
    belief, brief = turn.belief, turn.knowledge.end_words
    parts = belief.parts[:_TOLD_APART]
    for first, second in combinations([part.row for part in parts], 2):
        separating = turn.knowledge.separating(turn.piece, first, second)
        if separating is not None and separating.measurand is check.measurand:
            if len({turn.knowledge.catalogue.ends[row].series for row in (first, second)}) == 1:
                turn.say("why-ask-size")
            else:
                turn.say("why-ask", first=brief(first, brief=True), second=brief(second, brief=True))
            break
    else:
        turn.say("why-ask-many")
    turn.ask("open-check", prompt=turn.knowledge.prompts(turn.focus.open_checks, brief=turn.focus.open_checks))


def _for_the_leader(turn: Turn) -> tuple[str, ...]:
    """What each reading says for the leader, in words, the heaviest first; what is against it last."""
    knowledge = turn.knowledge
    belief = knowledge.believe(turn.piece)
    found = explanations.why(knowledge.matcher, belief.posterior)
    if found is None:
        return ()
    alive = {knowledge.catalogue.ends[part.row].series for part in belief.parts if part.probability >= ALIVE}
    telling = [reason for reason in found.reasons if abs(reason.weight_bit) >= LEAST_BIT]
    options = [taken.option for taken in belief.taken]
    return (
        *(_speaks_for(turn, each, options[each.reading], alive) for each in telling if each.weight_bit > 0),
        *(speaks_against(turn, each, options[each.reading]) for each in telling if each.weight_bit < 0),
    )


def _speaks_for(turn: Turn, reason: WeightedReason, option: Option, alive: set[str]) -> str:
    """``alive`` : series that are not to be called ruled out."""
    wording = turn.knowledge.wording
    words = wording.reading(option)
    ruled_out = (turn.knowledge.series_words(series) for series in reason.rules_out if series not in alive)
    if names := [name for name in ruled_out if name][:SERIES_NAMED]:
        return wording.phrase("reason-rules-out", reading=words, series=" and ".join(names))
    if isinstance(reason.nominal, Quantity) and reason.nominal.is_length and isinstance(option.value, Quantity):
        return wording.phrase("reason-nominal", reading=words, nominal=_nominal(turn, reason))
    return wording.phrase("reason-fits", reading=words)


def speaks_against(turn: Turn, reason: WeightedReason, option: Option) -> str:
    wording = turn.knowledge.wording
    if reason.nominal is None or reason.fits:
        return wording.phrase("reason-unlikely", reading=wording.reading(option))
    return wording.phrase("reason-against", reading=wording.reading(option), nominal=_nominal(turn, reason))


def _nominal(turn: Turn, reason: WeightedReason) -> str:
    assert reason.nominal is not None
    words = turn.knowledge.wording.reading(Option(reason.taken_as, reason.nominal))
    return turn.knowledge.wording.phrase("from-memory-within", value=words) if reason.recalled else words


def what_else(turn: Turn, command: Command) -> None:
    parts = turn.belief.parts
    if "why-not" in turn.did:
        return  # "JIS, not BSP: what's the difference" is answered of those
    if not turn.piece.readings or len(parts) < 2:
        turn.say("what-else-none")
        return
    first, second = parts[0].row, parts[1].row
    if not _APART.isdisjoint(command.heard.casefold().split()) and (two := _named_last(turn)) is not None:
        first, second = two
        names = (turn.knowledge.end_words(each, brief=True) for each in two)
        turn.say("between", both=either(*names))
    else:
        turn.say("what-else", end=turn.knowledge.end_words(second))
    check = turn.knowledge.separating(turn.piece, first, second)
    if check is not None:
        turn.look(check=check, beside=())
        turn.say("what-else-check", prompt=turn.knowledge.prompt(check))
        return
    possible = replace(turn.piece, impossible=frozenset())
    left_out = turn.knowledge.separating(possible, first, second)
    if left_out is None:
        turn.say("what-else-no-check")
    else:
        turn.look(check=left_out, beside=())
        turn.say("what-else-left-out", prompt=turn.knowledge.prompt(left_out))


def _named_last(turn: Turn) -> tuple[int, int] | None:
    """Rows of the two likeliest ends of those series that the last reply named; else of those that nothing on hand
    tells apart."""
    ends, said = turn.knowledge.catalogue.ends, turn.before.last.spoken.casefold()
    found: dict[str, int] = {}
    for part in turn.belief.parts:
        series = turn.knowledge.series_words(ends[part.row].series) or ""
        if series.casefold() in said:
            found.setdefault(series, part.row)
    rows = list(found.values())
    return (rows[0], rows[1]) if len(rows) > 1 else turn.belief.advice.standoff


def how(turn: Turn, command: Command) -> None:
    """How the open check is made; beside a question of ours, how one tells what it is about, and the question."""
    check = _asked_about(turn) or _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    if turn.focus.question is not None or Explaining not in TRANSITIONS[type(turn.focus.mode)]:
        if turn.focus.question is not None:
            turn.speak(turn.knowledge.steps(check)[0])
        asking.ask_again(turn)
        return
    turn.look(listing=None)
    turn.turn_to(Explaining(check.id, turn.knowledge.steps(check)))
    say_step(turn)


def by_touch(turn: Turn, command: Command) -> None:
    check = _open_check(turn)
    if check is None:
        turn.say("no-lesson")
        return
    if isinstance(turn.focus.mode, Explaining):
        turn.turn_to(Checking())
    turn.look(listing=None)
    turn.speak(turn.knowledge.touch(check))


def step_on(turn: Turn, by: int) -> None:
    """Another step of the lesson in progress; past the last one the check is asked again."""
    lesson = turn.focus.mode
    assert isinstance(lesson, Explaining)
    at = lesson.at + by
    if at < 0:
        turn.say("first-step", step=lesson.steps[0])
    elif at >= len(lesson.steps):
        turn.turn_to(Checking())
        turn.say("last-step", prompt=turn.prompt())
    else:
        turn.turn_to(replace(lesson, at=at))
        say_step(turn)


def say_step(turn: Turn) -> None:
    """The present step of the lesson."""
    lesson = turn.focus.mode
    assert isinstance(lesson, Explaining)
    count = turn.knowledge.wording.count
    if len(lesson.steps) == 1:
        turn.speak(lesson.steps[0])
        return
    turn.say("step", number=count(lesson.at + 1), count=count(len(lesson.steps)), step=lesson.steps[lesson.at])


def _asked_about(turn: Turn) -> Check | None:
    """The check that finds what an open question is about."""
    question = turn.focus.question
    choices = question.choices if isinstance(question, Choosing) else () if question is None else (question.meaning,)
    asked = frozenset(m for choice in choices for reading in readings_of(choice) for m in reading.measurands)
    found = [entry for entry in turn.knowledge.checks.values() if entry.measurand in asked and entry.slot is None]
    return found[0].check() if found else None


def _open_check(turn: Turn) -> Check | None:
    """The check that was prompted, or would be."""
    return turn.focus.check or turn.belief.advice.check


def explain(turn: Turn, command: Command) -> None:
    """What was asked, in other words, then once more."""
    match turn.focus.mode:
        case Confirming():
            turn.say("explain-confirm")
        case Choosing():
            turn.say("explain-choose")
        case _:
            check = turn.focus.check
            if check is None:
                turn.say("explain-nothing")
            else:
                step = turn.knowledge.steps(check)[0]
                turn.ask("explain-check", step=step, prompt=turn.knowledge.prompt(check))


def what_is_name(turn: Turn, command: Command) -> None:
    """What a short name of a series stands for."""
    turn.asked = True
    name = turn.knowledge.series_words(command.argument or "")
    if name is None:
        turn.say("why-not-unknown")
    else:
        turn.say("what-is-name", series=name)


def what_is(turn: Turn, command: Command) -> None:
    """What a word means; "what's the torque", once something leads, asks for the figure, and not "what's a torque"."""
    words = set(command.heard.casefold().split())
    figure = _FIGURES.get(command.argument or "")
    if figure and standing.leads(turn.belief) and not words & _ANY and (figure == "torque" or "the" in words):
        turn.functions[figure](turn, command)
        return
    turn.speak(turn.knowledge.glossary.means[command.argument or ""])
    turn.asked = True


TABLE: Mapping[str, Does] = {"why": why, "why-ask": why_ask, "what-else": what_else} | {
    "how": how,
    "explain": explain,
    "what-is": what_is,
    "what-is-name": what_is_name,
    "by-touch": by_touch,
}
