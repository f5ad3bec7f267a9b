"""Several things may have been said: how likely each is, and what becomes of them.

Hearing and measuring are one inference: among the meanings that carry readings, the weight with which each was heard is
multiplied by how well its readings fit the end so far; all together they keep the weight they were heard with. A
command or a rejection competes by hearing alone: the catalogue has no opinion of it. What the best one's share comes
to is for :class:`~voicefit.dialogue.confirmation.Policy` to judge.

Duty: pure arithmetic over meanings. It must not word a question, and must not take anything on record.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from voicefit.dialogue.agreement import agree, values
from voicefit.dialogue.confirmation import Outcome, Policy, Risk
from voicefit.records import Command, Item, Meaning, Measurand, Option, Reading, Reason, Rejection


@dataclass(frozen=True, slots=True)
class Take:
    """Take this meaning; ``share`` : how sure it is that this, and not another, was said."""

    meaning: Meaning
    share: float


@dataclass(frozen=True, slots=True)
class Choose:
    """Two alternatives differ in one item and neither is clear: ask which."""

    choices: tuple[Meaning, Meaning]
    item: int
    share: float


@dataclass(frozen=True, slots=True)
class Confirm:
    """Likely, but not clear enough for what hangs on it: ask whether it was said."""

    meaning: Meaning
    share: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """Nothing is likely enough to be offered."""

    heard: str


Fits = Callable[[Sequence[tuple[Reading, ...]]], Sequence[float]]
Decision = Take | Choose | Confirm | Doubt


def decide(
    meanings: Sequence[Meaning],
    log_fits: Fits,
    risk: Callable[[Meaning, float], Risk],
    policy: Policy,
) -> Decision:
    """Which of the meanings is taken.

    Parameters
    ----------
    meanings : alternatives with their ``log_weight``; at least one
    log_fits : of each alternative's readings, the log of how well they fit what is on record
    risk : of the best meaning and its share, what hangs on it
    policy : what is taken, asked about or refused

    Returns
    -------
    ``Take`` with the alternatives of its shape merged into options, ``Choose``, ``Confirm`` or ``Doubt``.
    """
    weighed = weigh(_whole(meanings), log_fits)
    best, share = weighed[0]
    share += sum(part for meaning, part in weighed[1:] if agree(meaning, best))
    rivals = [(meaning, part) for meaning, part in weighed if shape(meaning) == shape(best)]
    other = next(((meaning, part) for meaning, part in rivals[1:] if _difference(best, meaning) is not None), None)
    match policy.outcome(share, 0.0 if other is None else other[1], risk(best, share)):
        case Outcome.TAKE:
            return Take(_merged(rivals, policy.keep), share)
        case Outcome.CHOOSE if other is not None:
            item = _difference(best, other[0])
            assert item is not None
            return Choose((best, other[0]), item, share)
        case Outcome.CONFIRM:
            return Confirm(best, share)
    return Doubt(best.text)


def _whole(meanings: Sequence[Meaning]) -> Sequence[Meaning]:
    """Without the meanings that take a text to pieces where another takes it whole.

    "Undo three" is not "undo", and a reading; "it's not fourteen" is not "it's not", and fourteen; and what leaves
    words over, or takes nothing, gives way to what leaves none and is likelier.
    """
    whole: dict[str, int] = {}
    for m in meanings:
        if len(m.items) == 1 and _carries_something(m.items[0]):
            whole[m.text] = max(len(_heard(m.items[0])), whole.get(m.text, 0))
    complete = {m.text for m in meanings if not _leaves_words(m) and readings_of(m)}
    understood = {
        m.text: m.log_weight for m in reversed(meanings) if not any(isinstance(item, Rejection) for item in m.items)
    }
    alone = ((m.text, m.items[0]) for m in meanings if len(m.items) == 1)
    commands = {(text, item.name, item.heard) for text, item in alone if isinstance(item, Command)}
    readings = {(m.text, item.heard) for m in meanings for item in m.items if isinstance(item, Reading)}
    return [
        m
        for m in meanings
        if not (len(m.items) > 1 and whole.get(m.text, -1) >= sum(len(_heard(item)) for item in m.items))
        and not (_leaves_words(m) and m.text in complete)
        and not any((m.text, cut) in readings for cut in _cut_apart(m))
        and not any((m.text, *rest) in commands for rest in _behind_an_answer(m))
        and not (_is_lost(m) and understood.get(m.text, -math.inf) > m.log_weight)
    ]


def _cut_apart(meaning: Meaning) -> Iterator[str]:
    """The words of each answer with those of the reading right behind it."""
    for answer, reading in pairwise(meaning.items):
        if isinstance(answer, Command) and answer.name in ("yes", "no") and isinstance(reading, Reading):
            yield f"{answer.heard} {reading.heard}"


def _behind_an_answer(meaning: Meaning) -> Iterator[tuple[str, str]]:
    """The command behind a yes or no, with the words of both: "there's" is no yes where "there's no tube" is said."""
    match meaning.items:
        case [Command(name="yes" | "no", heard=answer), Command(name=name, heard=heard)]:
            yield name, f"{answer} {heard}"


def _leaves_words(meaning: Meaning) -> bool:
    """Whether something was taken and something else of the same text was not."""
    return len(meaning.items) > 1 and any(isinstance(item, Rejection) for item in meaning.items)


def _is_lost(meaning: Meaning) -> bool:
    """Whether no phrase took anything of it: that is no doubt of an engine's."""
    return all(isinstance(item, Rejection) and item.reason is Reason.OUT_OF_GRAMMAR for item in meaning.items)


