"""What may be said of an end, made into rules: whole phrases, and the nouns, qualities and verbs that frames carry.

How it works. An entry of a reading file (``readings.toml``, ``threads.toml``, ``hose.toml``) names a thing once: by
nouns ("washer"), qualities ("recessed"), verbs ("stick out"), or by whole phrases. ``frames.toml`` says once, for all
of them, how one says that it is so and that it is not so: "there's a ...", "it hasn't got any ...". A frame is a form
of the rule ``said`` with a slot for the noun, the quality or the verb; where it says no, what fills the slot is
negated (:class:`~voicefit.interpretation.grammar.TurnThing`). So no phrase is ever negated by hand. Qualities and
verbs have subjects ("the cone", "the thread"): the rules of each group of subjects are apart, so that "the thread
sticks out" does not speak of a seat.

Duty: these rules, and bare numbers. It must not parse speech.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from voicefit import toml_data
from voicefit.errors import BadGrammar
from voicefit.interpretation.grammar import (
    CATEGORIES,
    Either,
    MakeBare,
    MakeCommand,
    MakeQuantity,
    MakeReading,
    NoneOf,
    Operate,
    RuleForm,
    TurnThing,
    slot_of,
)
from voicefit.interpretation.notation import Flat, Phrase, Word, parse_form, read_phrase
from voicefit.interpretation.rulebook import RuleBook
from voicefit.interpretation.schema import FrameFile, QuantityFile, SayEntry, SayFile
from voicefit.records import ABSENT, Hedge, Measurand

READING_FILES = ("readings.toml", "threads.toml", "hose.toml", "answers.toml")
ANSWERS = ("answer-misfit", "answer-yes-no", "answer-measured", "answer-tube", "answer-asked", "answer-gauged")
_FRAMES = "frames.toml"
_SAME = Operate("same")
_VOWELS = "aeiou"


def add(book: RuleBook, quantities: QuantityFile, frames: FrameFile) -> None:
    """All rules of what may be said. Raises ``BadGrammar``."""
    groups: set[str] = set()
    for rule in ANSWERS:
        book.rule(rule, "readings")
    for name in READING_FILES:
        if name in book.texts:
            groups |= _says(book, name, quantities)
    _frames(book, frames, groups)
    _bare(book, quantities)
    _reading(book)


def _says(book: RuleBook, name: str, quantities: QuantityFile) -> set[str]:
    """The entries of one file; the groups of subjects that they have."""
    file = toml_data.read(book.texts, name, SayFile, toml_data.in_grammar)
    book.lists(name, file.lists)
    groups: set[str] = set()
    for number, entry in enumerate(file.say, start=1):
        every = [*entry.phrases, *entry.nouns, *entry.qualities, *entry.verbs]
        where = f"say {number} ({every[0]!r})"
        if book.named_missing(every):
            continue
        put = partial(_put, book, name, where, entry)
        put("said", entry.phrases)
        put("noun", entry.nouns)
        put(f"quality-{entry.of}", entry.qualities)
        for rule, ending in (("base", _base), ("verb", _third_person), ("ing", _participle)):
            put(f"{rule}-{entry.of}", entry.verbs, ending)
        if entry.qualities or entry.verbs:
            groups.add(entry.of)
        _check_means(name, where, entry, every, quantities)
    for number, answer in enumerate(file.answer, start=1):
        for text in answer.phrases:
            form = book.form(name, f"answer {number} ({text!r})", text)
            book.rule(f"answer-{answer.when}", "readings").append(
                RuleForm(form.phrase, MakeCommand(answer.command), form.log_weight, form.offered)
            )
    for number, turn in enumerate(file.turn, start=1):
        for text in turn.phrases:
            form = book.form(name, f"turn {number} ({text!r})", text)
            certainty = book.certainty[turn.certainty] if turn.certainty else 1.0
            make_turn = TurnThing(turn.negates, frozenset(turn.only), turn.hedge, certainty)
            book.rule("turn", "readings").append(RuleForm(form.phrase, make_turn, form.log_weight, form.offered))
    return groups


def _put(
    book: RuleBook,
    file: str,
    where: str,
    entry: SayEntry,
    rule: str,
    texts: Sequence[str],
    ending: Callable[[str], str] | None = None,
) -> None:
    """The phrases of one entry as forms of a rule; ``ending`` : the form that their first word, the verb, takes."""
    about = frozenset(measurand for reading in entry.means for measurand in reading)
    for text in texts:
        form = book.form(file, where, book.in_figures_too(text), fold=ending is None)
        phrase = form.phrase if ending is None else _inflected(form.phrase, ending)
        made = RuleForm(phrase, MakeReading(entry), form.log_weight, form.offered, about, entry.asked)
        book.rule(rule, "readings").append(made)


def _check_means(file: str, where: str, entry: SayEntry, phrases: Sequence[str], quantities: QuantityFile) -> None:
    for reading in entry.means:
        for measurand, values in reading.items():
            for value in [values] if isinstance(values, str) else values:
                slot = slot_of(value)
                if slot is None:
                    value = value.removeprefix("not ")
                    allowed = CATEGORIES.get(measurand)
                    if value != ABSENT and (measurand in quantities.measurand or value not in (allowed or [value])):
                        raise BadGrammar(file, where, f"{measurand} cannot be {value!r}")
                elif not any(text.count(f"{{{slot[0]}}}") > slot[1] for text in phrases):
                    raise BadGrammar(file, where, f"no phrase has the slot {value}")


# ---- frames -----------------------------------------------------------------------------------------------------


def _frames(book: RuleBook, file: FrameFile, groups: set[str]) -> None:
    book.lists(_FRAMES, file.lists)
    for text in ("{noun}", "{noun} <sort>"):
        book.rule("named", "readings").append(RuleForm(read_phrase(text), _SAME, written=False))
    common = file.subjects["it"]
    book.lists(_FRAMES, {f"of-{name}": [*common, *own] for name, own in file.subjects.items()})
    rule = book.rule("said", "readings")
    for where, frames, kinds in (
        ("nouns", file.nouns, ("noun",)),
        ("qualities", file.qualities, ("quality",)),
        ("verbs", file.verbs, ("verb", "base", "ing")),
    ):
        once = TurnThing(negates=False, hedge=Hedge.PERHAPS, certainty=book.certainty["once"])
        makers = {"yes": _SAME, "no": TurnThing(negates=True), "once": once}
        for answer, texts in (("yes", frames.yes), ("no", frames.no), ("once", frames.once)):
            make = makers[answer]
            for text in texts:
                for each in _of_groups(text, kinds, groups):
                    form = book.form(_FRAMES, f"{where}.{answer}", each)
                    if _is_filled(book, form.phrase, groups):
                        maker = NoneOf() if answer == "no" and each.count("{n") > 1 else make
                        rule.append(RuleForm(form.phrase, maker, form.log_weight, form.offered))


def _of_groups(text: str, kinds: Sequence[str], groups: set[str]) -> Iterator[str]:
    """The frame for each group of subjects; nouns have none."""
    if kinds == ("noun",):
        text = text.replace("<of>", "<of-it>")
        yield text.replace("{noun}", "{named}") if text.endswith("!") else text
        return
    for group in sorted(groups):
        own = text.replace("<of>", f"<of-{group}>")
        for kind in kinds:
            own = own.replace(f"{{{kind}}}", f"{{{kind}-{group}}}")
        yield own


def _is_filled(book: RuleBook, phrase: Phrase, groups: set[str]) -> bool:
    """Whether every quality or verb that a frame takes has an entry: a group may have qualities and no verbs."""
    names = {symbol.name for flat in phrase for _, symbol in flat if not isinstance(symbol, Word) and symbol.keeps}
    empty = {f"{kind}-{group}" for kind in ("quality", "verb", "base", "ing") for group in groups} - book.rules.keys()
    return names.isdisjoint(empty)


def _inflected(phrase: Phrase, ending: Callable[[str], str]) -> Phrase:
    """Each sequence with its first word, which is the verb, in another form."""

    def one(flat: Flat) -> Flat:
        join, verb = flat[0]
        return ((join, replace(verb, text=ending(verb.text)) if isinstance(verb, Word) else verb), *flat[1:])

    return tuple(one(flat) for flat in phrase)


def _base(verb: str) -> str:
    return verb


def _third_person(verb: str) -> str:
    """``stick`` -> ``sticks``, ``go`` -> ``goes``, ``carry`` -> ``carries``."""
    if verb.endswith("y") and verb[-2:-1] not in _VOWELS:
        return verb[:-1] + "ies"
    return verb + ("es" if verb.endswith(("s", "x", "z", "ch", "sh", "o")) else "s")


def _participle(verb: str) -> str:
    """``stick`` -> ``sticking``, ``poke`` -> ``poking``, ``dip`` -> ``dipping``."""
    if verb.endswith("e"):
        return verb[:-1] + "ing"
    one_vowel = sum(letter in _VOWELS for letter in verb) == 1
    doubled = one_vowel and verb[-2] in _VOWELS and verb[-1] not in _VOWELS + "wxy"
    return verb + (verb[-1] if doubled else "") + "ing"


# ---- numbers without a word, and one thing said -------------------------------------------------------------------


def _bare(book: RuleBook, file: QuantityFile) -> None:
    """A number without a word of what it measures: any measurand whose kind takes such a number."""
    open_to = {m: entry for m, entry in file.measurand.items() if entry.bare is not None}
    numbers: dict[str, list[Measurand]] = {}
    for measurand, entry in open_to.items():
        for number in file.kind[entry.kind].numbers + file.kind[entry.kind].also:
            numbers.setdefault(number, []).append(measurand)
    rule = book.rule("bare", "quantities.toml")
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
    for kind, of_kind in kinds.items():
        for text in file.kind[kind].forms:
            form = parse_form(text)
            book.rule(f"{kind}-form", "quantities.toml").append(
                RuleForm(form.phrase, MakeQuantity(kind, operator=form.operator), form.log_weight, form.offered)
            )
        rule.append(RuleForm(read_phrase(f"{{{kind}-form}}"), MakeBare(tuple(of_kind)), about=frozenset(of_kind)))


def _reading(book: RuleBook) -> None:
    """Anything said about an end: one of the entries, a bare number, a turn of either, one or the other."""
    book.rule("thing", "readings").extend(RuleForm(read_phrase(f"{{{rule}}}"), _SAME) for rule in ("said", "bare"))
    book.rule("reading", "readings").extend(
        [
            RuleForm(read_phrase("{thing}"), _SAME),
            RuleForm(read_phrase("{turn}"), _SAME),
            RuleForm(read_phrase("{thing} or [maybe] {thing}"), Either()),
            RuleForm(read_phrase("between {thing} and {thing}"), Either()),
            RuleForm(
                read_phrase("between [(a|an|the)] {thing} and [(a|an|the)] {thing}"),
                Either(),
                written=False,
            ),
            RuleForm(
                read_phrase(
                    "[(it|this|that)] (could|might|may|must|can) be [either] [(a|an)] {thing} or [(a|an)] {thing}"
                ),
                Either(),
                written=False,
            ),
            RuleForm(
                read_phrase(
                    "[<unsure>] {thing} (but|or) [it] (could|might|may) [just] be [(a|an)] {thing} [<perhaps-so>]"
                ),
                Either(),
                written=False,
            ),
            RuleForm(
                read_phrase(
                    "[it] (could|might|may) be [(a|an|the)] {thing} [or] [it] (could|might|may) be [(a|an|the)] {thing}"
                ),
                Either(),
                written=False,
            ),
            RuleForm(read_phrase("[either] {thing} (or|maybe|or possibly|possibly) {thing}"), Either(), written=False),
            RuleForm(
                read_phrase("[(either|between)] {thing} [or] {thing} or [maybe] {thing}"), Either(), written=False
            ),
        ]
    )
