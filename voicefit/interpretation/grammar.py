"""The files of ``grammar/`` read into rules: one source for the parser, the recogniser's constraint and the help.

Duty: check the files and say exactly where one is wrong (``BadGrammar``); turn every phrase into a form of a rule.
It must not parse speech and must not weigh readings.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from voicefit.errors import BadGrammar
from voicefit.interpretation.notation import BadNotation, Form, Node, expand, parse_form, parse_phrase, slots, words
from voicefit.interpretation.numbers import OPERATORS
from voicefit.quantities import Unit
from voicefit.records import Gender, Measurand, Seal, SeatForm

_File = TypeVar("_File", bound=BaseModel)
INT, LETTER = "int", "letter"  # slots filled by a token itself
BUILT_IN = frozenset({INT, LETTER})


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid")


class UnitEntry(_Entry):
    unit: Unit
    scale: Fraction = Fraction(1)
    fractions: int = 1
    words: list[str]


class RangeEntry(_Entry):
    """``unsaid``: log weight when no unit was said, ``None`` where it must be said."""

    least: Fraction
    greatest: Fraction
    unsaid: float | None = None
    usual: list[Fraction] = []


class KindEntry(_Entry):
    numbers: list[str]
    units: dict[str, RangeEntry]
    forms: list[str] = []
    coarsest_step: dict[str, Fraction] = {}
    stepped: bool = True  # whether its values are read off a scale


class MeasurandEntry(_Entry):
    kind: str
    bare: float | None = None


class QuantityFile(_Entry):
    unit: dict[str, UnitEntry]
    kind: dict[str, KindEntry]
    measurand: dict[Measurand, MeasurandEntry]


class NumberFile(_Entry):
    words: dict[str, dict[str, int]]
    forms: dict[str, list[str]]


class WordList(_Entry):
    words: list[str]


class WordFile(_Entry):
    lists: dict[str, list[str]]
    skipped: WordList
    negating: WordList


class SayEntry(_Entry):
    phrases: list[str] = Field(min_length=1)
    means: list[dict[Measurand, str | list[str]]] = Field(min_length=1)
    corrects: bool = False
    strict: bool = False  # a value out of range makes it no such phrase, instead of one refused


class SayFile(_Entry):
    say: list[SayEntry]


class CommandEntry(BaseModel):
    model_config = ConfigDict(extra="ignore")  # the dialogue keeps more here than phrases
    id: str
    phrases: list[str] = Field(min_length=1)
    argument: str | None = None


class CommandFile(BaseModel):
    model_config = ConfigDict(extra="ignore")
    command: list[CommandEntry]


@dataclass(frozen=True, slots=True)
class RuleForm:
    """One way to say a rule. ``make``: the name of the maker and its data, made into a value by the parser.

    ``written``: also part of the constraint; forms that exist only to be refused by name are not.
    ``about``: the measurands it speaks of, for the tight constraint.
    """

    phrase: Node
    maker: Any
    log_weight: float = 0.0
    written: bool = True
    about: frozenset[Measurand] = frozenset()


@dataclass(frozen=True, slots=True)
class Grammar:
    rules: Mapping[str, tuple[RuleForm, ...]]
    units: Mapping[str, UnitEntry]
    kinds: Mapping[str, KindEntry]
    measurands: Mapping[Measurand, MeasurandEntry]
    says: tuple[SayEntry, ...]
    commands: tuple[CommandEntry, ...]
    negating: frozenset[str]
    sources: Mapping[str, str] = field(default_factory=dict)  # rule -> file, for messages


# What a form makes. Pure data: :mod:`voicefit.interpretation.chart` turns each into a value.


@dataclass(frozen=True, slots=True)
class Constant:
    value: Any


@dataclass(frozen=True, slots=True)
class Operate:
    operator: str


@dataclass(frozen=True, slots=True)
class MakeQuantity:
    """A number, and perhaps a unit, of a kind. ``operator`` for forms with the unit inside."""

    kind: str
    number: str = ""
    operator: str = ""


@dataclass(frozen=True, slots=True)
class MakeReading:
    entry: SayEntry
    slots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MakeBare:
    measurands: tuple[Measurand, ...]


@dataclass(frozen=True, slots=True)
class Negate:
    pass


@dataclass(frozen=True, slots=True)
class MakeCommand:
    id: str
    slots: tuple[str, ...]
    argument: str | None = None


QUANTITY_OPERATORS = frozenset({"inches-and", "one-inch"})
_CATEGORIES: dict[Measurand, frozenset[str]] = {
    Measurand.SEAT_FORM: frozenset(SeatForm),
    Measurand.SEAL: frozenset(Seal),
    Measurand.GENDER: frozenset(Gender),
    Measurand.TAPER: frozenset({"tapered", "parallel"}),
    Measurand.THREAD_SIDE: frozenset({"internal", "external"}),
}
READING_FILES = ("readings.toml", "threads.toml", "hose.toml")
COMMAND_SLOTS = frozenset({"series", "number", "reading", "spelling"})


class _Loader:
    def __init__(self, texts: Mapping[str, str], series_words: Mapping[str, Sequence[str]]) -> None:
        self.texts, self.series_words = texts, series_words
        self.rules: dict[str, list[RuleForm]] = {}
        self.sources: dict[str, str] = {}

    def load(self) -> Grammar:
        numbers = self._file("numbers.toml", NumberFile)
        quantities = self._file("quantities.toml", QuantityFile)
        lists = self._file("words.toml", WordFile)
        commands = self._file("commands.toml", CommandFile)
        self._numbers(numbers)
        self._quantities(quantities)
        self._lists(lists)
        self._series()
        says = tuple(entry for entry in self._says(quantities))
        self._bare(quantities)
        self._negation()
        self._commands(commands)
        self._check()
        return Grammar(
            {name: tuple(forms) for name, forms in self.rules.items()},
            quantities.unit,
            quantities.kind,
            quantities.measurand,
            says,
            tuple(commands.command),
            frozenset(lists.negating.words),
            self.sources,
        )

    def _file(self, name: str, schema: type[_File]) -> _File:
        if name not in self.texts:
            raise BadGrammar(name, "file", "is not there")
        try:
            return schema.model_validate(tomllib.loads(self.texts[name]))
        except tomllib.TOMLDecodeError as error:
            raise BadGrammar(name, "file", str(error)) from None
        except ValidationError as error:
            first = error.errors()[0]
            raise BadGrammar(name, ".".join(str(part) for part in first["loc"]) or "file", first["msg"]) from None

    def _form(self, file: str, where: str, text: str) -> Form:
        try:
            form = parse_form(text)
            expand(form.phrase)
        except BadNotation as error:
            raise BadGrammar(file, where, str(error)) from None
        return form

    def _rule(self, name: str, file: str) -> list[RuleForm]:
        if name in self.sources and self.sources[name] != file:
            raise BadGrammar(file, name, f"the name is taken by a rule of {self.sources[name]}")
        self.sources[name] = file
        return self.rules.setdefault(name, [])

    def _numbers(self, file: NumberFile) -> None:
        from voicefit.interpretation.numbers import Number

        for name, table in file.words.items():
            for text, value in table.items():
                form = self._form("numbers.toml", f"words.{name}", text)
                self._rule(name, "numbers.toml").append(
                    RuleForm(form.phrase, Constant(Number.whole(value)), form.log_weight)
                )
        for name, texts in file.forms.items():
            for text in texts:
                form = self._form("numbers.toml", f"forms.{name}", text)
                operator = form.operator or "same"
                if operator not in OPERATORS:
                    raise BadGrammar("numbers.toml", f"forms.{name}", f"there is no operator {operator!r}")
                self._rule(name, "numbers.toml").append(RuleForm(form.phrase, Operate(operator), form.log_weight))

    def _quantities(self, file: QuantityFile) -> None:
        name = "quantities.toml"
        for unit, entry in file.unit.items():
            for text in entry.words:
                form = self._form(name, f"unit.{unit}", text)
                for unit_rule in ("unit", f"unit-{unit}"):
                    self._rule(unit_rule, name).append(RuleForm(form.phrase, Constant(unit), form.log_weight))
        for kind, kind_entry in file.kind.items():
            for unit in kind_entry.units:
                if unit not in file.unit and unit != "count":
                    raise BadGrammar(name, f"kind.{kind}.units", f"there is no unit {unit!r}")
            known = [unit for unit in kind_entry.units if unit in file.unit]
            rule = self._rule(kind, name)
            for number in kind_entry.numbers:
                if self.sources.get(number) != "numbers.toml":
                    raise BadGrammar(name, f"kind.{kind}.numbers", f"there is no form of number {number!r}")
                make = MakeQuantity(kind, number)
                if any(each.unsaid is not None for each in kind_entry.units.values()):
                    rule.append(RuleForm(parse_phrase(f"{{{number}}}"), make))
                rule.append(RuleForm(parse_phrase(f"{{{number}}}~{{unit}}"), make, written=False))
                rule.extend(RuleForm(parse_phrase(f"{{{number}}}~{{unit-{unit}}}"), None) for unit in known)
            for text in kind_entry.forms:
                form = self._form(name, f"kind.{kind}.forms", text)
                if form.operator not in QUANTITY_OPERATORS:
                    raise BadGrammar(name, f"kind.{kind}.forms", f"there is no operator {form.operator!r}")
                make = MakeQuantity(kind, operator=form.operator)
                rule.append(RuleForm(form.phrase, make, form.log_weight))
        for measurand, measurand_entry in file.measurand.items():
            if measurand_entry.kind not in file.kind:
                raise BadGrammar(name, f"measurand.{measurand}", f"there is no kind {measurand_entry.kind!r}")

    def _lists(self, file: WordFile) -> None:
        for name, texts in [*file.lists.items(), ("skipped", file.skipped.words)]:
            for text in texts:
                form = self._form("words.toml", f"lists.{name}", text)
                self._rule(f"list-{name}", "words.toml").append(RuleForm(form.phrase, Constant(None), form.log_weight))

    def _series(self) -> None:
        for series, names in self.series_words.items():
            for text in names:
                form = self._form("series words", series, text)
                self._rule("series", "series words").append(RuleForm(form.phrase, Constant(series), form.log_weight))

    def _says(self, quantities: QuantityFile) -> Iterator[SayEntry]:
        for name in READING_FILES:
            if name not in self.texts:
                continue
            for number, entry in enumerate(self._file(name, SayFile).say, start=1):
                where = f"say {number} ({entry.phrases[0]!r})"
                if self._series_missing(entry):
                    continue
                for text in entry.phrases:
                    form = self._form(name, where, text)
                    kept = tuple(slot.name for slot in slots(form.phrase) if slot.keeps)
                    about = frozenset(measurand for reading in entry.means for measurand in reading)
                    self._rule("said", "readings").append(
                        RuleForm(form.phrase, MakeReading(entry, kept), form.log_weight, about=about)
                    )
                self._check_means(name, where, entry, quantities)
                yield entry

    def _series_missing(self, entry: SayEntry) -> bool:
        return "series" not in self.rules and any("{series}" in text for text in entry.phrases)

    def _check_means(self, file: str, where: str, entry: SayEntry, quantities: QuantityFile) -> None:
        for reading in entry.means:
            for measurand, values in reading.items():
                for value in [values] if isinstance(values, str) else values:
                    slot = slot_of(value)
                    if slot is None:
                        allowed = _CATEGORIES.get(measurand)
                        if measurand in quantities.measurand or (allowed is not None and value not in allowed):
                            raise BadGrammar(file, where, f"{measurand} cannot be {value!r}")
                    elif not any(f"{{{slot}}}" in text for text in entry.phrases):
                        raise BadGrammar(file, where, f"no phrase has the slot {{{slot}}}")

    def _bare(self, file: QuantityFile) -> None:
        """A number without a word of what it measures: any measurand whose kind takes such a number."""
        open_to = {m: entry for m, entry in file.measurand.items() if entry.bare is not None}
        numbers: dict[str, list[Measurand]] = {}
        for measurand, entry in open_to.items():
            for number in file.kind[entry.kind].numbers:
                numbers.setdefault(number, []).append(measurand)
        rule = self._rule("bare", "quantities.toml")
        for number, measurands in numbers.items():
            make = MakeBare(tuple(measurands))
            about = frozenset(measurands)
            rule.append(RuleForm(parse_phrase(f"{{{number}}}"), make, about=about))
            rule.append(RuleForm(parse_phrase(f"{{{number}}}~{{unit}}"), make, about=about))
        kinds: dict[str, list[Measurand]] = {}
        for measurand, entry in open_to.items():
            if file.kind[entry.kind].forms:
                kinds.setdefault(entry.kind, []).append(measurand)
        for kind, measurands in kinds.items():
            for text in file.kind[kind].forms:
                form = parse_form(text)
                self._rule(f"{kind}-form", "quantities.toml").append(
                    RuleForm(form.phrase, MakeQuantity(kind, operator=form.operator), form.log_weight)
                )
            rule.append(
                RuleForm(parse_phrase(f"{{{kind}-form}}"), MakeBare(tuple(measurands)), about=frozenset(measurands))
            )

    def _negation(self) -> None:
        self._rule("reading", "readings").extend(
            [
                RuleForm(parse_phrase("{said}"), Operate("same")),
                RuleForm(parse_phrase("{bare}"), Operate("same")),
                RuleForm(parse_phrase("<not> {said}"), Negate()),
                RuleForm(parse_phrase("<not> {bare}"), Negate()),
            ]
        )

    def _commands(self, file: CommandFile) -> None:
        seen: set[str] = set()
        for entry in file.command:
            where = f"command {entry.id!r}"
            if entry.id in seen:
                raise BadGrammar("commands.toml", where, "there are two of this id")
            seen.add(entry.id)
            for text in entry.phrases:
                form = self._form("commands.toml", where, text)
                kept = tuple(slot.name for slot in slots(form.phrase) if slot.keeps)
                unknown = [name for name in kept if name not in COMMAND_SLOTS]
                if unknown:
                    raise BadGrammar("commands.toml", where, f"there is no argument {{{unknown[0]}}}")
                if "series" in kept and "series" not in self.rules:
                    continue
                self._rule("command", "commands.toml").append(
                    RuleForm(form.phrase, MakeCommand(entry.id, kept, entry.argument), form.log_weight)
                )

    def _check(self) -> None:
        """Every slot has a rule, and no rule can call itself at its own start."""
        for name, forms in self.rules.items():
            for form in forms:
                for slot in slots(form.phrase):
                    if rule_name(slot.name, slot.keeps) not in self.rules and slot.name not in BUILT_IN:
                        kind = f"{{{slot.name}}}" if slot.keeps else f"<{slot.name}>"
                        raise BadGrammar(self.sources[name], name, f"there is no {kind}")


def rule_name(slot: str, keeps: bool) -> str:
    """The rule that a slot calls: lists of words have a name space of their own."""
    return slot if keeps else f"list-{slot}"


def slot_of(value: str) -> str | None:
    """The slot that a meaning takes its value from: ``{pitch}`` or ``not {pitch}``."""
    inner = value.removeprefix("not ")
    return inner[1:-1] if inner.startswith("{") and inner.endswith("}") else None


def load_grammar(texts: Mapping[str, str], series_words: Mapping[str, Sequence[str]]) -> Grammar:
    """Rules from the texts of ``grammar/`` (by file name) and what people call each series.

    Raises ``BadGrammar`` naming the file and the place.
    """
    return _Loader(texts, series_words).load()


def all_words(grammar: Grammar) -> frozenset[str]:
    """Every word of every phrase, lower case."""
    return frozenset(word for forms in grammar.rules.values() for form in forms for word in words(form.phrase))
