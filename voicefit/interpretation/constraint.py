"""The grammar written for a recogniser: a Lark-style grammar of the texts an engine may write.

Duty: translate the same rules that the parser uses. Words are terminals and everything else is rules, because the
decoder's lexer is greedy on terminals. It must not add or drop a phrase, except that the tight variant keeps
only what answers the question asked, and the commands.
"""

from __future__ import annotations

from voicefit.interpretation.grammar import INT, LETTER, Grammar, RuleForm, rule_name
from voicefit.interpretation.notation import Choice, Join, Node, Optional, Sequence, Slot, Word, slots
from voicefit.records import Context

_HEAD = """\
start: " "? text STOP?
STOP: /[.?!]/
SEP: /[,;.:?!]? |-/
INT: /[0-9]{1,4}/
LETTER: /[a-z]/i
"""
_MOST_ITEMS_TIGHT = 3


def lark(grammar: Grammar, context: Context) -> str:
    """The grammar's text. With ``context.expected`` it is tight: answers to that, and commands."""
    expected = frozenset(context.expected)
    rules: dict[str, list[RuleForm]] = {name: list(forms) for name, forms in grammar.rules.items()}
    if expected:
        for name in ("said", "bare"):
            kept = [form for form in rules[name] if form.about & expected]
            rules[name] = kept
        rules["reading"] = [
            form for form in rules["reading"] if all(rules[rule] for rule in ("said", "bare") if _calls(form, rule))
        ]
        if not rules["reading"]:
            del rules["reading"]
    writer = _Writer(rules)
    items = [writer.name(rule) for rule in ("reading", "command") if rules.get(rule)]
    lines = [_HEAD, f"item: {' | '.join(items)}"]
    if expected:
        more = " ".join(["(SEP item)?"] * (_MOST_ITEMS_TIGHT - 1))
        lines.append(f"text: (list_skipped SEP)? item {more}")
    else:
        lines.append("text: (list_skipped SEP)? item (SEP (list_skipped SEP)? item)*")
    writer.need("list-skipped")
    lines += writer.lines()
    return "\n".join(lines) + "\n"


def _calls(form: RuleForm, rule: str) -> bool:
    return any(slot.keeps and slot.name == rule for slot in slots(form.phrase))


class _Writer:
    """Writes the rules that are needed, each once."""

    def __init__(self, rules: dict[str, list[RuleForm]]) -> None:
        self._rules = rules
        self._done: dict[str, str] = {}
        self._terminals: dict[str, str] = {}

    def name(self, rule: str) -> str:
        if rule == INT:
            return "INT"
        if rule == LETTER:
            return "LETTER"
        self.need(rule)
        return _safe(rule)

    def need(self, rule: str) -> None:
        if rule in self._done:
            return
        self._done[rule] = ""
        forms = [form for form in self._rules[rule] if form.written and self._possible(form)]
        self._done[rule] = f"{_safe(rule)}: " + "\n  | ".join(dict.fromkeys(self._node(form.phrase) for form in forms))

    def _possible(self, form: RuleForm) -> bool:
        return all(
            slot.name in (INT, LETTER) or self._rules.get(rule_name(slot.name, slot.keeps))
            for slot in slots(form.phrase)
        )

    def lines(self) -> list[str]:
        return [*self._done.values(), *(f"{name}: {_quoted(word)}" for word, name in self._terminals.items())]

    def _node(self, node: Node) -> str:
        if isinstance(node, Word):
            return self._terminal(node.text)
        if isinstance(node, Slot):
            return self.name(rule_name(node.name, node.keeps))
        if isinstance(node, Choice):
            return "(" + " | ".join(self._node(part) for part in node.parts) + ")"
        if isinstance(node, Optional):
            return f"({self._node(node.part)})?"
        return self._sequence(node)

    def _sequence(self, node: Sequence) -> str:
        """Optional parts take their separator with them: after what they follow, or before what they precede."""
        out: list[str] = []
        leading: list[str] = []  # optional parts before the first certain one
        for join, part in node.parts:
            separator = {Join.SPACE: "SEP ", Join.EITHER: "SEP? ", Join.NOTHING: ""}[join]
            inner = part.part if isinstance(part, Optional) else part
            text = self._node(inner)
            if not out:
                if isinstance(part, Optional):
                    leading.append(text)
                else:
                    out = [f"({each} SEP)?" for each in leading] + [text]
            elif isinstance(part, Optional):
                out.append(f"({separator}{text})?")
            else:
                out.append(f"{separator}{text}")
        return " ".join(out)

    def _terminal(self, text: str) -> str:
        return self._terminals.setdefault(text, f"W{len(self._terminals)}")


def _quoted(word: str) -> str:
    escaped = word.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"' + ("i" if any(letter.isalpha() for letter in word) else "")


def _safe(rule: str) -> str:
    return "r_" + rule.replace("-", "_") if not rule.startswith("list-") else rule.replace("-", "_")
