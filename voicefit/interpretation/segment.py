"""A whole text cut into things said: the n best ways, with what was passed over named as rejections.

Duty: search over the chart's matches. It must not make values and must not silently drop a word that could turn
a meaning round.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.priors import asked_for, item_prior, reading_in_context
from voicefit.interpretation.readings import Phrase, combine
from voicefit.interpretation.tokens import Token
from voicefit.records import Command, Context, Item, Meaning, Option, Reading, Reason, Rejection

_ITEM = -3.0  # each thing said: fewer explain the same words better
_PAUSE = -0.7  # a comma or stop inside one thing said
_SKIPPED = -0.4  # a word passed over
_LEFT = -9.0  # a word left over
_LEFT_RUN = -2.0
_REFUSED = -6.0  # understood, and refused (out of range, wrong unit)
_CUT = -5.0  # starting inside "ninety-nine" or "1.5"
_WIDTH = 16  # hypotheses kept at each place
_MOST_MEANINGS = 8
_LEAST_SHARE = 0.004  # of the best meaning's weight
_LEAST_OPTION = -8.0


@dataclass(frozen=True, slots=True)
class Edge:
    start: int
    end: int
    weight: float
    items: tuple[Item, ...] = ()
    left: bool = False  # words that nothing took


@dataclass(frozen=True, slots=True)
class _Path:
    weight: float
    key: tuple[object, ...]
    edge: Edge | None = None
    before: _Path | None = None


def edges(chart: Chart, tokens: tuple[Token, ...], context: Context) -> Iterator[Edge]:
    """Everything that may have been said, at every place, in order of its start."""
    for start in range(len(tokens)):
        yield Edge(start, start + 1, _LEFT, left=True)
        for end, _, weight in chart.match("list-skipped", start):
            yield Edge(start, end, _SKIPPED + weight)
        groups: dict[tuple[Any, ...], list[tuple[Phrase, float]]] = {}
        for end, phrase, weight in chart.match("reading", start):
            groups.setdefault((end, len(phrase.items), phrase.value, phrase.corrects), []).append((phrase, weight))
        for (end, *_), phrases in groups.items():
            phrase = combine(phrases)
            best = max(weight for _, weight in phrases) + _pauses(tokens, start, end)
            yield _reading_edge(phrase, start, end, best, context)
        for end, command, weight in chart.match("command", start):
            readings = tuple(_trim(reading_in_context(r, context, open_=True)) for r in command.readings)
            item = replace(command, readings=readings)
            weight += _ITEM + _pauses(tokens, start, end) + item_prior(item, context)
            yield Edge(start, end, weight, (item,))


def _reading_edge(phrase: Phrase, start: int, end: int, weight: float, context: Context) -> Edge:
    items: list[Item] = []
    for item in phrase.items:
        if isinstance(item, Reading):
            moved = reading_in_context(item, context, open_=phrase.open)
            weight += _ITEM + max(option.log_prior for option in moved.options) + asked_for(item, context)
            items.append(_trim(moved))
        else:
            weight += _ITEM + _REFUSED
            items.append(item)
    if phrase.corrects and all(isinstance(item, Reading) for item in items):
        readings = tuple(item for item in items if isinstance(item, Reading))
        items = [Command("correct", "", readings)]
    if len(phrase.items) > 1:  # a designation is one thing said
        weight -= _ITEM * (len(phrase.items) - 1)
    return Edge(start, end, weight, tuple(items))


def _trim(reading: Reading) -> Reading:
    """Options best first, priors relative to the best, hopeless ones left out."""
    best = max(option.log_prior for option in reading.options)
    kept = sorted(
        (
            Option(o.measurand, o.value, round(o.log_prior - best, 6), o.negated)
            for o in reading.options
            if o.log_prior - best > _LEAST_OPTION
        ),
        key=lambda option: -option.log_prior,
    )
    return replace(reading, options=tuple(kept))


def _cuts(chart: Chart, tokens: tuple[Token, ...]) -> list[float]:
    """What it costs to start something new at each place: a number of two words is one number, also in speech."""
    costs = [0.0] * len(tokens)
    for at in range(1, len(tokens)):
        if tokens[at].paused:
            continue
        twin = any(end == at + 1 for end, _, _ in chart.match("two-figures", at - 1))
        figures = tokens[at].joined and _figure(tokens[at]) and _figure(tokens[at - 1])
        costs[at] = _CUT if twin or figures else 0.0
    return costs


def _figure(token: Token) -> bool:
    return token.text[0].isdigit() or token.text in "./"


def _pauses(tokens: tuple[Token, ...], start: int, end: int) -> float:
    return _PAUSE * sum(token.paused for token in tokens[start + 1 : end])


def item_key(item: Item) -> tuple[object, ...]:
    """What makes two items the same, whatever words said them."""
    if isinstance(item, Reading):
        return (frozenset((o.measurand, o.value, o.negated) for o in item.options), item.threads_engaged)
    if isinstance(item, Command):
        return (item.name, item.argument, tuple(item_key(reading) for reading in item.readings))
    return (item.reason, item.detail or item.text)


def meanings(
    text: str,
    tokens: tuple[Token, ...],
    chart: Chart,
    context: Context,
    known: frozenset[str],
    negating: frozenset[str],
) -> tuple[Meaning, ...]:
    """The n best meanings of a text with at least one token; weights sum to one."""
    best: list[list[_Path]] = [[] for _ in range(len(tokens) + 1)]
    best[0] = [_Path(0.0, ())]
    waiting: list[dict[tuple[object, ...], _Path]] = [{} for _ in range(len(tokens) + 1)]
    cuts = _cuts(chart, tokens)
    for edge in edges(chart, tokens, context):
        if edge.start and not best[edge.start]:
            best[edge.start] = sorted(waiting[edge.start].values(), key=lambda p: -p.weight)[:_WIDTH]
        added = tuple(item_key(item) for item in edge.items) if not edge.left else (("left", edge.start),)
        for path in best[edge.start]:
            weight = path.weight + edge.weight + cuts[edge.start]
            if edge.left and not (path.edge and path.edge.left):
                weight += _LEFT_RUN
            key = path.key + added
            other = waiting[edge.end].get(key)
            if other is None or other.weight < weight:
                waiting[edge.end][key] = _Path(weight, key, edge, path)
    ends = sorted(waiting[len(tokens)].values(), key=lambda p: -p.weight)[:_MOST_MEANINGS]
    found: dict[tuple[object, ...], Meaning] = {}
    for path in ends:
        items = _items(text, tokens, path, known, negating)
        key = tuple(item_key(item) for item in items)
        if key not in found:
            found[key] = Meaning(text, items, path.weight)
    return normalised(list(found.values()))


def normalised(found: list[Meaning]) -> tuple[Meaning, ...]:
    """Best first, hopeless ones left out, weights summing to one."""
    found = sorted(found, key=lambda meaning: -meaning.log_weight)
    top = found[0].log_weight
    kept = [m for m in found if m.log_weight - top > math.log(_LEAST_SHARE)][:_MOST_MEANINGS]
    total = math.log(sum(math.exp(m.log_weight - top) for m in kept)) + top
    return tuple(replace(m, log_weight=m.log_weight - total) for m in kept)


def _items(
    text: str, tokens: tuple[Token, ...], path: _Path, known: frozenset[str], negating: frozenset[str]
) -> tuple[Item, ...]:
    """The items of a path, with their texts; runs of left words as rejections."""
    chain: list[Edge] = []
    step: _Path | None = path
    while step and step.edge:
        chain.append(step.edge)
        step = step.before
    items: list[Item] = []
    run: list[int] = []
    spoilt = False
    for edge in [*reversed(chain), Edge(len(tokens), len(tokens), 0.0, (Rejection("", Reason.SILENCE),))]:
        if edge.left:
            run.append(edge.start)
            continue
        if not edge.items:
            continue
        if run:
            turning = [at for at in run if tokens[at].text in negating]
            spoilt = bool(turning) and edge.start < len(tokens) and isinstance(edge.items[0], Reading)
            spoilt = spoilt and not any(t.paused for t in tokens[turning[-1] + 1 : edge.start + 1])
            end = edge.end - 1 if spoilt else run[-1]
            items.append(_left(text, tokens, run, end, known, turning))
            run = []
        if edge.start < len(tokens) and not spoilt:
            heard = text[tokens[edge.start].start : tokens[edge.end - 1].end]
            items.extend(_heard(item, heard) for item in edge.items)
        spoilt = False
    return tuple(items)


def _left(
    text: str, tokens: tuple[Token, ...], run: list[int], end: int, known: frozenset[str], turning: list[int]
) -> Rejection:
    heard = text[tokens[run[0]].start : tokens[end].end][:80]
    unknown = [tokens[at].text for at in run if tokens[at].text not in known and not tokens[at].text.isdigit()]
    reason = Reason.OUT_OF_GRAMMAR if unknown or turning else Reason.INCOMPLETE
    detail = " ".join(unknown) or " ".join(tokens[at].text for at in turning or run)
    return Rejection(heard, reason, detail[:80])


def _heard(item: Item, heard: str) -> Item:
    if isinstance(item, Command):
        return replace(item, heard=heard, readings=tuple(replace(r, heard=heard) for r in item.readings))
    return replace(item, text=heard) if isinstance(item, Rejection) else replace(item, heard=heard)
