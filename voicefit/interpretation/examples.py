"""Examples of what may be said, made from the grammar itself: for the spoken help and the documentation.

Duty: fill the first phrase of an entry with the example of each kind. It must not invent a phrase that the grammar
does not have.
"""

from __future__ import annotations

from voicefit.interpretation.grammar import Grammar, MakeReading, RuleForm, rule_name
from voicefit.interpretation.notation import Flat, Join, Slot
from voicefit.records import Measurand


def of(grammar: Grammar, measurand: Measurand) -> tuple[str, ...]:
    """One example from each entry that speaks of the measurand alone, in the order of the files."""
    found: dict[int, str] = {}
    for form in _forms(grammar):
        alone = isinstance(form.maker, MakeReading) and [set(r) for r in form.maker.entry.means] == [{measurand}]
        if alone and form.written and not form.asked:
            found.setdefault(id(form.maker.entry), spell(grammar, max(form.phrase, key=_plainness)))
    return tuple(dict.fromkeys(found.values()))


def _forms(grammar: Grammar) -> list[RuleForm]:
    """What may be said as it stands: whole phrases, nouns, qualities, verbs."""
    rules = [name for name in grammar.rules if name in ("said", "noun") or name.startswith(("quality-", "verb-"))]
    return [form for name in rules for form in grammar.rules[name]]


def spell(grammar: Grammar, flat: Flat) -> str:
    """A phrase with its slots filled: kinds by their example, lists and names by their first word."""
    text = ""
    for at, (join, symbol) in enumerate(flat):
        word = _filled(grammar, symbol) if isinstance(symbol, Slot) else symbol.text
        text += word if join is Join.NOTHING and at else f" {word}"
    return text.strip()


def _filled(grammar: Grammar, slot: Slot) -> str:
    kind = grammar.kinds.get(slot.name) if slot.keeps else None
    if kind is not None:
        return kind.example
    return spell(grammar, max(grammar.rules[rule_name(slot.name, slot.keeps)][0].phrase, key=_plainness))


def _plainness(flat: Flat) -> tuple[bool, int]:
    """Words as they are spoken before what is only written; short before long."""
    return all(isinstance(symbol, Slot) or symbol.spoken for _, symbol in flat), -len(flat)
