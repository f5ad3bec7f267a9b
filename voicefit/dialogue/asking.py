"""Asking back: "fifteen: right?", "fifteen: one five? Or fifty: five zero?", and what would be believed if it were so.

Duty: word an open question. It must not decide whether to ask, and must not take the answer
(:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

from dataclasses import replace

from voicefit.dialogue import waiting
from voicefit.dialogue.judging import preview
from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.meanings import reading_at, readings_of
from voicefit.dialogue.snapshot import Pending, ReadingTaken
from voicefit.dialogue.state import Checking, Choosing, Confirming, Explaining, Question, State
from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity
from voicefit.records import Command, Meaning, Option, Reading


def _open(turn: Turn, question: Question) -> None:
    """Ask it over what is in progress; an explanation does not go on after it, another question is dropped aloud."""
    before = turn.focus.question
    if before is not None and not waiting.is_same(before, question):
        turn.settle()
        waiting.say_dropped(turn, before, but=question)
    begun = turn.focus.begun
    turn.turn_to(replace(question, beneath=Checking() if isinstance(begun, Explaining) else begun))


def ask_sure(turn: Turn, question: Confirming) -> None:
    """Ask whether this was said, and what another such question still waits for; nothing of it goes on record before
    the answer."""
    question = waiting.joined(turn.focus.question, question)
    _open(turn, question)
    turn.asked = True
    readings = readings_of(question.meaning) or _answer_of(turn, question.meaning)
    if readings:
        belief = preview(turn, readings, question.replacing)
        options = [taken.option for taken in belief.taken[-len(readings) :]]
        words = [turn.knowledge.wording.reading(option, careful=True) for option in options]
        turn.ask("sure", reading=", ".join(dict.fromkeys(words)))
    else:
        name = next((item.name for item in question.meaning.items if isinstance(item, Command)), "")
        if name and turn.knowledge.registry.by_id[name].for_good:
            turn.ask(name)
        elif name and turn.knowledge.registry.by_id[name].asked:
            turn.ask("sure", reading=question.meaning.text)
        else:
            turn.ask("sure-command", phrase=question.meaning.text)


def _answer_of(turn: Turn, meaning: Meaning) -> tuple[Reading, ...]:
    """What a yes or no would put on record, as the answer to the check that is open."""
    check, item = turn.focus.check, meaning.items[0] if len(meaning.items) == 1 else None
    if check is None or not isinstance(item, Command) or item.name not in ("yes", "no"):
        return ()
    option = check.yes if item.name == "yes" else check.no
    return () if option is None else (Reading(item.heard, (option,), asked=check.id),)


def ask_which(turn: Turn, question: Choosing, *, again: bool = False) -> None:
    """Offer two alternatives, with their digits."""
    _open(turn, question)
    turn.asked = True
    first, second = offered(turn, question)
    turn.ask("which-again" if again else "which", first=first, second=second)


def ask_again(turn: Turn) -> None:
    """Ask the open question once more."""
    question = turn.focus.question
    if isinstance(question, Confirming):
        ask_sure(turn, question)
    elif isinstance(question, Choosing):
        ask_which(turn, question)


def offered(turn: Turn, question: Choosing) -> tuple[str, str]:
    """The two alternatives in words: by their values, and by what they are of where the values sound the same.

    Equal words where they are the same, or where no words of ours tell them apart.
    """
    options = [_likeliest(turn, choice, question) for choice in question.choices]
    if _same_length(*options):
        options = options[:1] * 2
    wording = turn.knowledge.wording
    for say in (wording.spelled_out, wording.reading):
        first, second = (say(option) for option in options)
        if first != second:
            break
    return first, second


def _likeliest(turn: Turn, choice: Meaning, question: Choosing) -> Option:
    """What an alternative would be taken as; not as something that the other alternative may be as well."""
    readings = [reading_at(each, question.item) for each in question.choices]
    mine = reading_at(choice, question.item)
    common = frozenset.intersection(*(frozenset(map(_key, reading.options)) for reading in readings))
    own = tuple(option for option in mine.options if _key(option) not in common)
    belief = preview(turn, (replace(mine, options=own or mine.options),), question.replacing)
    return belief.taken[-1].option


def _same_length(first: Option, second: Option) -> bool:
    """Whether both are one length of one thing: one meter, and a thousand millimeters."""
    if first.measurand is not second.measurand or first.negated != second.negated:
        return False
    a, b = first.value, second.value
    return isinstance(a, Quantity) and isinstance(b, Quantity) and a.is_length and b.is_length and a.mm == b.mm


def _key(option: Option) -> object:
    return option.measurand, option.value, option.negated


def pending(knowledge: Knowledge, state: State) -> Pending | None:
    """The open question for documents and screens; ``None`` where none is open."""
    turn = Turn(knowledge, state, {})
    match state.focus.mode:
        case Confirming(meaning, replacing):
            taken = _taken(turn, readings_of(meaning), replacing)
            words = ", ".join(knowledge.wording.reading(each.option) for each in taken) or meaning.text
            return Pending("confirm", (words,), (taken,))
        case Choosing(choices, item, replacing) as question:
            each = tuple(_taken(turn, (reading_at(choice, item),), replacing) for choice in choices)
            return Pending("choose", offered(turn, question), each)
        case _:
            return None


def _taken(turn: Turn, readings: tuple[Reading, ...], replacing: tuple[int, ...]) -> tuple[ReadingTaken, ...]:
    return preview(turn, readings, replacing).taken[-len(readings) :] if readings else ()
