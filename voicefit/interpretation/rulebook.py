"""The rules of a grammar in the making, and how their phrases are read.

Duty: keep rules and the file that each is from; read the notation and name file and place where it is wrong
(``BadGrammar``). It must not know what any rule means.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from voicefit.errors import BadGrammar
from voicefit.interpretation.grammar import Constant, RuleForm, rule_name
from voicefit.interpretation.notation import BadNotation, Form, parse_form, slots

LIST_WORD = Constant(None)
_INSIDE = r"(?:[^(){}<>]|<group-\d+>)*"  # without slots, lists and further groups
_GROUP = re.compile(rf"\(({_INSIDE}\|{_INSIDE})\)")  # of alternatives


class RuleBook:
    """``figures`` : the number words of phrases, for the same phrases in digits."""

    def __init__(self, texts: Mapping[str, str], names: Mapping[str, Mapping[str, Sequence[str]]]) -> None:
        self.texts, self.names = texts, names
        self.digits: dict[str, str] = {}
        self.figures: dict[str, int] = {}
        self.rules: dict[str, list[RuleForm]] = {}
        self.sources: dict[str, str] = {}
        self.certainty: dict[str, float] = {}  # of what is said to be likely, perhaps so, once so
        self._folded: dict[str, str] = {}  # alternatives, and the list made of them

    def form(self, file: str, where: str, text: str, *, fold: bool = True) -> Form:
        """One form of the notation; one that is not offered to a speech engine with its alternatives ``fold`` ed.

        Raises ``BadGrammar`` with ``where`` it stands.
        """
        if fold and text.endswith("!"):
            text = self.folded(file, text)
        try:
            return parse_form(text)
        except BadNotation as error:
            raise BadGrammar(file, where, str(error)) from None

    def rule(self, name: str, file: str) -> list[RuleForm]:
        """The forms of a rule, to add to. A name belongs to one file."""
        if name in self.sources and self.sources[name] != file:
            raise BadGrammar(file, name, f"the name is taken by a rule of {self.sources[name]}")
        self.sources[name] = file
        return self.rules.setdefault(name, [])

    def lists(self, file: str, lists: Mapping[str, Sequence[str]], *, offered: bool = True) -> None:
        """Lists of words, which phrases refer to as ``<name>``; ``offered`` : to a speech engine."""
        for name, texts in lists.items():
            for text in texts:
                form = self.form(file, f"lists.{name}", text)
                self.rule(f"list-{name}", file).append(
                    RuleForm(form.phrase, LIST_WORD, form.log_weight, form.offered and offered)
                )

    def folded(self, file: str, text: str) -> str:
        """A phrase whose groups of alternatives are lists of their own: many of them side by side would otherwise be as
        many phrases as all have alternatives, multiplied. What has a slot stays in the phrase."""
        while (found := _GROUP.search(text)) is not None:
            alternatives = found[1]
            name = self._folded.setdefault(alternatives, f"group-{len(self._folded) + 1}")
            if f"list-{name}" not in self.rules:
                self.lists(file, {name: alternatives.split("|")}, offered=False)
            text = f"{text[: found.start()]}<{name}>{text[found.end() :]}"
        return text

    def named_missing(self, phrases: Sequence[str]) -> bool:
        """Whether the phrases need names of which none were handed over."""
        needed = {rule for rule in self.names if any(f"{{{rule}}}" in text for text in phrases)}
        return any(rule not in self.rules for rule in needed)

    def in_figures_too(self, text: str) -> str:
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

    def check(self) -> None:
        """Every slot has a rule. Raises ``BadGrammar`` naming the file that wants one."""
        for name, forms in self.rules.items():
            for form in forms:
                for slot in slots(form.phrase):
                    if rule_name(slot.name, slot.keeps) not in self.rules and slot.name not in self.digits:
                        kind = f"{{{slot.name}}}" if slot.keeps else f"<{slot.name}>"
                        raise BadGrammar(self.sources[name], name, f"there is no {kind}")
