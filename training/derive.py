"""Draws phrases from the product's own grammar.

How it works: a form of a rule is drawn, its words stand as they are, its slots are filled: quantities by
:mod:`training.values`, everything else by drawing from the rule they call. What is only written so is left out.

Duty: random phrases of the grammar. It must not know what they mean.
"""

from __future__ import annotations

import random

from training.values import KINDS
from voicefit.interpretation.grammar import Grammar, RuleForm, rule_name
from voicefit.interpretation.notation import Flat, Join, Slot, Symbol

_DEEPEST = 6


class Deriver:
    def __init__(self, grammar: Grammar, draw: random.Random) -> None:
        self._grammar = grammar
        self._draw = draw
        self._spoken: dict[str, list[list[Flat]]] = {}

    def phrase(self, rule: str, depth: int = 0) -> str:
        """One phrase of ``rule`` in words. Raises ``KeyError`` for a rule that the grammar does not have."""
        forms = self._forms(rule)
        # Forms before phrases: an entry with many optional words is not said more often for it.
        flat = self._draw.choice(self._draw.choice(forms))
        if depth >= _DEEPEST:
            flat = min((each for form in forms for each in form), key=len)
        text = ""
        for at, (join, symbol) in enumerate(flat):
            word = self._fill(symbol.name, symbol.keeps, depth) if isinstance(symbol, Slot) else symbol.text
            text += word if join is Join.NOTHING and at else f" {word}"
        return text.strip()

    def _fill(self, name: str, keeps: bool, depth: int) -> str:
        if keeps and name in KINDS:
            return KINDS[name](self._draw)
        return self.phrase(rule_name(name, keeps), depth + 1)

    def _forms(self, rule: str) -> list[list[Flat]]:
        if rule not in self._spoken:
            self._spoken[rule] = [[]]  # a rule that calls itself has a way out
            forms = [self._sayable(form) for form in self._grammar.rules[rule] if form.written]
            self._spoken[rule] = [form for form in forms if form]
        return self._spoken[rule]

    def _sayable(self, form: RuleForm) -> list[Flat]:
        """The sequences of words that can be said: no figures, nothing that is only written."""
        return [flat for flat in form.phrase if all(map(self._is_said, (symbol for _, symbol in flat)))]

    def _is_said(self, symbol: Symbol) -> bool:
        if isinstance(symbol, Slot):
            if symbol.name in self._grammar.digits:
                return False
            return (symbol.keeps and symbol.name in KINDS) or bool(self._forms(rule_name(symbol.name, symbol.keeps)))
        return symbol.spoken and _can_be_said(symbol.text)


def _can_be_said(word: str) -> bool:
    return not any(map(str.isdigit, word)) and any(map(str.isalpha, word))
