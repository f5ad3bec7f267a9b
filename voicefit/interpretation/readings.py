"""What a matched phrase means: readings with their options, commands with what they carry.

Duty: put slots into meanings, turn them ("not", "gap on"), join takings of the same words. It must not find phrases
in a text (the chart does) and must not know the context (:mod:`voicefit.interpretation.priors` does).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from voicefit.interpretation.grammar import (
    Constant,
    Either,
    Grammar,
    MakeBare,
    MakeCommand,
    MakeQuantity,
    MakeReading,
    NoneOf,
    Operate,
    TurnThing,
    slot_of,
)
from voicefit.interpretation.measuring import Measures, Spoken
from voicefit.interpretation.numerals import OPERATORS, Number, mixed
from voicefit.interpretation.schema import SayEntry
from voicefit.quantities import Quantity
from voicefit.records import Hedge, Measurand, Option, Reading, Reason, Rejection

# Forms of a kind that hold their whole value: "an inch", "half a meter".
ONE_UNIT: Mapping[str, tuple[Number, str]] = {
    "one-inch": (Number.whole(1), "in"),
    "one-foot": (Number.whole(1), "ft"),
    "one-metre": (Number.whole(1), "m"),
    "half-metre": (Number(Fraction(1, 2), Fraction(1, 10)), "m"),
}
SIDE_BY_SIDE = Fraction(1, 4)  # two values no further apart than this share of the smaller
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


@dataclass(frozen=True, slots=True, eq=False)
class Call:
    """A command with its argument; ``phrase`` : what was said with it, for a correction."""

    name: str
    argument: str | None
    phrase: Phrase | None


class Makers:
    """Turns the data of a form into the function that makes its value."""

    def __init__(self, grammar: Grammar) -> None:
        self._measures = Measures(grammar)

    def __call__(self, maker: Any, slots: tuple[str, ...]) -> Callable[[tuple[Any, ...]], Any]:
        if isinstance(maker, Constant):
            return lambda values: maker.value if maker.value is not None else True
        if isinstance(maker, Operate):
            operator = OPERATORS[maker.operator]
            return lambda values: operator(*values)
        if isinstance(maker, MakeQuantity):
            return lambda values: self._spoken(maker, values)
        if isinstance(maker, MakeReading):
            return lambda values: self._reading(maker.entry, slots, values)
        if isinstance(maker, MakeBare):
            return lambda values: self._bare(maker, values)
        if isinstance(maker, TurnThing):
            return lambda values: _turned(maker, values[0])
        if isinstance(maker, Either):
            return lambda values: _either(*values)
        if isinstance(maker, NoneOf):
            return lambda values: _none_of(*values)
        if isinstance(maker, MakeCommand):
            return lambda values: _command(maker, slots, values)
        raise TypeError(maker)

    def _spoken(self, maker: MakeQuantity, values: tuple[Any, ...]) -> Spoken | None:
        if maker.hedge is not None:
            return None if values[0].hedge else replace(values[0], hedge=maker.hedge)
        if maker.operator in ONE_UNIT:
            return Spoken(maker.kind, *ONE_UNIT[maker.operator])
        if maker.operator == "inches-and":
            number = mixed(Number.whole(1), values[0])
            return None if number is None else Spoken(maker.kind, number, "in")
        if maker.operator == "metres-and":  # "one metre twenty": centimetres
            return Spoken(maker.kind, Number(values[0].value * 100 + values[1].value), "cm")
        if maker.operator in ("feet-and", "feet-and-half"):
            more = values[1].value if len(values) > 1 else 6
            return Spoken(maker.kind, Number(values[0].value * 12 + more, Number.whole(1).step), "in")
        unit = values[1] if len(values) > 1 else None
        return Spoken(maker.kind, values[0], unit)

    def _bare(self, maker: MakeBare, values: tuple[Any, ...]) -> Phrase | None:
        spoken = values[0]
        if isinstance(spoken, Number):
            spoken = Spoken("", spoken, values[1] if len(values) > 1 else None)
        options: list[Option] = []
        problem: Rejection | None = None
        for measurand in maker.measurands:
            found = self._measures.bare(measurand, spoken)
            if not isinstance(found, Rejection):
                options += found
            elif problem is None or found.reason is Reason.OUT_OF_RANGE:
                problem = found
        value = (spoken.number.value, spoken.unit)
        if options:
            return Phrase((Reading("", tuple(options)),), value, open=True)
        return None if problem is None else Phrase((problem,), value, open=True)

    def _reading(self, entry: SayEntry, slots: tuple[str, ...], values: tuple[Any, ...]) -> Phrase | None:
        said: dict[tuple[str, int], Any] = {}
        for slot_name, value in zip(slots, values, strict=True):
            said[slot_name, sum(name == slot_name for name, _ in said)] = value
        items: list[Reading | Rejection] = []
        for reading in entry.means:
            options: list[Option] = []
            problem: Rejection | None = None
            for measurand, wanted in reading.items():
                for meant in [wanted] if isinstance(wanted, str) else wanted:
                    slot = slot_of(meant)
                    if slot is None:
                        negated = meant.startswith("not ")
                        options.append(Option(measurand, meant.removeprefix("not "), negated=negated))
                        continue
                    if slot not in said:
                        continue
                    found = self._filled(measurand, said[slot], negated=meant.startswith("not "))
                    if found is None:
                        return None
                    if isinstance(found, Rejection):
                        problem = problem or found
                    else:
                        options += found
            if options:
                threads = said.get((entry.threads[1:-1], 0)) if entry.threads else None
                items.append(Reading("", tuple(options), int(threads.number.value) if threads else None))
            elif problem and entry.strict:
                return None
            elif problem:
                items.append(problem)
        numbers = tuple((each.number.value, each.unit, each.hedge) for each in values if isinstance(each, Spoken))
        about = frozenset(entry.means[0]) if entry.asked else frozenset()
        return Phrase(tuple(items), numbers, corrects=entry.corrects, only_if_asked=about)

    def _filled(self, measurand: Measurand, value: Any, *, negated: bool) -> tuple[Option, ...] | Rejection | None:
        if not isinstance(value, Spoken):
            return (Option(measurand, str(value), negated=negated),)
        found = self._measures.options(measurand, value)
        if isinstance(found, Rejection):
            return found
        if value.hedge is not None:
            found = tuple(replace(option, hedge=value.hedge) for option in found if _can_be(value.hedge, option))
            if not found:
                return None
        return tuple(replace(option, negated=True) for option in found) if negated else found


def _turned(maker: TurnThing, phrase: Phrase) -> Phrase | None:
    """What it is not, what fits, or what is not sure. Several things said at once cannot be negated: any one may be
    meant. Nothing is negated twice."""
    if (phrase.only_if_asked and maker.only) or (maker.negates and phrase.turned):
        return None
    if maker.hedge is not None:
        return _hedged(maker.hedge, phrase)
    if not all(isinstance(item, Reading) for item in phrase.items):
        return phrase  # what is refused is refused under "not" as well
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


def _negated(options: list[Option]) -> list[tuple[Option, ...]]:
    """The options negated, by reading: one that may be one of several names is none of them, which is a reading for
    each; of which measurand a number is stays open."""
    if len(options) > 1 and not any(isinstance(option.value, Quantity) for option in options):
        return [(replace(option, negated=not option.negated),) for option in options]
    return [tuple(replace(option, negated=not option.negated) for option in options)]


def _none_of(one: Phrase, other: Phrase) -> Phrase | None:
    """Neither the one nor the other."""
    both = [_turned(TurnThing(negates=True), each) for each in (one, other)]
    if both[0] is None or both[1] is None:
        return None
    return Phrase((*both[0].items, *both[1].items), (*both[0].value, *both[1].value), turned=True, denies=True)


def _hedged(hedge: Hedge, phrase: Phrase) -> Phrase | None:
    """Everything that was said, said loosely; ``None`` where it cannot be: there is no "just under" of a washer."""
    items: list[Reading | Rejection] = []
    for item in phrase.items:
        if isinstance(item, Reading):
            options = tuple(
                replace(option, hedge=option.hedge or hedge) for option in item.options if _can_be(hedge, option)
            )
            if not options:
                return None
            item = replace(item, options=options)
        items.append(item)
    return replace(phrase, items=tuple(items), value=(hedge, *phrase.value))


def _can_be(hedge: Hedge, option: Option) -> bool:
    """A name is sure or not; a size in a designation is that size or none, and so is a leaf that is a little less."""
    if hedge is Hedge.PERHAPS:
        return True
    if not isinstance(option.value, Quantity) or option.negated or option.measurand in _NAMED_SIZES:
        return False
    return hedge is Hedge.ABOUT or option.measurand is not Measurand.PITCH


def _either(*phrases: Phrase) -> Phrase | None:
    """The options of all of them; a bare number is of what the others speak of. Two values that lie side by side are
    one that lies between them."""
    readings: list[Reading] = []
    for phrase in phrases:
        item = phrase.items[0]
        if len(phrase.items) != 1 or not isinstance(item, Reading) or phrase.only_if_asked:
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


def _command(maker: MakeCommand, slots: tuple[str, ...], values: tuple[Any, ...]) -> Call | None:
    argument, phrase = maker.argument, None
    for slot, value in zip(slots, values, strict=True):
        if slot == "reading":
            phrase = value
        elif slot == "number":
            argument = str(value.value)
        else:
            argument = str(value)
    if phrase and phrase.only_if_asked == {Measurand.THREAD_SIDE}:  # "no, inside": the side of what was measured
        phrase = replace(phrase, only_if_asked=frozenset())
    if phrase and (phrase.turned or not all(isinstance(i, Reading) for i in phrase.items)):
        return None
    return Call(maker.id, argument, phrase)


def combine(phrases: list[tuple[Phrase, float]]) -> Phrase:
    """One phrase from several takings of the same words with the same numbers: their options side by side."""
    if len(phrases) == 1:
        return phrases[0][0]
    good = [(p, w) for p, w in phrases if all(isinstance(item, Reading) for item in p.items)]
    if not good:
        return phrases[0][0]
    best = max(weight for _, weight in good)
    merged: list[Reading | Rejection] = []
    for place in range(len(good[0][0].items)):
        options: dict[tuple[Any, ...], Option] = {}
        for phrase, weight in good:
            item = phrase.items[place]
            assert isinstance(item, Reading)
            for option in item.options:
                key = (option.measurand, option.value, option.negated, option.hedge)
                prior = option.log_prior + weight - best
                if key not in options or options[key].log_prior < prior:
                    options[key] = replace(option, log_prior=prior)
        merged.append(Reading("", tuple(options.values())))
    return replace(good[0][0], items=tuple(merged), open=all(p.open for p, _ in good))
