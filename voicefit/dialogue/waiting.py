"""What waits on a question of ours, "...: right?", when something else is said instead of an answer.

Nothing of it is lost in silence: it is asked once more behind what was said; passed over again, what hangs on it
decides whether it is taken as perhaps so, or said to be dropped. Another doubt joins it in one question.

Duty: what hangs on it, and what becomes of it. It must not word the question (:mod:`voicefit.dialogue.asking`).
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import judging
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.state import Choosing, Confirming, Question
from voicefit.dialogue.turn import Turn
from voicefit.records import Command, Item, Meaning, Reading

_OF_THE_TALK = frozenset({"answers", "talk", "listening", "settings"})  # groups of functions: nothing else is said then
_ELSEWHERE, _ANSWERS = frozenset({"jobs", "hoses"}), frozenset({"answers"})  # those that begin another piece, and not


def pass_over(turn: Turn, question: Question) -> tuple[Reading, ...]:
    """What was said is no answer to it: it is asked once more behind that, then let go. The readings of it that are
    taken all the same, as perhaps so; what is not taken is said to be dropped. A command that nobody confirms was none,
    and is not asked about again where what was said instead was not understood either."""
    still = turn.focus.question
    by_id = turn.knowledge.registry.by_id
    groups = {by_id[name].group for name in turn.did if name != "aside"}
    if still is None and groups & _ELSEWHERE and not groups & _ANSWERS:
        say_dropped(turn, question)
    if still is None or not is_same(still, question):
        return ()
    if groups and groups <= _OF_THE_TALK and not (turn.rejected or turn.new_readings):
        return ()
    for_good = any(by_id[command.name].for_good for command in commands(question))
    if not (question.again or (turn.rejected and not (for_good or hangs(turn, question)))):
        turn.turn_to(replace(still, again=True))
        return ()
    turn.settle()
    if isinstance(still, Confirming) and not commands(still):
        guessed = any(reading.guessed for reading in readings_of(still.meaning))
        risk = judging.risk(turn, still.meaning, 0.0)
        if (share := turn.knowledge.policy.passed_over_as(risk, guessed=guessed)) and not still.replacing:
            readings = readings_of(still.meaning)
            return tuple(replace(each, options=tuple(o.doubted(share) for o in each.options)) for each in readings)
    say_dropped(turn, still)
    return ()


def say_dropped(turn: Turn, question: Question, but: Question | None = None) -> None:
    """Say what of it is not taken, ``but`` what another question asks instead."""
    if but is not None:
        readings = tuple(reading for choice in choices(but) for reading in readings_of(choice))
        rest = without(question, readings)
        if rest is None:
            return
        question = rest
    if words := dict.fromkeys(reading.heard for choice in choices(question)[:1] for reading in readings_of(choice)):
        turn.say("not-taken", words=", ".join(words))


def joined(before: Question | None, question: Confirming) -> Confirming:
    """The question with what one before it still waits for, where both ask whether readings were said."""
    if not isinstance(before, Confirming) or commands(before) or commands(question) or is_same(before, question):
        return question
    rest = without(before, readings_of(question.meaning))
    if not isinstance(rest, Confirming):
        return question
    meaning = replace(question.meaning, items=(*rest.meaning.items, *question.meaning.items))
    return replace(question, meaning=meaning, replacing=(*rest.replacing, *question.replacing))


def without(question: Question, readings: tuple[Reading, ...]) -> Question | None:
    """What is left of it where readings take the place of some of what is asked about; ``None`` where nothing is."""
    if isinstance(question, Choosing):
        said = frozenset(m for choice in question.choices for r in readings_of(choice) for m in r.measurands)
        return None if any(said & reading.measurands for reading in readings) else question
    items = tuple(item for item in question.meaning.items if not _is_said_instead(item, readings))
    if not items:
        return None
    return replace(question, meaning=replace(question.meaning, items=items))


def _is_said_instead(item: Item, readings: tuple[Reading, ...]) -> bool:
    """Whether a reading is of what this one is first of all: a number that may be a pitch is no pitch yet."""
    asked = (item,) if isinstance(item, Reading) else item.readings if isinstance(item, Command) else ()
    firsts = {option.measurand for each in asked for option in each.options[:1]}
    return bool(firsts) and any(reading.options[0].measurand in firsts for reading in readings)


def is_same(one: Question, other: Question) -> bool:
    """Whether one is the other, or what is left of it."""
    if isinstance(one, Confirming) and isinstance(other, Confirming):
        return set(one.meaning.items) <= set(other.meaning.items)
    return isinstance(one, Choosing) and isinstance(other, Choosing) and one.choices == other.choices


def choices(question: Question) -> tuple[Meaning, ...]:
    return question.choices if isinstance(question, Choosing) else (question.meaning,)


def commands(question: Question) -> list[Command]:
    return [item for choice in choices(question) for item in choice.items if isinstance(item, Command)]


def hangs(turn: Turn, question: Question) -> bool:
    """Whether a value, or what is always asked about, hangs on it, which must not be lost."""
    asked = any(turn.knowledge.registry.by_id[command.name].asked for command in commands(question))
    return asked or any(map(readings_of, choices(question)))