def _heard(item: Item) -> str:
    return item.text if isinstance(item, Rejection) else item.heard


def _carries_something(item: Item) -> bool:
    return isinstance(item, Command) and (item.argument is not None or bool(item.readings))


def weigh(meanings: Sequence[Meaning], log_fits: Fits) -> list[tuple[Meaning, float]]:
    """The meanings with their shares, best first; the shares sum to one."""
    shares = _softmax([meaning.log_weight for meaning in meanings])
    indices = [index for index, meaning in enumerate(meanings) if readings_of(meaning)]
    mass = sum(shares[index] for index in indices)
    if len(indices) > 1 and mass > 0.0:
        fits = log_fits([readings_of(meanings[index]) for index in indices])
        logs = [meanings[index].log_weight + fit for index, fit in zip(indices, fits, strict=True)]
        for index, part in zip(indices, _softmax(logs), strict=True):
            shares[index] = mass * part
    order = sorted(range(len(meanings)), key=lambda index: (-shares[index], index))
    return [(meanings[index], shares[index]) for index in order]


def shape(meaning: Meaning) -> tuple[object, ...]:
    """What makes two meanings comparable: readings count as one kind, a command or rejection by its name."""
    return tuple(_kind(item) for item in meaning.items)


def readings_of(meaning: Meaning) -> tuple[Reading, ...]:
    """The readings in a meaning, a correction's among them."""
    found: list[Reading] = []
    for item in meaning.items:
        if isinstance(item, Reading):
            found.append(item)
        elif isinstance(item, Command):
            found.extend(item.readings)
    return tuple(found)


def repeats(answer: Meaning, choice: Meaning) -> bool:
    """Whether each reading of the answer has a value of one of the choice's readings; behind a "no", all of them."""
    answered, offered = readings_of(answer), readings_of(choice)
    if not answered or not offered or any(isinstance(item, Rejection) for item in answer.items):
        return False
    denies = any(isinstance(item, Command) and item.name in ("no", "correct") for item in answer.items)
    if denies and not all(any(_values_said(one) & _values_said(other) for one in answered) for other in offered):
        return False
    return all(any(_values_said(one) & _values_said(other) for other in offered) for one in answered)


def _values_said(reading: Reading) -> set[object]:
    """The values, whatever they are of, each with whether it is denied."""
    return {(getattr(option.value, "value", option.value), option.negated) for option in reading.options}


