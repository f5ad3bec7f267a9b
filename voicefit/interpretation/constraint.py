"""The grammar written for a recogniser: the texts an engine may write, as a Lark-style grammar.

Duty: translate the same rules that the parser uses. Every rule becomes a terminal, and the whole text is one terminal:
no phrase of the grammar calls itself, so the language is regular, and one regular expression has no tokens that a
greedy lexer could cut at the wrong word, and costs the decoder a hundredth of what rules cost it. Each rule is
written as the automaton of its phrases, since the decoder pays for every alternative that begins alike.

It must not add a phrase, and must not drop one, except that the tight variant keeps only what answers the question
asked, and the commands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product

from voicefit.interpretation.automaton import Automaton, Label, build
from voicefit.interpretation.grammar import Grammar, answers_now, number_words, rule_name
from voicefit.interpretation.notation import Flat, Join, Slot, Word
from voicefit.records import Context

_HEAD = """\
start: TEXT
SEP: /[,;.:?!]? |-/
"""
_DIGITS = "@"  # rule@: those phrases of a rule that are in digits alone
_MOST_ITEMS_TIGHT = 3
_OF_A_MEASURAND = (
    "said",
    "bare",
    "noun",
    "quality-",
    "verb-",
    "base-",
    "ing-",
)  # rules whose forms say of what they are
_ITEM, _THING = "item", "thing"  # made here; thing: one reading, as the parser has it too


def lark(grammar: Grammar, context: Context) -> str:
    """The grammar's text. With ``context.expected`` it is tight: answers to that, and commands."""
    writer = _Writer(grammar, context)
    item = writer.rule(_ITEM)
    more = f"{{0,{_MOST_ITEMS_TIGHT - 1}}}" if context.expected else "*"
    return _HEAD + "\n".join([f'TEXT: " "? {item} (SEP {item}){more} /[.?!]?/', *writer.lines()]) + "\n"


