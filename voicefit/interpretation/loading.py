"""The files of ``grammar/`` made into rules.

Duty: numbers, quantities, lists of words, names and commands; what is said of an end is made by
:mod:`voicefit.interpretation.sayings`. It checks what the files say of each other and says exactly where one is wrong
(``BadGrammar``). It must not parse speech and must not weigh readings.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from voicefit import toml_data
from voicefit.errors import BadGrammar
from voicefit.interpretation import sayings
from voicefit.interpretation.alarms import Alarm
from voicefit.interpretation.dialect import Dialect
from voicefit.interpretation.grammar import (
    BEYOND,
    Constant,
    FitWords,
    Grammar,
    MakeCommand,
    MakeQuantity,
    Operate,
    RuleForm,
)
from voicefit.interpretation.notation import read_phrase, slots, unspoken
from voicefit.interpretation.numerals import OPERATORS, Number
from voicefit.interpretation.readings import COUNTS, METRES_AND, ONE_UNIT
from voicefit.interpretation.rulebook import RuleBook
from voicefit.interpretation.schema import (
    CommandFile,
    DialectFile,
    FrameFile,
    NumberFile,
    QuantityFile,
    SpellingFile,
    WordFile,
)
from voicefit.interpretation.tokens import word_set
from voicefit.interpretation.wordgroups import read_line
from voicefit.records import Hedge

QUANTITY_OPERATORS = frozenset(
    {
        "inches-and",
        "inches-and-thou",
        "feet-and",
        "feet-and-half",
        "feet-or-inches",
        "millimetre-and",
        *METRES_AND,
        *ONE_UNIT,
        *COUNTS,
    }
)
COMMANDS = "commands.toml"
COMMAND_SLOTS = frozenset({"series", "number", "reading", "name", "term", "measured"})
HEDGES = {Hedge.ABOUT: "about", Hedge.UNDER: "under", Hedge.OVER: "over-by"}  # and the lists of their words
HEDGES_BEHIND = {Hedge.UNDER: "or-under", Hedge.OVER: "or-over"}  # "twenty and a bit inside"
_MATCHED = (  # the tables of words.toml of which phrases are matched, unoffered
    "passed", "asking", "hollow", "doubtful", "edits", "waits", "denials", "maybes", "tags", "supposed", "others",
    "people", "retracts",
)  # fmt: skip
MOST_PARTS = 12  # of a spelled name
_TYPED_LETTER = -1.0
_OTHER_WORDS = -2.5  # log weight of a command's other wordings: its phrases are first of all its own
_NAME_WITH_NUMBER = -4.0  # log weight: "thirty degree flare" is first of all an angle
_LEAD_IN = "[(it's|it is|it was|that's|the|a|an)] {reading}"
_LETTER_BESIDE_NUMBER = re.compile(r"(?<=\b[A-Z]) (?=\()|(?<=\)) (?=[A-Z]+\b)")


def load_grammar(texts: Mapping[str, str], names: Mapping[str, Mapping[str, Sequence[str]]]) -> Grammar:
    """Rules from the texts of ``grammar/`` (by file name) and the ``names`` from other tables: by rule (``series``,
    ``hose``) what people call each id.

    Raises ``BadGrammar`` naming the file and the place.
    """
    book = RuleBook(texts, names)
    numbers = toml_data.read(texts, "numbers.toml", NumberFile, toml_data.in_grammar)
    quantities = toml_data.read(texts, "quantities.toml", QuantityFile, toml_data.in_grammar)
    lists = toml_data.read(texts, "words.toml", WordFile, toml_data.in_grammar)
    frames = toml_data.read(texts, "frames.toml", FrameFile, toml_data.in_grammar)
    commands = toml_data.read(texts, "commands.toml", CommandFile, toml_data.in_grammar)
    spelling = toml_data.read(texts, "spelling.toml", SpellingFile, toml_data.in_grammar)
    dialect = toml_data.read(texts, "dialect.toml", DialectFile, toml_data.in_grammar)
    _numbers(book, numbers)
    _spelling(book, spelling)
    _quantities(book, quantities)
    book.lists("words.toml", {**lists.lists, "skipped": lists.skipped.words})
    book.lists(
        "words.toml",
        {name: getattr(lists, name).words for name in _MATCHED},
        offered=False,
    )
    _names(book)
    book.certainty.update((str(name), share) for name, share in lists.certainty.items())
    sayings.add(book, quantities, frames)
    _commands(book, commands)
    book.check()
    spellings = {other: word for word, others in lists.spellings.items() for other in others}
    spellings |= dict.fromkeys(lists.hesitations.words, "")
    return Grammar(
        {name: tuple(forms) for name, forms in book.rules.items()},
        book.digits,
        quantities.unit,
        quantities.kind,
        quantities.measurand,
        frozenset(quantities.topics["hose"]),
        frozenset(lists.weighty.words),
        frozenset(lists.addressed.words),
        spellings,
        book.sources,
        {written: said[0] for table in (spelling.letters, spelling.signs) for written, said in table.items()},
        tuple(Alarm(entry.id, read_line(line)) for entry in commands.command for line in entry.alarms),
        FitWords(*(frozenset(each.words) for each in (lists.sits, lists.gaps, lists.beside_fit))),
        frozenset(lists.numbered.words),
        frozenset(lists.other_units.words),
        Dialect.read(dialect.said, spellings, dialect.verbs.words, dialect.verbs.helpers),
        book.certainty,
        word_set(" ".join(lists.observes.words)),
        frozenset(entry.id for entry in commands.command if entry.opens == "recording"),
        tuple(Alarm(entry.id, read_line(line)) for entry in commands.command for line in entry.leave),
        frozenset(entry.id for entry in commands.command if entry.keeps),
        {tuple(name.split()): entry.id for entry in commands.command for name in entry.asked_as},
        tuple(Alarm(entry.id, read_line(line)) for entry in commands.command for line in entry.topics),
        tuple(Alarm(entry.id, read_line(line)) for entry in commands.command for line in entry.unlike),
    )


def _numbers(book: RuleBook, file: NumberFile) -> None:
    for name, pattern in file.digits.items():
        try:
            re.compile(pattern)
        except re.error as error:
            raise BadGrammar("numbers.toml", f"digits.{name}", str(error)) from None
        book.digits[name] = pattern
    for name in ("nonzero", "teen", "tens"):
        book.figures.update(file.words.get(name, {}))
    for name, table in file.words.items():
        for text, value in table.items():
            form = book.form("numbers.toml", f"words.{name}", text)
            book.rule(name, "numbers.toml").append(
                RuleForm(form.phrase, Constant(Number.whole(value)), form.log_weight)
            )
    for name, texts in file.forms.items():
        for text in texts:
            form = book.form("numbers.toml", f"forms.{name}", text)
            operator = form.operator or "same"
            if operator not in OPERATORS:
                raise BadGrammar("numbers.toml", f"forms.{name}", f"there is no operator {operator!r}")
            book.rule(name, "numbers.toml").append(
                RuleForm(form.phrase, Operate(operator), form.log_weight, form.offered)
            )


def _spelling(book: RuleBook, file: SpellingFile) -> None:
    """A spelled name: letters, signs, kinds of machine and figures in a row, and such a row as an answer."""
    name = "spelling.toml"
    rule = book.rule("name-part", name)
    tables = {**file.letters, **file.signs} | {word: [word] for word in file.kinds.words}
    for written, ways in tables.items():
        for text in ways:
            form = book.form(name, written, text)
            rule.append(RuleForm(form.phrase, Constant(written), form.log_weight))
    for letter in file.letters:
        rule.append(RuleForm(read_phrase(letter.lower()), Constant(letter), _TYPED_LETTER, written=False))
    same = Operate("same")
    rule.append(RuleForm(read_phrase("({nonzero}|{nought}|{two-figures}|{int})"), same))
    parts = ""
    for _ in range(MOST_PARTS):
        parts = f"{{name-part}} [{parts}]" if parts else "{name-part}"
    book.rule("name", name).append(RuleForm(read_phrase(parts), Operate("spell")))
    book.rule("spelled", name).append(RuleForm(read_phrase("{name}"), MakeCommand("spell")))


def _quantities(book: RuleBook, file: QuantityFile) -> None:
    name = "quantities.toml"
    for unit, entry in file.unit.items():
        for text in [*entry.words, *entry.written]:
            form = book.form(name, f"unit.{unit}", text)
            if text in entry.written:
                form = replace(form, phrase=unspoken(form.phrase))
            for unit_rule in ("foreign-unit",) if entry.foreign else ("unit", f"unit-{unit}"):
                book.rule(unit_rule, name).append(RuleForm(form.phrase, Constant(unit), form.log_weight, form.offered))
    for kind, kind_entry in file.kind.items():
        for unit in kind_entry.units:
            if unit not in file.unit and unit != "count":
                raise BadGrammar(name, f"kind.{kind}.units", f"there is no unit {unit!r}")
        rule = book.rule(kind, name)
        for number in kind_entry.numbers + kind_entry.also:
            if book.sources.get(number) != "numbers.toml":
                raise BadGrammar(name, f"kind.{kind}.numbers", f"there is no form of number {number!r}")
            make = MakeQuantity(kind)
            rule.append(RuleForm(read_phrase(f"{{{number}}}"), make, written=False))
            rule.append(RuleForm(read_phrase(f"{{{number}}}~{{unit}}"), make, written=False))
        for beyond in ("{any}", "{any}~{unit}", "{any}~{foreign-unit}") if kind_entry.numbers else ():
            rule.append(RuleForm(read_phrase(beyond), MakeQuantity(kind, operator=BEYOND), written=False))
        units = [unit for unit in kind_entry.units if unit in file.unit] + kind_entry.plain
        bare = any(each.unsaid is not None for each in kind_entry.units.values())
        rule.extend(_written(kind_entry.numbers, units, bare=bare))
        for text in kind_entry.forms:
            form = book.form(name, f"kind.{kind}.forms", text)
            if form.operator not in QUANTITY_OPERATORS:
                raise BadGrammar(name, f"kind.{kind}.forms", f"there is no operator {form.operator!r}")
            make = MakeQuantity(kind, operator=form.operator)
            rule.append(RuleForm(form.phrase, make, form.log_weight, form.offered))
        for hedge, words in HEDGES_BEHIND.items():
            for number in kind_entry.numbers:
                for behind in (f"{{{number}}} <{words}>", f"{{{number}}}~{{unit}} <{words}>"):
                    rule.append(RuleForm(read_phrase(behind), MakeQuantity(kind, hedge=hedge), written=False))
        for hedge, words in HEDGES.items():
            loosely = read_phrase(f"<{words}> {{{kind}}}")
            rule.append(RuleForm(loosely, MakeQuantity(kind, hedge=hedge), written=False))
    for measurand, measurand_entry in file.measurand.items():
        if measurand_entry.kind not in file.kind:
            raise BadGrammar(name, f"measurand.{measurand}", f"there is no kind {measurand_entry.kind!r}")


def _written(numbers: Sequence[str], units: Sequence[str], *, bare: bool) -> Iterator[RuleForm]:
    """For the constraint: a number of one of the forms and one of the units that make sense."""
    number = "|".join(f"{{{number}}}" for number in numbers)
    unit = "|".join(f"{{unit-{unit}}}" for unit in units)
    texts = [f"[about] ({number})"] if bare and numbers else []
    if units and numbers:
        texts.append(f"[about] ({number})~({unit})")
    return (RuleForm(read_phrase(text), None) for text in texts)


def _names(book: RuleBook) -> None:
    """Names that come from other tables: of series, of hose types."""
    for rule, table in book.names.items():
        for value, names in table.items():
            for name in names:
                text = _LETTER_BESIDE_NUMBER.sub("~", book.in_figures_too(name))
                if text == name and rule == "hose":  # letters alone would be taken for a word: "as"
                    text = name = " ".join(name.replace(" ", ""))
                form = book.form(f"{rule} names", value, text)
                weight = form.log_weight + (_NAME_WITH_NUMBER if rule == "series" and text != name else 0.0)
                book.rule(rule, f"{rule} names").append(RuleForm(form.phrase, Constant(value), weight))


def _commands(book: RuleBook, file: CommandFile) -> None:
    seen: set[str] = set()
    for entry in file.command:
        where = f"command {entry.id!r}"
        if entry.id in seen:
            raise BadGrammar("commands.toml", where, "there are two of this id")
        seen.add(entry.id)
        for text in (*entry.phrases, *(f"{way} !" for way in entry.ways)):
            habit = 0.0 if text in entry.phrases else _OTHER_WORDS
            spoken = book.in_figures_too(text).replace("{reading}", _LEAD_IN)
            form = book.form("commands.toml", where, spoken)
            kept = {slot.name for slot in slots(form.phrase) if slot.keeps}
            unknown = [name for name in kept if name not in COMMAND_SLOTS]
            if unknown:
                raise BadGrammar("commands.toml", where, f"there is no argument {{{unknown[0]}}}")
            if book.named_missing([text]):
                continue
            make = MakeCommand(entry.id, entry.argument, entry.costly or entry.for_good, entry.urgent)
            book.rule("command", COMMANDS).append(RuleForm(form.phrase, make, form.log_weight + habit, form.offered))
