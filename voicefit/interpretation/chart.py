"""Rules compiled to tries, and a memoised walk that finds every way in which a rule matches at a place.

Duty: matching, with values made by the makers it is handed. Work is bounded by tokens × rules, because no rule
may begin with itself (checked here). It must not know what a value means.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from typing import Any

from voicefit.errors import BadGrammar
from voicefit.interpretation.grammar import Grammar, rule_name
from voicefit.interpretation.notation import Flat, Join, Word
from voicefit.interpretation.numerals import Number
from voicefit.interpretation.tokens import Token, expand

Make = Callable[[tuple[Any, ...]], Any]  # slot values -> value, or None: no such value
Match = tuple[int, Any, float]  # end, value, log weight
ARTICLES = ("the", "a", "an")
_QUANTITIES = "quantities.toml"
_COUNTING = frozenset({"numbers.toml", _QUANTITIES})  # "an inch" is one, and "inch" is none
_CLIPPED = "clipped-"  # a number with a part left out has no pause in it: "twelve, fourteen" are two
_MOST_FIGURES = 6
ONE_NUMBER = ("two-figures", "whole", "mixed", "decimal")  # the rules of a number without a unit
_DIGITS = "0"  # among the first words of a rule: it may begin with a run of digits


_Slot = tuple[str, bool, bool]  # rule, keeps its value, tight


class _Node:
    __slots__ = ("ahead", "leaves", "slots", "tight", "words")

    def __init__(self) -> None:
        # By a word, kept when first asked for: the slots that can begin with it, in a text with and without articles.
        self.ahead: tuple[dict[str, _Ahead], dict[str, _Ahead]] = ({}, {})
        self.words: dict[str, _Node] = {}
        self.tight: dict[str, _Node] = {}  # must be written together with what stands before
        self.slots: dict[_Slot, _Node] = {}
        self.leaves: list[tuple[Make, float]] = []


_Ahead = tuple[tuple[_Slot, _Node], ...]


class Tries:
    """All rules of a grammar, compiled. ``maker`` turns the data of a form, and the names of the slots that a phrase
    of it has, into the function that makes its value."""

    def __init__(self, grammar: Grammar, maker: Callable[[Any, tuple[str, ...]], Make]) -> None:
        self.roots: dict[str, _Node] = {}
        makes: dict[tuple[int, tuple[str, ...]], Make] = {}
        for name, forms in grammar.rules.items():
            root = self.roots[name] = _Node()
            for form in forms:
                if form.maker is None:  # written in the constraint only
                    continue
                for flat in form.phrase:
                    node, kept = _grown(root, flat)
                    key = (id(form.maker), kept)
                    make = makes.get(key) or makes.setdefault(key, maker(form.maker, kept))
                    node.leaves.append((make, form.log_weight))
        self.digits = frozenset(grammar.digits)
        self.firsts = _firsts(self.roots, grammar, frozenset(), frozenset())
        self.quantities = frozenset(name for name, file in grammar.sources.items() if file == _QUANTITIES)
        counting = frozenset(name for name, file in grammar.sources.items() if file in _COUNTING)
        self.bare_of_articles = frozenset(self.roots) - counting
        self.of_articles = frozenset(
            name
            for name, root in self.roots.items()
            if root.words and not root.slots and set(root.words) <= set(ARTICLES)
        )
        self.bare_firsts = _firsts(self.roots, grammar, self.bare_of_articles, self.of_articles)
        self._words = frozenset().union(*self.bare_firsts.values())

    def ahead(self, node: _Node, word: str, bare: bool) -> _Ahead:
        """The slots of a node that can begin with a word."""
        known = node.ahead[bare]
        found = known.get(word)
        if found is None:
            firsts, figures = self.bare_firsts if bare else self.firsts, word[0].isdecimal()
            found = tuple(
                (slot, child)
                for slot, child in node.slots.items()
                if word in firsts[slot[0]] or (figures and _DIGITS in firsts[slot[0]])
            )
            if found or word in self._words:  # words that no rule knows are without number
                known[word] = found
        return found


def _grown(root: _Node, flat: Flat) -> tuple[_Node, tuple[str, ...]]:
    """The node at the end of a phrase, made where it was not there, and the slots whose values it keeps."""
    node, kept = root, []
    for at, (join, symbol) in enumerate(flat):
        tight = join is Join.NOTHING and at > 0
        if isinstance(symbol, Word):
            for part in expand(symbol.text).split():
                words = node.tight if tight else node.words
                node = words.get(part) or words.setdefault(part, _Node())
                tight = False
            continue
        if symbol.keeps:
            kept.append(symbol.name)
        slot = (rule_name(symbol.name, symbol.keeps), symbol.keeps, tight)
        node = node.slots.get(slot) or node.slots.setdefault(slot, _Node())
    return node, tuple(kept)


def _firsts(
    roots: Mapping[str, _Node], grammar: Grammar, bare: Set[str], of_articles: Set[str]
) -> dict[str, frozenset[str]]:
    """The words with which each rule can begin; those of ``bare`` also without an article."""
    done: dict[str, frozenset[str]] = dict.fromkeys(grammar.digits, frozenset({_DIGITS}))
    doing: set[str] = set()

    def first(name: str) -> frozenset[str]:
        if name not in done:
            if name in doing:
                raise BadGrammar(grammar.sources.get(name, "grammar"), name, "the rule begins with itself")
            doing.add(name)
            starts = [roots[name], *(_past_articles(roots[name], of_articles) if name in bare else ())]
            found = {word for node in starts for word in node.words}
            for rule in {rule for node in starts for rule, _, _ in node.slots}:
                found |= first(rule)
            done[name] = frozenset(found)
        return done[name]

    for name in roots:
        first(name)
    return done


def _past_articles(node: _Node, of_articles: Set[str]) -> list[_Node]:
    """What follows on an article, or on a list of nothing else."""
    past = [node.words[article] for article in ARTICLES if article in node.words]
    return past + [child for (rule, _, _), child in node.slots.items() if rule in of_articles]


class Chart:
    """The matches in one text, worked out once for each rule and place. ``bare`` : the text has no articles, and its
    phrases need none: "ring in cone"; but numbers keep theirs ("an inch")."""

    def __init__(self, tries: Tries, tokens: Sequence[Token], *, bare: bool = False) -> None:
        self._tries, self._tokens, self._bare = tries, tokens, bare
        self._firsts = tries.bare_firsts if bare else tries.firsts
        self._memo: dict[tuple[str, int], list[Match]] = {}

    def __len__(self) -> int:
        return len(self._tokens)

    def of(self, tokens: Sequence[Token]) -> Chart:
        """The chart of other words, this one where they are the same."""
        return self if list(tokens) == list(self._tokens) else Chart(self._tries, tokens, bare=self._bare)

    def match(self, rule: str, at: int) -> list[Match]:
        """Every end, value and log weight with which ``rule`` matches at token ``at``; the best of equal ones."""
        key = (rule, at)
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = self._find(rule, at)
        return found

    def awaits(self, rule: str, at: int, end: int) -> bool:
        """Whether the tokens from ``at`` to ``end`` begin a phrase of ``rule`` that goes on with a number."""
        return self._awaits(self._tries.roots[rule], at, end)

    def _awaits(self, node: _Node, at: int, end: int) -> bool:
        if at == end:
            return any(_DIGITS in self._firsts[rule] for rule, _, _ in node.slots)
        child = node.words.get(self._tokens[at].text)
        if child is not None and self._awaits(child, at + 1, end):
            return True
        return any(
            stop <= end and self._awaits(child, stop, end)
            for (rule, _, _), child in node.slots.items()
            for stop, _, _ in self.match(rule, at)
        )

    def _find(self, rule: str, at: int) -> list[Match]:
        token = self._tokens[at]
        if rule in self._tries.digits:
            text = token.text
            fits = text.isdecimal() and len(text) <= _MOST_FIGURES
            return [(at + 1, Number.whole(int(text), text), 0.0)] if fits else []
        best: dict[tuple[int, Any], float] = {}
        self._walk(self._tries.roots[rule], at, (), 0.0, best, self._bare and rule in self._tries.bare_of_articles)
        pauses = (place for place in range(at + 1, len(self._tokens)) if self._tokens[place].paused)
        last = next(pauses, len(self._tokens)) if rule.startswith(_CLIPPED) else len(self._tokens)
        return [(end, value, weight) for (end, value), weight in best.items() if at < end <= last]

    def _is_one_number(self, at: int, end: int) -> bool:
        pauses = any(token.paused for token in self._tokens[at + 1 : end])
        return not pauses and any(stop >= end for rule in ONE_NUMBER for stop, _, _ in self.match(rule, at))

    def _walk(
        self,
        node: _Node,
        at: int,
        values: tuple[Any, ...],
        weight: float,
        best: dict[tuple[int, Any], float],
        bare: bool,
        since: int | None = None,
    ) -> None:
        """``since`` : where a quantity began that ends at ``at``."""
        for make, own in node.leaves:
            value = make(values)
            if value is not None:
                key = (at, value)
                if weight + own > best.get(key, -1e9):
                    best[key] = weight + own
        if at == len(self._tokens):
            return
        token = self._tokens[at]
        text = token.text
        for further in _past_articles(node, self._tries.of_articles) if bare else ():
            self._walk(further, at, values, weight, best, bare, since)
        child = node.words.get(text)
        if child is not None:
            self._walk(child, at + 1, values, weight, best, bare)
        if token.joined and node.tight:
            child = node.tight.get(text)
            if child is not None:
                self._walk(child, at + 1, values, weight, best, bare)
        if not node.slots:
            return
        for (rule, keeps, tight), child in self._tries.ahead(node, text, self._bare):
            if tight and not token.joined:
                continue
            begins = at if rule in self._tries.quantities else None
            for end, value, own in self.match(rule, at):
                if begins is not None and since is not None and self._is_one_number(since, end):
                    continue  # "the bolts fifty | seven"
                self._walk(child, end, (*values, value) if keeps else values, weight + own, best, bare, begins)


def inside_numbers(tokens: Sequence[Token], chart: Chart) -> frozenset[int]:
    """The places of words inside a number: "one point oh five" has a nought, not an "oh"; the "and" of "one and a half"
    joins no clauses."""
    return frozenset(
        place
        for at in range(len(tokens))
        for rule in ONE_NUMBER
        for end, _, _ in chart.match(rule, at)
        for place in range(at + 1, end)
    )
