"""How many, where a sentence says nothing but how many: "no, ten", "not ten, not twelve, one", "half a dozen then".

Behind an order a number needs no words of ordering beside it. Such a sentence has numbers, what is counted, and words
that carry nothing beside a number or take one back (the lists ``amount-...`` of ``words.toml``), and no other word.

Duty: this number. It must not know whether anything was ordered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.tokens import Token

_RULES = ("amount-said", "amount-again", "amount-denies", "amount-more", "amount-fewer", "amount-of")
_POINTS = frozenset({"this", "that", "the", "other", "which", "each", "every", "same"})  # "that one" is no number
_ONLY = frozenset({"just", "only"})  # "just the one" is
_PAIR, _ARTICLE = 2, "a"


@dataclass(frozen=True, slots=True)
class Amount:
    """``number`` : the last that was not taken back. ``denied`` : those that were. ``more`` : it comes to what there
    is (1), goes from it (-1), or takes its place (0). ``again`` : a word says that it takes the place of something."""

    number: int
    denied: frozenset[int] = frozenset()
    more: int = 0
    again: bool = False


def amount(tokens: Sequence[Token], chart: Chart) -> Amount | None:
    """How many a sentence says that says nothing else; ``None`` where there is another word, or no whole number."""
    numbers: list[int] = []
    denied: set[int] = set()
    found: set[str] = set()
    at, denies = 0, False
    while at < len(tokens):
        end, number = _number(tokens, chart, at)
        if number is not None:
            if denies:
                denied.add(number)
            else:
                numbers.append(number)
            at, denies = end, False
            continue
        end, rule = max((stop, rule) for rule in (*_RULES, "") for stop in _ends(chart, rule, at))
        if not rule:
            return None
        found.add(rule)
        denies = rule == "amount-denies" or (denies and not tokens[at].paused)
        at = end
    if not numbers:
        return None
    more = ("amount-more" in found) - ("amount-fewer" in found)
    return Amount(numbers[-1], frozenset(denied), more, bool(found & {"amount-again", "amount-denies"}) or more != 0)


def _number(tokens: Sequence[Token], chart: Chart, at: int) -> tuple[int, int | None]:
    """Where the longest whole number ends that begins here, and its value; "a couple" is two."""
    pair = max((end for end, _, _ in chart.match("list-amount-pair", at)), default=at)
    whole = [(end, number.value) for end, number, _ in chart.match("number", at)]
    end, value = max(whole, default=(at, None))
    if pair > end:
        return pair, _PAIR
    if value is None or value.denominator != 1:
        return at, None
    before = [token.text for token in tokens[max(0, at - 2) : at]]
    if value == 1 and before[-1:] and before[-1] in _POINTS and _ONLY.isdisjoint(before) and not tokens[at].paused:
        return at, None
    if value > 1 and before[-1:] == [_ARTICLE]:
        return at, None  # "a ninety" is one that is bent
    return end, int(value)


def _ends(chart: Chart, rule: str, at: int) -> list[int]:
    return [end for end, _, _ in chart.match(f"list-{rule}", at)] if rule else [at]