def _kind(item: Item) -> object:
    if isinstance(item, Reading):
        return "reading"
    if isinstance(item, Command):
        return item.name, len(item.readings)
    return item.reason


def _difference(first: Meaning, second: Meaning) -> int | None:
    """The one item in which two meanings of one shape differ, where it is a reading or carries one."""
    different = [i for i, (a, b) in enumerate(zip(first.items, second.items, strict=True)) if not _same(a, b)]
    if len(different) != 1:
        return None
    item = first.items[different[0]]
    if isinstance(item, Rejection) or (isinstance(item, Command) and len(item.readings) != 1):
        return None
    return different[0]


def _same(first: Item, second: Item) -> bool:
    if isinstance(first, Reading) and isinstance(second, Reading):
        return values(first) == values(second)
    if isinstance(first, Command) and isinstance(second, Command):
        return (first.name, first.argument, [values(r) for r in first.readings]) == (
            second.name,
            second.argument,
            [values(r) for r in second.readings],
        )
    return first == second


def reading_at(meaning: Meaning, item: int) -> Reading:
    """The reading of an item that is one or carries one."""
    found = meaning.items[item]
    reading = found.readings[0] if isinstance(found, Command) else found
    assert isinstance(reading, Reading)
    return reading


def one_of_both(choices: tuple[Meaning, Meaning], item: int) -> Meaning:
    """The first of two, with what the other one may mean instead kept open."""
    first, second = choices
    both = joined(reading_at(first, item), reading_at(second, item), second.log_weight - first.log_weight)
    found = first.items[item]
    new = replace(found, readings=(both,)) if isinstance(found, Command) else both
    return replace(first, items=(*first.items[:item], new, *first.items[item + 1 :]))


def _merged(rivals: Sequence[tuple[Meaning, float]], keep: float) -> Meaning:
    """The best meaning; what the others heard instead is carried in its readings as further options."""
    best, share = rivals[0]
    kept = [(meaning, part) for meaning, part in rivals[1:] if part >= keep * share]
    items = list(best.items)
    for meaning, part in kept:
        item = _difference(best, meaning)
        if item is None:
            continue
        first, second = items[item], meaning.items[item]
        if isinstance(first, Reading) and isinstance(second, Reading):
            items[item] = joined(first, second, math.log(part / share))
    return replace(best, items=tuple(items))


def joined(first: Reading, second: Reading, log_ratio: float) -> Reading:
    """One reading with the options of both; ``log_ratio`` : log of the second's weight over the first's."""
    options: dict[tuple[Measurand, object, bool], Option] = {}
    for reading, shift in ((first, 0.0), (second, log_ratio)):
        norm = float(np.logaddexp.reduce([option.log_prior for option in reading.options]))
        for option in reading.options:
            key = (option.measurand, option.value, option.negated)
            weight = option.log_prior - norm + shift
            if key in options:
                weight = float(np.logaddexp(options[key].log_prior, weight))
            options[key] = replace(option, log_prior=weight)
    return replace(first, options=tuple(options.values()))


def _softmax(logs: Sequence[float]) -> list[float]:
    total = float(np.logaddexp.reduce(logs))
    if math.isinf(total):
        return [1.0 / len(logs)] * len(logs)
    return [math.exp(log - total) for log in logs]


def without_the_wrong(meaning: Meaning, things: Mapping[str, Set[Measurand]]) -> Meaning:
    """The meaning without saying again that what is put right in it was wrong: "pitch should be eighteen, my mistake",
    "it's a male after all, gender was wrong". ``things`` : what each word of a thing is of."""
    right = [r.measurands for i in meaning.items if isinstance(i, Command) and i.name == "correct" for r in i.readings]
    of_it = frozenset().union(*right)

    def is_of_it(item: Item) -> bool:
        dropped = isinstance(item, Command) and item.name == "drop" and things.get(item.argument or "", frozenset())
        return bool(dropped and dropped & of_it) or (isinstance(item, Command) and item.name in ("wrong", "correction"))

    return replace(meaning, items=tuple(item for item in meaning.items if not (right and is_of_it(item))))
