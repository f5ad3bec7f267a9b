"""What a matched phrase means: readings with their options, commands with what they carry.

Duty: put slots into meanings, turn them ("not", "gap on"), join takings of the same words. It must not find phrases
in a text (the chart does) and must not know the context (:mod:`voicefit.interpretation.priors` does).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any

from voicefit.interpretation.grammar import (
    BEYOND,
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
from voicefit.interpretation.turning import Phrase, either, loosely, none_of, turned
from voicefit.records import Hedge, Measurand, Option, Reading, Reason, Rejection

# Forms of a kind that hold their whole value: "an inch", "half a meter".
ONE_UNIT: Mapping[str, tuple[Number, str]] = {
    "one-inch": (Number.whole(1), "in"),
    "one-foot": (Number.whole(1), "ft"),
    "one-metre": (Number.whole(1), "m"),
    "one-and-half-foot": (Number(Fraction(3, 2), Fraction(1, 2)), "ft"),
    "one-and-half-millimetre": (Number(Fraction(3, 2), Fraction(1, 10)), "mm"),
    "half-metre": (Number(Fraction(1, 2), Fraction(1, 10)), "m"),
    "quarter-turn": (Number.whole(90), "deg"),
    "half-turn": (Number.whole(180), "deg"),
}
# What follows on "a metre" or "two metres", in what parts, and from what number on: "one metre twenty" are centimetres,
# "one metre two hundred" millimetres; "one metre two" may be either, or tenths.
METRES_AND: Mapping[str, tuple[Fraction, int]] = {
    "metres-and": (Fraction(1, 100), 1),
    "metres-and-millimetres": (Fraction(1, 1000), 100),
    "metres-and-tenths": (Fraction(1, 10), 1),
    "metres-and-part": (Fraction(1), 0),
}
COUNTS = frozenset({"count-over", "over-count"})  # threads along a length, and a length that holds threads
_SPANS_MM = {None: 1, "mm": 1, "cm": 10}  # nobody counts threads along a foot
_MOST_KEPT = 20_000


@dataclass(frozen=True, slots=True, eq=False)
class Call:
    """A command with its argument; ``phrase`` : what was said with it, for a correction."""

    name: str
    argument: str | None
    phrase: Phrase | None
    costly: bool = False
    urgent: bool = False


class Makers:
    """Turns the data of a form into the function that makes its value."""

    def __init__(self, grammar: Grammar) -> None:
        self._measures = Measures(grammar)
        self._bare = lru_cache(_MOST_KEPT)(self._bare_number)

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
            return lambda values: turned(maker, values[0])
        if isinstance(maker, Either):
            return lambda values: either(*values)
        if isinstance(maker, NoneOf):
            return lambda values: none_of(*values)
        if isinstance(maker, MakeCommand):
            return lambda values: _command(maker, slots, values)
        raise TypeError(maker)

    def _spoken(self, maker: MakeQuantity, values: tuple[Any, ...]) -> Spoken | None:
        if maker.operator == BEYOND:
            number, unit = (*values, None)[:2]
            return Spoken(maker.kind, number, unit) if self._measures.is_beyond(maker.kind, number, unit) else None
        if maker.hedge is not None and isinstance(values[0], Number):
            return Spoken(maker.kind, values[0], values[1] if len(values) > 1 else None, maker.hedge)
        if maker.hedge is not None:
            return None if values[0].hedge else replace(values[0], hedge=maker.hedge)
        if maker.operator in ONE_UNIT:
            return Spoken(maker.kind, *ONE_UNIT[maker.operator])
        if maker.operator == "inches-and":
            number = mixed(*(Number.whole(1), *values)[-2:])
            return None if number is None else Spoken(maker.kind, number, "in")
        if maker.operator == "millimetre-and":
            number = mixed(Number.whole(1), values[0])
            return None if number is None else Spoken(maker.kind, number, "mm")
        if maker.operator == "inches-and-thou":
            whole, thou = (Number.whole(1), *values)[-2:]
            return Spoken(maker.kind, Number(whole.value + thou.value / 1000, Fraction(1, 1000)), "in")
        if maker.operator in METRES_AND:
            return _metres_and(maker, values)
        if maker.operator in COUNTS:
            return _pitch(maker, values if maker.operator == "count-over" else values[::-1])
        if maker.operator == "feet-or-inches":  # one length said twice: "ten foot, a hundred and twenty inches"
            feet, inches = values
            return Spoken(maker.kind, inches, "in") if feet.value * 12 == inches.value else None
        if maker.operator in ("feet-and", "feet-and-half"):
            more = values[1].value if len(values) > 1 else 6
            if more >= 12:
                return None
            return Spoken(maker.kind, Number(values[0].value * 12 + more, Number.whole(1).step), "in")
        unit = values[1] if len(values) > 1 else None
        return Spoken(maker.kind, values[0], unit)

    def _bare_number(self, maker: MakeBare, values: tuple[Any, ...]) -> Phrase | None:
        spoken = values[0]
        if isinstance(spoken, Number):
            spoken = Spoken("", spoken, values[1] if len(values) > 1 else None)
        options: list[Option] = []
        problems: list[Rejection] = []
        for measurand in maker.measurands:
            found = self._measures.bare(measurand, spoken)
            if not isinstance(found, Rejection):
                options += (replace(option, hedge=spoken.hedge) for option in found)
            else:
                problems.append(found)
        value = (spoken.number.value, spoken.unit)
        if options:
            return Phrase((Reading("", tuple(options)),), value, open=True)
        beyond = [each for each in problems if each.reason is Reason.OUT_OF_RANGE] or problems[:1]
        problem = beyond[0] if len(beyond) == 1 else replace(beyond[-1], limits=())  # "six hundred threads per inch"
        return Phrase((problem,), value, open=True)

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
            found = loosely(value.hedge, found)
            if not found:
                return None
        return tuple(replace(option, negated=True) for option in found) if negated else found


def _metres_and(maker: MakeQuantity, values: tuple[Any, ...]) -> Spoken | None:
    part, least = METRES_AND[maker.operator or ""]
    whole, more = (Number.whole(1), *values)[-2:]
    if not least <= more.value < 1 / part and part < 1:
        return None
    return Spoken(maker.kind, Number((whole.value + more.value * part) * 100), "cm")


def _pitch(maker: MakeQuantity, values: Sequence[Spoken]) -> Spoken | None:
    """From threads counted along a length; hardly ever exact, but over the inch that leaves are named by. Of two
    counts, "six or five and a half", what lies between them."""
    span = next((each for each in values if each.unit is not None), values[1])
    counts = [each.number.value for each in values if each is not span]
    length, counted = span.number.value, sum(counts, Fraction()) / len(counts)
    if not length or not counted:
        return None
    if span.unit == "in":
        per_inch = Number(counted / length)
        return Spoken(maker.kind, per_inch, "tpi", None if length == 1 else Hedge.ABOUT)
    if span.unit not in _SPANS_MM:
        return None
    return Spoken(maker.kind, Number(length * _SPANS_MM[span.unit] / counted), "mm", Hedge.ABOUT)


def _command(maker: MakeCommand, slots: tuple[str, ...], values: tuple[Any, ...]) -> Call | None:
    argument, phrase = maker.argument, None
    for slot, value in zip(slots, values, strict=True):
        if slot == "reading":
            phrase = value if phrase is None else _instead(phrase, value)
        elif slot == "number":
            argument = str(value.value)
        else:
            argument = str(value)
    if "name" in slots and maker.id != "spell" and argument and not argument[0].isalnum():
        return None  # no name begins with a sign, but for a piece of one that is spelled: "machine, dash six"
    if phrase and phrase.only_if_asked == {Measurand.THREAD_SIDE}:  # "no, inside": the side of what was measured
        phrase = replace(phrase, only_if_asked=frozenset())
    if phrase and (phrase.turned or not all(isinstance(i, Reading) for i in phrase.items)):
        return None
    return Call(maker.id, argument, phrase, maker.costly, maker.urgent)


def _instead(wrong: Phrase, right: Phrase) -> Phrase:
    """Both in one: "change fourteen to sixteen" says which one is wrong, and what is right."""
    denied = turned(TurnThing(negates=True), wrong)
    if denied is None or denied.certain:
        return right
    return replace(right, items=(*denied.items, *right.items), value=(denied.value, right.value))


def _all_denied(phrases: list[Phrase]) -> Phrase:
    """Denied is each of them that speaks of the same as the likeliest: a reading of its own, never one or the other."""
    items: dict[tuple[Any, ...], Reading | Rejection] = {}
    first = phrases[0].items[0]
    assert isinstance(first, Reading)
    for phrase in phrases:
        for item in phrase.items:
            if isinstance(item, Reading) and item.measurands == first.measurands:
                items.setdefault(item.options, item)
    return replace(phrases[0], items=tuple(items.values()))


def _likeliest(phrase: Phrase) -> float:
    """The prior of the likeliest option: there is no thirty-seven pitch."""
    return max(
        (option.log_prior for item in phrase.items if isinstance(item, Reading) for option in item.options), default=0.0
    )


def combine(phrases: list[tuple[Phrase, float]]) -> Phrase:
    """One phrase from several takings of the same words with the same numbers: their options side by side."""
    if len(phrases) == 1:
        return phrases[0][0]
    good = [(p, w) for p, w in phrases if all(isinstance(item, Reading) for item in p.items)]
    if not good:
        return phrases[0][0]
    if any(phrase.denies for phrase, _ in good):
        return _all_denied([phrase for phrase, _ in sorted(good, key=lambda each: -each[1] - _likeliest(each[0]))])
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
