"""A grammar: rules, each with its forms, and what a form makes. One source for the parser, the recogniser's constraint
and the help.

Duty: the frozen types and questions about their words. It must not read files (:mod:`voicefit.interpretation.loading`
does) and must not parse speech.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from voicefit.interpretation.alarms import Alarm
from voicefit.interpretation.dialect import Dialect
from voicefit.interpretation.notation import Phrase, words
from voicefit.interpretation.schema import KindEntry, MeasurandEntry, SayEntry, UnitEntry
from voicefit.records import O_RING, Context, Gender, Hedge, Measurand, Seal, SeatForm

CATEGORIES: Mapping[Measurand, frozenset[str]] = {
    Measurand.SEAT_FORM: frozenset(SeatForm),
    Measurand.SEAL: frozenset({*Seal, O_RING}),
    Measurand.GENDER: frozenset(Gender),
    Measurand.TAPER: frozenset({"tapered", "parallel"}),
    Measurand.THREAD_SIDE: frozenset({"internal", "external"}),
    Measurand.CREST: frozenset({"rounded", "flat"}),
    Measurand.NOSE: frozenset({"straight", "ball"}),
    Measurand.SEALED_BY: frozenset({"sealing_washer", "captured_ring"}),
    Measurand.SHOULDER_EDGE: frozenset({"edge", "ring", "plain"}),
    Measurand.BODY: frozenset({"housing", "loose"}),
    Measurand.LINE: frozenset(
        {"hydraulic", "air_conditioning", "brake_line", "air_brake", "fuel_injection", "compressed_gas"}
    ),
    Measurand.SHAPE: frozenset({"threaded", "banjo", "flange", "coupler", "staple"}),
    Measurand.REINFORCEMENT: frozenset(
        {
            f"{count}_wire_{form}"
            for count, form in (("one", "braid"), ("two", "braids"), ("four", "spirals"), ("six", "spirals"))
        }
        | {"one_textile_braid", "two_textile_braids", "fibre"}
    ),
}
_JOINING = frozenset({"and", "a", "an", "of", "per", "the", "to"})


@dataclass(frozen=True, slots=True)
class RuleForm:
    """One way to say a rule. ``maker``: what it makes, or ``None``: only for the constraint.

    ``written``: also part of the constraint; what people hardly ever say there only makes room for mishearing.
    ``about``: the measurands it speaks of, for the tight constraint. ``asked``: only where one of them was asked for.
    """

    phrase: Phrase
    maker: Any
    log_weight: float = 0.0
    written: bool = True
    about: frozenset[Measurand] = frozenset()
    asked: bool = False


@dataclass(frozen=True, slots=True)
class FitWords:
    """What is said of a gauge that sits, and of one that does not; ``beside`` : words that turn nothing there."""

    sits: frozenset[str] = frozenset()
    gaps: frozenset[str] = frozenset()
    beside: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Grammar:
    rules: Mapping[str, tuple[RuleForm, ...]]
    digits: Mapping[str, str]  # slots filled by one run of digits: the pattern that an engine may write
    units: Mapping[str, UnitEntry]
    kinds: Mapping[str, KindEntry]
    measurands: Mapping[Measurand, MeasurandEntry]
    hose_topic: frozenset[Measurand]  # what is said of a hose and not of an end
    weighty: frozenset[str]  # words that may turn a meaning round or move it to another thing
    addressed: frozenset[str]  # how one speaks to somebody
    spellings: Mapping[str, str]  # another spelling -> the phrases' own; a hesitation -> nothing
    sources: Mapping[str, str]  # rule -> the file it is from
    letters: Mapping[str, str]  # of spelled names: what is written -> how it is said
    alarms: tuple[Alarm, ...] = ()  # in the order of the commands
    fit_words: FitWords = field(default_factory=FitWords)
    numbered: frozenset[str] = frozenset()  # a number right behind one of these is theirs
    other_units: frozenset[str] = frozenset()  # and one right before one of these
    dialect: Dialect = field(default_factory=Dialect)
    certainty: Mapping[str, float] = field(default_factory=dict)  # of what is likely, perhaps so, once so
    observes: frozenset[str] = frozenset()  # verbs of who tells how the end is
    recording: frozenset[str] = frozenset()  # commands behind which all words are what is to be kept
    leave: tuple[Alarm, ...] = ()  # as the alarms, in a question whether one may
    keeping: frozenset[str] = frozenset()  # commands that keep the words said behind them
    asked_as: Mapping[tuple[str, ...], str] = field(default_factory=dict)  # what is asked by its bare name
    topics: tuple[Alarm, ...] = ()  # as the alarms, in a question that names an end
    unlike: tuple[Alarm, ...] = ()  # words with which a command is not guessed

    @property
    def costly(self) -> frozenset[str]:
        """The commands that cost something where they were not meant."""
        return frozenset(maker.id for maker in self._makers() if maker.costly)

    @property
    def commands(self) -> frozenset[str]:
        """All commands."""
        return frozenset(maker.id for maker in self._makers())

    @property
    def commands_in_order(self) -> tuple[str, ...]:
        """The commands that are said, in the order of the grammar."""
        forms = (*self.rules["command"], *self.rules["spelled"])
        return tuple(dict.fromkeys(form.maker.id for form in forms if isinstance(form.maker, MakeCommand)))

    def _makers(self) -> Iterator[MakeCommand]:
        for forms in self.rules.values():
            for form in forms:
                if isinstance(form.maker, MakeCommand):
                    yield form.maker


# What a form makes. Pure data: :mod:`voicefit.interpretation.readings` turns each into the function that makes it.


@dataclass(frozen=True, slots=True)
class Constant:
    value: Any


@dataclass(frozen=True, slots=True)
class Operate:
    operator: str


BEYOND = "beyond"  # the operator of a number that nothing of its kind has


@dataclass(frozen=True, slots=True)
class MakeQuantity:
    """A number, and perhaps a unit, of a kind. ``operator`` for forms with the unit inside."""

    kind: str
    operator: str = ""
    hedge: Hedge | None = None  # it is a looser value of the same kind


@dataclass(frozen=True, slots=True)
class MakeReading:
    entry: SayEntry


@dataclass(frozen=True, slots=True)
class MakeBare:
    measurands: tuple[Measurand, ...]


@dataclass(frozen=True, slots=True)
class TurnThing:
    """What is said the other way round, of fewer measurands, or less surely."""

    negates: bool
    only: frozenset[Measurand] = frozenset()
    hedge: Hedge | None = None
    certainty: float = 1.0


@dataclass(frozen=True, slots=True)
class NoneOf:
    """Neither one thing nor the other: "no washer or o-ring"."""


@dataclass(frozen=True, slots=True)
class Either:
    """One thing or another: "eighteen or nineteen"."""


@dataclass(frozen=True, slots=True)
class MakeCommand:
    id: str
    argument: str | None = None
    costly: bool = False
    urgent: bool = False


def rule_name(slot: str, keeps: bool) -> str:
    """The rule that a slot calls: lists of words have a name space of their own."""
    return slot if keeps else f"list-{slot}"


def answers_now(context: Context) -> list[str]:
    """The rules of what answers the open question, in other words than its value."""
    now = {
        "answer-misfit": context.misfit,
        "answer-yes-no": context.yes_no and not context.misfit,
        "answer-measured": any(measurand not in CATEGORIES for measurand in context.expected) and not context.yes_no,
        "answer-tube": Measurand.TUBE_OUTSIDE_DIAMETER in context.expected and not context.yes_no,
        "answer-asked": bool(context.expected),
        "answer-gauged": context.gauged and not context.misfit,
    }
    return [rule for rule, is_so in now.items() if is_so]


def slot_of(value: str) -> tuple[str, int] | None:
    """The slot that a meaning takes its value from, and its place among those of that name: ``{pitch}``,
    ``not {pitch}``, ``{spacing 2}`` for the second."""
    inner = value.removeprefix("not ")
    if not (inner.startswith("{") and inner.endswith("}")):
        return None
    name, _, place = inner[1:-1].partition(" ")
    return name, int(place) - 1 if place.isdigit() else 0


def all_words(grammar: Grammar, *, spoken: bool = False) -> frozenset[str]:
    """Every word of every phrase, lower case; ``spoken``: of what is offered to a speech engine, without what is only
    written so."""
    rules = grammar.rules.values()
    return frozenset(
        word
        for forms in rules
        for form in forms
        if form.written or not spoken
        for word in words(form.phrase, spoken=spoken)
    )


def numeric_words(grammar: Grammar) -> frozenset[str]:
    """The words of numbers and units: left over beside a value, they may be a part of it. Joining words are none."""
    return number_words(grammar) | _words_of(grammar, ["unit"])


def number_words(grammar: Grammar) -> frozenset[str]:
    """The words of numbers."""
    return _words_of(grammar, [name for name, file in grammar.sources.items() if file == "numbers.toml"])


def name_words(grammar: Grammar) -> frozenset[str]:
    """The words in which names are spelled: "alpha alpha" are two letters."""
    return frozenset(word for word in _words_of(grammar, ["name-part"]) if len(word) > 1)


def _words_of(grammar: Grammar, rules: Iterable[str]) -> frozenset[str]:
    found = {word for name in rules for form in grammar.rules[name] for word in words(form.phrase)}
    return frozenset(word for word in found if word[0].isalpha()) - _JOINING
