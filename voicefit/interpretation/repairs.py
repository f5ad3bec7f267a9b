"""What a person takes back in the same breath: "out, no sorry, in", "yes, I mean no", "eighteen, sorry".

How it works. Of several things said in one breath, what comes after a word of correction replaces what it corrects
among the things said before it: only the last is kept. A word of correction at the end says that what stands before
it corrects what is on record.

Likewise a value said only as what it might be as well ("eighteen I think, might be nineteen") is another option of the
one before it. ("But it isn't" is of :mod:`voicefit.interpretation.echoes`.)

Duty: this, over the items of one text. It must not know what is on record.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from voicefit.interpretation.turning import between
from voicefit.quantities import Quantity
from voicefit.records import (
    O_RING,
    Command,
    Hedge,
    Item,
    Meaning,
    Measurand,
    Option,
    Reading,
    Reason,
    Rejection,
)

_TAKES_BACK = frozenset({"wrong", "correction", "undo", "forget"})
_ALSO = frozenset({"drop", "start-over"})  # "sorry, scrap the pitch"
_BEGINS = frozenset({"no", "pause", "okay"})  # "no wait, take that back"
ASIDE = "aside"  # left out beside anything else: "it's an elbow, male"
_NO = "no"
_ANSWERS = frozenset({"yes", _NO})
_REPAIRS = frozenset({"correction"})
_LIT = re.compile(r"\b(light|daylight|gaps?)\b")
_SAYS_SO = frozenset({"it", "s", "is", "the", "a", "an", "there", "has", "that", "this", "not", "no", "t"})


def repaired(text: str, items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items of a text without what was taken back among them."""
    kept: list[Item] = []
    taking_back = False  # a word of correction came before
    for item in _with_one_answer(items):
        said: tuple[Item, ...] = (item,)
        while kept and _is_answer(item, of=_TAKES_BACK | _ALSO) and _is_answer(kept[-1], of=_TAKES_BACK | _BEGINS):
            kept.pop()  # "oops, take that back"
        if isinstance(item, Command) and item.name == "correct":
            if kept and isinstance(kept[-1], Command) and kept[-1].name in _TAKES_BACK:
                kept.pop()  # "oops, I meant eighteen": the value says what was wrong
            said = _in_place(text, kept, item)
        elif isinstance(item, Command) and item.name == "correction":
            taking_back = True
            continue
        elif isinstance(item, Reading) and taking_back:
            right = kept[-1] if kept else None
            if isinstance(right, Reading) and _denies_another(item, right):
                kept.pop()
                said = (Command("correct", item.heard, (item, right)),)
            else:
                said = _in_place(text, kept, Command("correct", item.heard, (item,)))
        elif isinstance(item, Reading) and (place := _of_the_very(item, kept)) is not None:
            if item.options[0].negated and _is_of_its_kind(item, kept[place:]):
                continue  # "the washer is not copper" has a washer
            kept[place:] = [each for each in kept[place + 1 :] if not isinstance(each, Command) or each.name != _NO]
        elif isinstance(item, Reading) and kept and (either := _or_else(kept[-1], item)) is not None:
            kept.pop()
            said = (either,)
        taking_back = False
        kept.extend(said)
    if taking_back:
        readings = tuple(item for item in kept if isinstance(item, Reading))
        if not readings or len(readings) < len(kept):
            return items
        return (Command("correct", readings[0].heard, readings),)
    telling = tuple(item for item in kept if not tells_nothing(item))
    return telling or tuple(kept)


def as_it_seemed(meaning: Meaning) -> Meaning:
    """The meaning without a name behind which a "but" says another of the same: "looks male, but it's a female"."""
    kept = list(meaning.items)
    for first, second in pairwise(meaning.items):
        if not isinstance(first, Reading) or not isinstance(second, Reading):
            continue
        named = not any(isinstance(o.value, Quantity) for o in (*first.options, *second.options))
        if first.measurands != second.measurands and (named or not second.measurands < first.measurands):
            continue
        begins = meaning.text.find(first.heard) + len(first.heard)
        between = meaning.text[begins : meaning.text.find(second.heard, begins)].casefold()
        if (
            not any(o.negated for o in (*first.options, *second.options))
            and re.search(r"\bbut\b", between)
            and first in kept
        ):
            kept.remove(first)
    return replace(meaning, items=tuple(kept))


def _of_the_very(item: Reading, kept: list[Item]) -> int | None:
    """The place of the very thing that is now denied ("flat, no, not flat"), or of its denial ("not a copper washer,
    it's a bonded one")."""
    said = tuple(replace(option, negated=not option.negated) for option in item.options)
    return next((at for at, each in enumerate(kept) if isinstance(each, Reading) and each.options == said), None)


def _is_of_its_kind(item: Reading, since: Sequence[Item]) -> bool:
    """Whether a denial behind the thing is in other words, so that it is of its kind alone."""
    if any(isinstance(each, Command) for each in since) or not isinstance(since[0], Reading):
        return False
    said, again = (set(re.findall(r"\w+", each.heard.casefold())) for each in (since[0], item))
    return not said & again - _SAYS_SO


