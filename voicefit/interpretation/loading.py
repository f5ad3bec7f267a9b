"""The files of ``grammar/`` made into rules.

Duty: check what the files say of each other and say exactly where one is wrong (``BadGrammar``); turn every phrase
into a form of a rule. It must not parse speech and must not weigh readings.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from voicefit.errors import BadGrammar
from voicefit.interpretation.grammar import (
    CATEGORIES,
    Constant,
    Either,
    Grammar,
    MakeBare,
    MakeCommand,
    MakeQuantity,
    MakeReading,
    Operate,
    RuleForm,
    TurnThing,
    rule_name,
    slot_of,
)
from voicefit.interpretation.notation import BadNotation, Form, parse_form, read_phrase, slots, unspoken
from voicefit.interpretation.numerals import OPERATORS, Number
from voicefit.interpretation.schema import (
    CommandFile,
    NumberFile,
    QuantityFile,
    SayEntry,
    SayFile,
    SpellingFile,
    WordFile,
    read,
)
from voicefit.records import Measurand

QUANTITY_OPERATORS = frozenset({"inches-and", "one-inch", "feet-and", "feet-and-half", "metres-and"})
READING_FILES = ("readings.toml", "threads.toml", "hose.toml")
COMMAND_SLOTS = frozenset({"series", "number", "reading", "name"})
MOST_PARTS = 12  # of a spelled name
_TYPED_LETTER = -1.0
_NAME_WITH_NUMBER = -4.0  # log weight: "thirty degree flare" is first of all an angle
_LEAD_IN = "[(it's|it is|it was|that's|the|a|an)] {reading}"
_LETTER_BESIDE_NUMBER = re.compile(r"(?<=\b[A-Z]) (?=\()|(?<=\)) (?=[A-Z]+\b)")


def load_grammar(texts: Mapping[str, str], names: Mapping[str, Mapping[str, Sequence[str]]]) -> Grammar:
    """Rules from the texts of ``grammar/`` (by file name) and the ``names`` from other tables: by rule (``series``,
    ``hose``) what people call each id.

    Raises ``BadGrammar`` naming the file and the place.
    """
    return _Loader(texts, names).load()


class _Loader:
    def __init__(self, texts: Mapping[str, str], names: Mapping[str, Mapping[str, Sequence[str]]]) -> None:
        self.texts, self.names = texts, names
        self.digits: dict[str, str] = {}
        self.figures: dict[str, int] = {}  # number words of phrases, for the same phrases in digits
        self.rules: dict[str, list[RuleForm]] = {}
        self.sources: dict[str, str] = {}

    def load(self) -> Grammar:
        numbers = read(self.texts, "numbers.toml", NumberFile)
        quantities = read(self.texts, "quantities.toml", QuantityFile)
        lists = read(self.texts, "words.toml", WordFile)
        commands = read(self.texts, "commands.toml", CommandFile)
        spelling = read(self.texts, "spelling.toml", SpellingFile)
        self._numbers(numbers)
        self._spelling(spelling)
        self._quantities(quantities)
        self._lists(lists)
        self._names()
        self._says(quantities)
        self._bare(quantities)
        self._reading()
        self._commands(commands)
        self._check()
        return Grammar(
            {name: tuple(forms) for name, forms in self.rules.items()},
            self.digits,
            quantities.unit,
            quantities.kind,
            quantities.measurand,
            frozenset(quantities.topics["hose"]),
            frozenset(lists.negating.words),
            {other: word for word, others in lists.spellings.items() for other in others}
            | dict.fromkeys(lists.hesitations.words, ""),
            self.sources,
            {written: said[0] for table in (spelling.letters, spelling.signs) for written, said in table.items()},
        )

    def _form(self, file: str, where: str, text: str) -> Form:
        try:
            form = parse_form(text)
        except BadNotation as error:
            raise BadGrammar(file, where, str(error)) from None
        return form

    def _rule(self, name: str, file: str) -> list[RuleForm]:
        if name in self.sources and self.sources[name] != file:
            raise BadGrammar(file, name, f"the name is taken by a rule of {self.sources[name]}")
        self.sources[name] = file
        return self.rules.setdefault(name, [])

    def _numbers(self, file: NumberFile) -> None:
        for name, pattern in file.digits.items():
            try:
                re.compile(pattern)
            except re.error as error:
                raise BadGrammar("numbers.toml", f"digits.{name}", str(error)) from None
            self.digits[name] = pattern
        for name in ("nonzero", "teen", "tens"):
            self.figures.update(file.words.get(name, {}))
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
                self._rule(name, "numbers.toml").append(
                    RuleForm(form.phrase, Operate(operator), form.log_weight, form.offered)
                )

    def _spelling(self, file: SpellingFile) -> None:
        """A spelled name: letters, signs, kinds of machine and figures in a row, and such a row as an answer."""
        name = "spelling.toml"
        rule = self._rule("name-part", name)
        tables = {**file.letters, **file.signs} | {word: [word] for word in file.kinds.words}
        for written, ways in tables.items():
            for text in ways:
                form = self._form(name, written, text)
                rule.append(RuleForm(form.phrase, Constant(written), form.log_weight))
        for letter in file.letters:
            rule.append(RuleForm(read_phrase(letter.lower()), Constant(letter), _TYPED_LETTER, written=False))
        same = Operate("same")
        rule.append(RuleForm(read_phrase("({nonzero}|{nought}|{two-figures}|{int})"), same))
        parts = ""
        for _ in range(MOST_PARTS):
            parts = f"{{name-part}} [{parts}]" if parts else "{name-part}"
        self._rule("name", name).append(RuleForm(read_phrase(parts), Operate("spell")))
        self._rule("spelled", name).append(RuleForm(read_phrase("{name}"), MakeCommand("spell")))

    def _quantities(self, file: QuantityFile) -> None:
        name = "quantities.toml"
        for unit, entry in file.unit.items():
            for text in [*entry.words, *entry.written]:
                form = self._form(name, f"unit.{unit}", text)
                if text in entry.written:
                    form = replace(form, phrase=unspoken(form.phrase))
                for unit_rule in ("unit", f"unit-{unit}"):
                    self._rule(unit_rule, name).append(RuleForm(form.phrase, Constant(unit), form.log_weight))
        for kind, kind_entry in file.kind.items():
            for unit in kind_entry.units:
                if unit not in file.unit and unit != "count":
                    raise BadGrammar(name, f"kind.{kind}.units", f"there is no unit {unit!r}")
            rule = self._rule(kind, name)
            for number in kind_entry.numbers:
                if self.sources.get(number) != "numbers.toml":
                    raise BadGrammar(name, f"kind.{kind}.numbers", f"there is no form of number {number!r}")
                make = MakeQuantity(kind)
                rule.append(RuleForm(read_phrase(f"{{{number}}}"), make, written=False))
                rule.append(RuleForm(read_phrase(f"{{{number}}}~{{unit}}"), make, written=False))
            units = [unit for unit in kind_entry.units if unit in file.unit] + kind_entry.plain
            bare = any(each.unsaid is not None for each in kind_entry.units.values())
            rule.extend(self._written(kind_entry.numbers, units, bare=bare))
            for text in kind_entry.forms:
                form = self._form(name, f"kind.{kind}.forms", text)
                if form.operator not in QUANTITY_OPERATORS:
                    raise BadGrammar(name, f"kind.{kind}.forms", f"there is no operator {form.operator!r}")
                make = MakeQuantity(kind, operator=form.operator)
                rule.append(RuleForm(form.phrase, make, form.log_weight))
        for measurand, measurand_entry in file.measurand.items():
            if measurand_entry.kind not in file.kind:
                raise BadGrammar(name, f"measurand.{measurand}", f"there is no kind {measurand_entry.kind!r}")

    def _written(
        self, numbers: Sequence[str], units: Sequence[str], about: frozenset[Measurand] = frozenset(), *, bare: bool
    ) -> Iterator[RuleForm]:
        """For the constraint: a number of one of the forms and one of the units that make sense."""
        number = "|".join(f"{{{number}}}" for number in numbers)
        unit = "|".join(f"{{unit-{unit}}}" for unit in units)
        texts = [f"({number})"] if bare else []
        if units:
            texts.append(f"({number})~({unit})")
        return (RuleForm(read_phrase(text), None, about=about) for text in texts)

    def _lists(self, file: WordFile) -> None:
        for name, texts in [*file.lists.items(), ("skipped", file.skipped.words)]:
            for text in texts:
                form = self._form("words.toml", f"lists.{name}", text)
                self._rule(f"list-{name}", "words.toml").append(RuleForm(form.phrase, Constant(None), form.log_weight))

    def _names(self) -> None:
        """Names that come from other tables: of series, of hose types."""
        for rule, table in self.names.items():
            for value, names in table.items():
                for name in names:
                    text = _LETTER_BESIDE_NUMBER.sub("~", self._in_figures_too(name))
                    if text == name and rule == "hose":  # letters alone would be taken for a word: "as"
                        text = name = " ".join(name.replace(" ", ""))
                    form = self._form(f"{rule} names", value, text)
                    weight = form.log_weight + (_NAME_WITH_NUMBER if rule == "series" and text != name else 0.0)
                    self._rule(rule, f"{rule} names").append(RuleForm(form.phrase, Constant(value), weight))

    def _in_figures_too(self, text: str) -> str:
        """Number words of a phrase, each also as digits, which is how engines write them."""

        def both(match: re.Match[str]) -> str:
            *parts, last = match[0].split()
            value = sum(self.figures[part] for part in [*parts, last] if part in self.figures)
            return f"({match[0]}|{value * 100 if last == 'hundred' else value})"

        tens = "|".join(word for word, value in self.figures.items() if value >= 20)
        ones = "|".join(word for word, value in self.figures.items() if value < 10)
        every = "|".join(self.figures)
        return (
            re.sub(rf"\b(?:(?:{tens}) (?:{ones})|(?:{ones}) hundred|{every})\b(?![-}}>])", both, text)
            if every
            else text
        )

    def _says(self, quantities: QuantityFile) -> None:
        for name in READING_FILES:
            if name not in self.texts:
                continue
            file = read(self.texts, name, SayFile)
            for number, entry in enumerate(file.say, start=1):
                where = f"say {number} ({entry.phrases[0]!r})"
                if self._named_missing(entry.phrases):
                    continue
                for text in entry.phrases:
                    form = self._form(name, where, self._in_figures_too(text))
                    about = frozenset(measurand for reading in entry.means for measurand in reading)
                    self._rule("said", "readings").append(
                        RuleForm(form.phrase, MakeReading(entry), form.log_weight, not entry.asked, about)
                    )
                self._check_means(name, where, entry, quantities)
            for number, answer in enumerate(file.answer, start=1):
                for text in answer.phrases:
                    form = self._form(name, f"answer {number} ({text!r})", text)
                    self._rule("answer", "readings").append(
                        RuleForm(form.phrase, MakeCommand(answer.command), form.log_weight)
                    )
            for number, turn in enumerate(file.turn, start=1):
                for text in turn.phrases:
                    form = self._form(name, f"turn {number} ({text!r})", text)
                    self._rule("turn", "readings").append(
                        RuleForm(form.phrase, TurnThing(turn.negates, frozenset(turn.only)), form.log_weight)
                    )

    def _named_missing(self, phrases: Sequence[str]) -> bool:
        """Whether the phrases need names of which none were handed over."""
        needed = {rule for rule in self.names if any(f"{{{rule}}}" in text for text in phrases)}
        return any(rule not in self.rules for rule in needed)

    def _check_means(self, file: str, where: str, entry: SayEntry, quantities: QuantityFile) -> None:
        for reading in entry.means:
            for measurand, values in reading.items():
                for value in [values] if isinstance(values, str) else values:
                    slot = slot_of(value)
                    if slot is None:
                        value = value.removeprefix("not ")
                        allowed = CATEGORIES.get(measurand)
                        if measurand in quantities.measurand or (allowed is not None and value not in allowed):
                            raise BadGrammar(file, where, f"{measurand} cannot be {value!r}")
                    elif not any(text.count(f"{{{slot[0]}}}") > slot[1] for text in entry.phrases):
                        raise BadGrammar(file, where, f"no phrase has the slot {value}")

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
            rule.append(RuleForm(read_phrase(f"{{{number}}}"), make, written=False))
            rule.append(RuleForm(read_phrase(f"{{{number}}}~{{unit}}"), make, written=False))
        for measurand, entry in open_to.items():
            rule.append(RuleForm(read_phrase(f"{{{entry.kind}}}"), None, about=frozenset({measurand})))
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
                RuleForm(read_phrase(f"{{{kind}-form}}"), MakeBare(tuple(measurands)), about=frozenset(measurands))
            )

    def _reading(self) -> None:
        """Anything said about an end: one of the entries, a bare number, a turn of either, one or the other."""
        same = Operate("same")
        self._rule("thing", "readings").extend(RuleForm(read_phrase(f"{{{rule}}}"), same) for rule in ("said", "bare"))
        self._rule("reading", "readings").extend(
            [
                RuleForm(read_phrase("{thing}"), same),
                RuleForm(read_phrase("{turn}"), same),
                RuleForm(read_phrase("{thing} or [maybe] {thing}"), Either()),
                RuleForm(read_phrase("between {thing} and {thing}"), Either()),
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
                spoken = self._in_figures_too(text).replace("{reading}", _LEAD_IN)
                form = self._form("commands.toml", where, spoken)
                kept = {slot.name for slot in slots(form.phrase) if slot.keeps}
                unknown = [name for name in kept if name not in COMMAND_SLOTS]
                if unknown:
                    raise BadGrammar("commands.toml", where, f"there is no argument {{{unknown[0]}}}")
                if self._named_missing([text]):
                    continue
                self._rule("command", "commands.toml").append(
                    RuleForm(form.phrase, MakeCommand(entry.id, entry.argument), form.log_weight)
                )

    def _check(self) -> None:
        """Every slot has a rule, and no rule can call itself at its own start."""
        for name, forms in self.rules.items():
            for form in forms:
                for slot in slots(form.phrase):
                    if rule_name(slot.name, slot.keeps) not in self.rules and slot.name not in self.digits:
                        kind = f"{{{slot.name}}}" if slot.keeps else f"<{slot.name}>"
                        raise BadGrammar(self.sources[name], name, f"there is no {kind}")
