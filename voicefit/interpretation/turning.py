"""What was said, said otherwise: not so, not sure, about so, one or the other.

How it works. A phrase that was matched is a :class:`Phrase`: readings without their texts. Each function here makes
another of it: its options negated, marked with how loosely they were said, or joined with those of another phrase.
What cannot be said so is no phrase (``None``), and its words are left over.

Duty: this. It must not find phrases and must not know the context.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from voicefit.interpretation.grammar import TurnThing
from voicefit.quantities import Quantity
from voicefit.records import Hedge, Measurand, Option, Reading, Reason, Rejection

SIDE_BY_SIDE = Fraction(1, 4)  # two values no further apart than this share of the smaller
_HALF_OF_A_THING = [{Measurand.SHAPE}, {Measurand.GENDER}]
_KIND_OF_WASHER = [{Measurand.SEAL}, {Measurand.SEALED_BY}]
_NAMED_SIZES = frozenset({Measurand.THREAD_SIZE, Measurand.DASH})


@dataclass(frozen=True, slots=True, eq=False)
class Phrase:
    """One match: readings (or a rejection in the place of one) without their texts.

    ``value`` : what tells it from another taking of the same words: the numbers said. Phrases over the same words
    with equal values are one reading with several options.
    """

    items: tuple[Reading | Rejection, ...]
    value: tuple[Any, ...] = ()
    open: bool = False  # what is measured was left unsaid
    corrects: bool = False
    only_if_asked: frozenset[Measurand] = frozenset()
    certain: bool = False  # refused whatever else the words might be
    turned: bool = False  # said of what does not fit, or does
    denies: bool = False  # it says what is not so


def turned(maker: TurnThing, phrase: Phrase) -> Phrase | None:
    """What it is not, what fits, or what is not sure. Several things said at once cannot be negated: any one may be
    meant; but for half of a thing, "no banjo eye", which is no such thing, and for the kind of washer, "no copper
    washer". Nothing is negated twice."""
    if (phrase.only_if_asked and maker.only) or (maker.negates and phrase.turned):
        return None
    if maker.hedge is not None:
        return _hedged(maker, maker.hedge, phrase)
    if not all(isinstance(item, Reading) for item in phrase.items):
        return phrase  # what is refused is refused under "not" as well
    if maker.negates and _measurands(phrase) in (_HALF_OF_A_THING, _KIND_OF_WASHER):
        phrase = replace(phrase, items=phrase.items[:1])
    if len(phrase.items) > 1 or not isinstance(phrase.items[0], Reading):
        return Phrase((Rejection("", Reason.OUT_OF_GRAMMAR),), phrase.value, certain=True) if maker.negates else None
    reading = phrase.items[0]
    options = [option for option in reading.options if not maker.only or option.measurand in maker.only]
    if not options:
        return None
    if not maker.negates:
        return replace(phrase, items=(replace(reading, options=tuple(options)),), turned=True)
    items = tuple(Reading("", options, reading.threads_engaged) for options in _negated(options))
    return replace(phrase, items=items, value=("not", *phrase.value), turned=True, denies=True)


def _measurands(phrase: Phrase) -> list[frozenset[Measurand]]:
    return [item.measurands for item in phrase.items if isinstance(item, Reading)]


def _negated(options: list[Option]) -> list[tuple[Option, ...]]:
    """The options negated, by reading: one that may be one of several names is none of them, which is a reading for
    each; of which measurand a number is stays open."""
    if len(options) > 1 and not any(isinstance(option.value, Quantity) for option in options):
        return [(replace(option, negated=not option.negated),) for option in options]
    return [tuple(replace(option, negated=not option.negated) for option in options)]


def none_of(one: Phrase, other: Phrase) -> Phrase | None:
    """Neither the one nor the other."""
    both = [turned(TurnThing(negates=True), each) for each in (one, other)]
    if both[0] is None or both[1] is None:
        return None
    return Phrase((*both[0].items, *both[1].items), (*both[0].value, *both[1].value), turned=True, denies=True)


def _hedged(maker: TurnThing, hedge: Hedge, phrase: Phrase) -> Phrase | None:
    """Everything that was said, said loosely; ``None`` where it cannot be: there is no "just under" of a washer."""
    items: list[Reading | Rejection] = []
    for item in phrase.items:
        if isinstance(item, Reading):
            said = loosely(hedge, item.options)
            options = tuple(replace(option, certainty=min(option.certainty, maker.certainty)) for option in said)
            if not options:
                return None
            item = replace(item, options=options)
        items.append(item)
    return replace(phrase, items=tuple(items), value=(hedge, *phrase.value))


def loosely(hedge: Hedge, options: Sequence[Option]) -> tuple[Option, ...]:
    """The options that can be said so loosely. A leaf fits or does not, so that a pitch just under or over one is near
    it, and no more is said."""
    kept = tuple(replace(option, hedge=option.hedge or hedge) for option in options if _can_be(hedge, option))
    leaves = (option for option in options if option.measurand is Measurand.PITCH and _can_be(Hedge.ABOUT, option))
    return kept or tuple(replace(option, hedge=Hedge.ABOUT) for option in leaves)


def _can_be(hedge: Hedge, option: Option) -> bool:
    """A name is sure or not; a size in a designation is that size or none."""
    if hedge is Hedge.PERHAPS:
        return True
    if not isinstance(option.value, Quantity) or option.negated or option.measurand in _NAMED_SIZES:
        return False
    return hedge is Hedge.ABOUT or option.measurand is not Measurand.PITCH


def either(*phrases: Phrase) -> Phrase | None:
    """The options of all of them; a bare number is of what the others speak of. Two values that lie side by side are
    one that lies between them."""
    readings: list[Reading] = []
    for phrase in phrases:
        item = phrase.items[0]
        several = len(phrase.items) != 1 and _measurands(phrase) != _KIND_OF_WASHER
        if several or not isinstance(item, Reading) or phrase.only_if_asked or phrase.denies:
            return None
        readings.append(item)
    shared = frozenset.intersection(*(reading.measurands for reading in readings))
    if not shared:
        return None
    every = [[option for option in reading.options if option.measurand in shared] for reading in readings]
    options = tuple(option for own in every for option in own)
    if len(every) == 2:
        options = between(every[0], every[1]) or options
    value = tuple(part for phrase in phrases for part in ("or", *phrase.value))
    return Phrase((Reading("", options),), value, open=all(phrase.open for phrase in phrases))


def between(ones: Sequence[Option], others: Sequence[Option]) -> tuple[Option, ...]:
    """For each two values of one thing in one unit that lie side by side, the value between them."""
    found = []
    for one in ones:
        for other in others:
            a, b = one.value, other.value
            alike = (one.measurand, one.negated, one.hedge) == (other.measurand, other.negated, None)
            if not (alike and isinstance(a, Quantity) and isinstance(b, Quantity) and a.unit is b.unit):
                continue
            apart = abs(a.value - b.value)
            if one.measurand not in _NAMED_SIZES and 0 < apart <= SIDE_BY_SIDE * min(a.value, b.value):
                value = Quantity((a.value + b.value) / 2, a.unit, apart)
                found.append(Option(one.measurand, value, min(one.log_prior, other.log_prior), hedge=Hedge.BETWEEN))
    return tuple(found)