class _Writer:
    """Writes the rules that are needed, each once."""

    def __init__(self, grammar: Grammar, context: Context) -> None:
        self._grammar, self._context = grammar, context
        self._spelt: dict[str, list[str]] = {}
        for other, word in grammar.spellings.items():
            if word:
                self._spelt.setdefault(word, []).append(other)
        self._number_words = number_words(grammar)
        self._phrases: dict[str, list[Flat]] = {}
        self._lines: dict[str, list[str]] = {}

    def lines(self) -> list[str]:
        """All rules that were needed."""
        return [line for lines in self._lines.values() for line in lines]

    def rule(self, name: str) -> str:
        """The name in the text of a rule, which is written if it was not."""
        safe = name.upper().replace("-", "_").replace(_DIGITS, "_IN_DIGITS") + "_"
        if name not in self._lines:
            self._lines[name] = []
            self._lines[name] = _written(safe, build(self._untied(self._flats(name)), self._symbol))
        return safe

    def _flats(self, name: str) -> list[Flat]:
        """The phrases of a rule that can be said now."""
        if name not in self._phrases:
            flats = list(self._all(name))
            self._phrases[name] = [flat for flat in flats if all(self._possible(symbol) for _, symbol in flat)]
        return self._phrases[name]

    def _possible(self, symbol: Word | Slot) -> bool:
        if isinstance(symbol, Word) or symbol.name in self._grammar.digits:
            return True
        return bool(self._flats(_called(symbol)))

    def _all(self, name: str) -> Iterator[Flat]:
        if name.endswith(_DIGITS):
            yield from (digits for flat in self._flats(name[:-1]) if (digits := self._in_digits(flat)))
        elif name == _ITEM:
            if self._context.spelling:
                yield from (_just("name"), *self._flats("command"))
                return
            yield _just(_THING)
            asked = answers_now(self._context)
            for rule in ["turn", "command", "list-skipped", *asked]:
                yield from self._flats(rule)
            yield from (flat for flat in self._flats("reading") if len(flat) > 1)
        elif name == _THING:
            yield from self._flats("said")
            yield from self._flats("bare")
        elif name.startswith(_OF_A_MEASURAND):
            expected = frozenset(self._context.expected)
            for form in self._grammar.rules[name]:
                now = form.about & expected if expected else not form.asked
                if form.written and (now or not form.about):
                    yield from form.phrase
        else:
            yield from (f for form in self._grammar.rules.get(name, ()) if form.written for f in form.phrase)

    def _untied(self, flats: Iterable[Flat]) -> Iterator[Flat]:
        """Each phrase with a space where one may stand; and without it beside a number in digits: M18x1.5, 15mm."""
        for flat in flats:
            ties = [at for at, (join, _) in enumerate(flat) if join is Join.EITHER and at]
            for glued in product((False, True), repeat=len(ties)):
                together = [at for at, is_so in zip(ties, glued, strict=True) if is_so]
                joins = [Join.NOTHING if at in together else join for at, (join, _) in enumerate(flat)]
                beside = {place for at in together for place in (at - 1, at)}
                symbols = [self._glued(symbol) if at in beside else symbol for at, (_, symbol) in enumerate(flat)]
                if all(self._possible(symbol) for symbol in symbols):
                    yield tuple(zip(joins, symbols, strict=True))

    def _glued(self, symbol: Word | Slot) -> Word | Slot:
        """A number is glued to something only in digits. (A rule of no phrases is named where it has no digits.)"""
        if isinstance(symbol, Word):
            return Slot(_DIGITS) if symbol.text in self._number_words else symbol
        name = symbol.name
        number = name in self._grammar.kinds or self._grammar.sources.get(name) in ("numbers.toml", "hose names")
        return Slot(name + _DIGITS) if number else symbol

    def _in_digits(self, flat: Flat) -> Flat | None:
        """The phrase with its numbers in digits, or ``None`` where it has words (single letters may stand: R2)."""
        out: list[tuple[Join, Word | Slot]] = []
        for join, symbol in flat:
            if isinstance(symbol, Word):
                if symbol.text in self._number_words or symbol.text[1:].isalpha():
                    return None
            elif symbol.name.startswith("unit"):
                return None
            elif symbol.name not in self._grammar.digits:
                symbol = Slot(symbol.name + _DIGITS)
            out.append((join, symbol))
        numbers = (symbol for _, symbol in out if isinstance(symbol, Slot) or symbol.text.isdecimal())
        return tuple(out) if any(numbers) else None

    def _symbol(self, symbol: Word | Slot) -> str:
        if isinstance(symbol, Word):
            spellings = [_quoted(each) for each in (symbol.text, *self._spelt.get(symbol.text, ()))]
            return spellings[0] if len(spellings) == 1 else f"({' | '.join(spellings)})"
        if symbol.name in self._grammar.digits:
            return f"/{self._grammar.digits[symbol.name]}/"
        return self.rule(_called(symbol))


def _just(name: str) -> Flat:
    return ((Join.NOTHING, Slot(name)),)


def _called(slot: Slot) -> str:
    """The rule that a slot calls. What a command takes along is any one thing."""
    return _THING if slot.name == "reading" else rule_name(slot.name, slot.keeps)


def _written(name: str, automaton: Automaton) -> list[str]:
    """A rule as text: one line for each state that needs a name of its own; the others are written in place."""
    uses = automaton.uses()
    lines: dict[int, str] = {}

    def after(at: int) -> str:
        """What may follow a state, as text."""
        state = automaton.states[at]
        if not state.edges:
            return ""
        if uses[at] == 1:
            text = alternatives(at)
            text = f"({text})" if len(state.edges) > 1 or state.ends else text
        else:
            if at not in lines:
                lines[at] = f"{name}{at}: {alternatives(at)}"
            text = f"{name}{at}"
        return text + "?" if state.ends else text

    def alternatives(at: int) -> str:
        return " | ".join(step(label, target) for label, target in automaton.states[at].edges)

    def step(label: Label, target: int) -> str:
        return f"{'' if label[0] is Join.NOTHING else 'SEP '}{label[1]} {after(target)}".rstrip()

    return [f"{name}: {alternatives(len(automaton.states) - 1)}", *lines.values()]


def _quoted(word: str) -> str:
    escaped = word.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"' + ("i" if any(letter.isalpha() for letter in word) else "")
