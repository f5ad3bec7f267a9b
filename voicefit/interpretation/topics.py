"""Questions that no phrase takes, by what they are about: "how many newton meters does it want?" is about torque.

How it works. A command that changes nothing may name what a question is about that it answers (``about`` in
``commands.toml``). Where a text is not understood at all, and it asks (it begins so, or holds nothing but such
words and joining ones), the command is called that most of it is about. A wrong guess costs the person a reply
that they did not want. Cries for help (commands that are urgent) are heard so in whatever is said, unless it says no.

Duty: this guess. It must not make readings, and must not guess where a text states something.
"""

from __future__ import annotations

from collections.abc import Sequence

from voicefit.interpretation.chart import Chart, Match
from voicefit.interpretation.tokens import Token
from voicefit.records import Command

_OPENERS = frozenset({"and", "but", "so", "well", "ok", "okay", "right", "hey", "oh", "now", "then", "please", "sorry"})
_EACH = 1.0  # thing that it is about
_EACH_WORD = 0.1
_WITHOUT_ASKING = 2  # things: "torque figure"
_NOT_SO = frozenset({"not", "no", "never", "without", "nothing", "stopped", "if"})
_JOINING = frozenset({"the", "a", "an", "of", "for", "to", "it", "this", "that", "please", "any", "my", "again"})


def asked_about(text: str, tokens: Sequence[Token], chart: Chart) -> Command | None:
    """The command that answers the question, or the cry for help; ``None`` where it is neither, or is about nothing."""
    scores: dict[tuple[str, str | None, bool], float] = {}
    things = 0
    at = 0
    covered = True
    while at < len(tokens):
        best = max(chart.match("topic", at), key=lambda match: (match[0], match[2]), default=None)
        if best is None:
            covered = covered and tokens[at].text in _JOINING
            at += 1
            continue
        end, _, _ = best
        things += 1
        for _, call, weight in _of_same_words(chart.match("topic", at), end):
            key = (call.name, call.argument, call.urgent)
            scores[key] = scores.get(key, 0.0) + _EACH + _EACH_WORD * (end - at) + weight
        at = end
    if not (_asks(tokens, chart) or (covered and things >= _WITHOUT_ASKING)):
        urgent = _NOT_SO.isdisjoint(token.text for token in tokens)
        scores = {key: score for key, score in scores.items() if key[2] and urgent and score >= _WITHOUT_ASKING}
    if not scores:
        return None
    (name, argument, _), _ = max(scores.items(), key=lambda item: item[1])
    return Command(name, text, (), argument)


def _of_same_words(matches: Sequence[Match], end: int) -> Sequence[Match]:
    return [match for match in matches if match[0] == end]


def _asks(tokens: Sequence[Token], chart: Chart) -> bool:
    """Whether the text begins as questions do, but for words that open any sentence."""
    for at, token in enumerate(tokens):
        if chart.match("list-asking", at):
            return True
        if token.text not in _OPENERS:
            return False
    return False