def tells_nothing(item: Item) -> bool:
    """Whether it was understood to be of no use."""
    return isinstance(item, Command) and item.name == ASIDE


def _with_one_answer(items: tuple[Item, ...]) -> list[Item]:
    """The items with two answers side by side as one, where they are the same, else as none: "no, it's definitely
    there". (Which of several is meant in the end is decided over words: :mod:`.disfluency`.)"""
    kept: list[Item] = []
    for item in items:
        if len(kept) > 1 and _is_answer(item, kept[-2]) and _is_answer(kept[-1], of=_REPAIRS):
            del kept[-2:]  # "nah, nah, nah"
        before = kept[-1] if kept else None
        if isinstance(item, Command) and isinstance(before, Command) and _is_answer(item, before):
            words = f"{before.heard} {item.heard}"
            says = _LIT.search(item.heard) and before.heard.casefold() == _NO  # "no, the gauge did show light"
            kept[-1] = item if before.name == item.name or says else Rejection(words, Reason.OUT_OF_GRAMMAR, words)
        else:
            kept.append(item)
    return kept


def _is_answer(*items: Item, of: frozenset[str] = _ANSWERS) -> bool:
    return all(isinstance(item, Command) and item.name in of for item in items)


def _or_else(before: Item, item: Reading) -> Reading | None:
    """Two values side by side of one thing, the second only what it might be as well, as one that may be either."""
    if not isinstance(before, Reading) or any(option.hedge is not Hedge.PERHAPS for option in item.options):
        return None
    first, second = ([_unhedged(option) for option in each.options] for each in (before, item))
    options = between(first, second)
    return replace(before, heard=f"{before.heard}, {item.heard}", options=options) if options else None


def _unhedged(option: Option) -> Option:
    return replace(option, hedge=None) if option.hedge is Hedge.PERHAPS else option


def _in_place(text: str, kept: list[Item], correct: Command) -> tuple[Item, ...]:
    """What a correction says, in the place of what it corrects among ``kept``; where there is nothing, a correction.

    The kind of a washer goes with its seal: another seal takes the place of both.
    """
    kinds = tuple(reading for reading in correct.readings if _is_kind_of_washer(reading))
    corrected = tuple(reading for reading in correct.readings if reading not in kinds)
    places = [
        next((at for at in reversed(range(len(kept))) if _corrects(reading, kept[at])), None) for reading in corrected
    ]
    if any(place is None for place in places):
        return (correct,)
    readings = tuple(
        _of_the_same(text, r, kept[at], correct.heard)
        for r, at in zip(corrected, places, strict=True)
        if at is not None
    )
    if any(Measurand.SEAL in reading.measurands for reading in readings):
        places += [at for at, item in enumerate(kept) if _is_kind_of_washer(item)]
    for place in sorted({place for place in places if place is not None}, reverse=True):
        del kept[place]
    return (*readings, *kinds)


def _is_kind_of_washer(item: Item) -> bool:
    return isinstance(item, Reading) and item.measurands == {Measurand.SEALED_BY}


def _of_the_same(text: str, reading: Reading, corrected: Item, heard: str) -> Reading:
    """What a correction says of what it corrects, with the words of both: "nineteen pitch, sorry, eighteen" is of the
    pitch, and "a washer, sorry, no washer" denies it."""
    if not isinstance(corrected, Reading):
        return reading
    options = tuple(o for o in reading.options if o.measurand in corrected.measurands)
    if _NO in re.findall(r"\w+", heard.casefold()) and any(
        _is_no_other(option, old) for option in options for old in corrected.options
    ):
        options = tuple(replace(option, negated=True) for option in options)
    said = text[text.find(corrected.heard) : text.find(reading.heard, text.find(corrected.heard)) + len(reading.heard)]
    return replace(reading, heard=said or reading.heard, options=options)


def _is_no_other(option: Option, old: Option) -> bool:
    """Whether a name is the very one that it corrects, or an O-ring one of which the place was said."""
    if isinstance(option.value, Quantity) or isinstance(old.value, Quantity) or option.negated or old.negated:
        return False
    return option.value == old.value or (option.value == O_RING and old.value.endswith(O_RING))


def _corrects(reading: Reading, item: Item) -> bool:
    """Whether it takes the place of something said: not of what was denied, which names what is on record."""
    if not isinstance(item, Reading) or all(option.negated for option in item.options):
        return False
    return bool(reading.measurands & item.measurands) and not _denies_another(reading, item)


def _denies_another(reading: Reading, item: Reading) -> bool:
    """Whether it denies another value than that which was said: "female, sorry, not male"."""
    if not all(option.negated for option in reading.options):
        return False
    same = {option.value for option in reading.options} & {option.value for option in item.options}
    return bool(reading.measurands & item.measurands) and not same
