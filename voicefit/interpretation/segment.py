"""A whole text cut into things said: the n best ways, with what was passed over named as rejections.

How it works. Whatever a rule matches at a place is an edge with a weight (:mod:`voicefit.interpretation.edges`). The
best paths of edges through the text are its meanings; what the words left over
do to what stands beside them is decided in :mod:`voicefit.interpretation.leftovers`. Two meanings that would be read
back in the same words are one.

Duty: search over the chart's matches. It must not make values and must not settle what words left over do.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.edges import answered_once, edges, is_a_number
from voicefit.interpretation.leftovers import items_of
from voicefit.interpretation.repairs import repaired
from voicefit.interpretation.restating import restated
from voicefit.interpretation.scene import Edge, Scene
from voicefit.interpretation.swaps import said_before
from voicefit.interpretation.tokens import Token
from voicefit.records import Command, Context, Item, Meaning, Reading, Rejection, item_key, option_key

_LEFT_RUN = -2.0
_CUT = -8.0  # starting inside "ninety-nine" or "1.5"
_SAID_TWICE = -3.0  # the same thing in one breath
_TOUCHING = -4.0  # two numbers side by side of which one is of nothing: "length eight, fifty"
_SPOILT = -3.0  # something said beside a word that may turn it
_SAYS_NOTHING = -7.0  # words passed over and nothing else
_WIDTH = 16  # hypotheses kept at each place
_MOST_MEANINGS = 8
_LEAST_SHARE = 0.004  # of the best meaning's weight


@dataclass(frozen=True, slots=True)
class _Path:
    weight: float
    key: tuple[object, ...]
    edge: Edge | None = None
    before: _Path | None = None
    answered: bool = False


def _cuts(chart: Chart, tokens: tuple[Token, ...], scene: Scene) -> list[float]:
    """What it costs to start something new at each place: what can be one number is one number, also in speech:
    "ninety-nine", "seven hundred and fifty", "one meter fifty"."""
    costs = [0.0] * len(tokens)
    for start, token in enumerate(tokens):
        if start and token.joined and _figure(token) and _figure(tokens[start - 1]):
            costs[start] = _CUT
        for rule in scene.one_number:
            for end, _, _ in chart.match(rule, start):
                for at in range(start + 1, end):
                    costs[at] = _CUT
    return [0.0 if token.paused else cost for token, cost in zip(tokens, costs, strict=True)]


def _figure(token: Token) -> bool:
    return token.text[0].isdecimal() or token.text in "./"


def _worded(item: Item) -> tuple[object, ...]:
    """What makes two items sound the same when they are read back: two readings that are first of all the same."""
    if isinstance(item, Reading):
        return (option_key(item.options[0])[:-1], item.threads_engaged)  # more or less sure of it: still the same
    if isinstance(item, Command):
        return (item.name, item.argument, tuple(map(_worded, item.readings)))
    return item_key(item)


@dataclass(frozen=True, slots=True)
class Read:
    """The meanings of a text, best first; how many of its words nothing took in the best of them."""

    meanings: tuple[Meaning, ...]
    unread: int


def read(text: str, tokens: tuple[Token, ...], chart: Chart, context: Context, scene: Scene) -> Read:
    """The n best meanings of a text with at least one token; weights sum to one."""
    best: list[list[_Path]] = [[] for _ in range(len(tokens) + 1)]
    best[0] = [_Path(0.0, ())]
    waiting: list[dict[tuple[object, ...], _Path]] = [{} for _ in range(len(tokens) + 1)]
    cuts = _cuts(chart, tokens, scene)
    for edge in edges(chart, tokens, context, scene):
        if edge.start and not best[edge.start]:
            best[edge.start] = sorted(waiting[edge.start].values(), key=lambda p: -p.weight)[:_WIDTH]
        added = tuple(item_key(item) for item in edge.items) if not edge.left else (("left", edge.start),)
        number = _begins_with_a_number(tokens, edge, scene)
        for path in best[edge.start]:
            weight = path.weight + edge.weight + cuts[edge.start]
            if number and path.edge and _ends_in_a_number(tokens, path.edge, scene):
                bare = path.edge.open or (edge.open and _ends_in_a_number(tokens, edge, scene))
                weight += _TOUCHING if bare else 0.0
            if added and not edge.left and added[0] in path.key and not _denies(edge):
                weight += _SAID_TWICE
            weight -= edge.answer if path.answered else 0.0
            if edge.left and not (path.edge and path.edge.left):
                weight += _LEFT_RUN
            key = path.key + added
            other = waiting[edge.end].get(key)
            if other is None or other.weight < weight:
                answered = path.answered or edge.answer > 0.0
                waiting[edge.end][key] = _Path(weight, key, edge, path, answered)
    ends = sorted(waiting[len(tokens)].values(), key=_weight_at_end, reverse=True)[:_MOST_MEANINGS]
    found: dict[tuple[object, ...], Meaning] = {}
    unread: dict[tuple[object, ...], int] = {}
    for path in ends:
        chain = answered_once(tokens, _chain(path), context, scene)
        items, spoilt = items_of(text, tokens, chain, chart, scene, context)
        items = restated(repaired(text, said_before(text, items)))
        weight = _weight_at_end(path) + _SPOILT * spoilt
        key = tuple(_worded(item) for item in items)
        if all(isinstance(item, Rejection) for item in items):
            key = ("refused",)
        known = found.get(key)
        unread.setdefault(key, sum(edge.left for edge in chain))
        if known is None:
            found[key] = Meaning(text, items, weight)
        else:
            kept = known if known.log_weight >= weight else Meaning(text, items)
            found[key] = replace(kept, log_weight=log_add(known.log_weight, weight))
    best_key = max(found, key=lambda key: found[key].log_weight)
    return Read(each_once(normalised(list(found.values()))), unread[best_key])


def _denies(edge: Edge) -> bool:
    return any(isinstance(item, Reading) and item.options[0].negated for item in edge.items)


def _begins_with_a_number(tokens: tuple[Token, ...], edge: Edge, scene: Scene) -> bool:
    token = tokens[edge.start]
    return bool(edge.items) and not token.paused and is_a_number(token, scene)


def _ends_in_a_number(tokens: tuple[Token, ...], edge: Edge, scene: Scene) -> bool:
    return bool(edge.items) and is_a_number(tokens[edge.end - 1], scene)


def log_add(a: float, b: float) -> float:
    """The log of the sum of what two logs stand for."""
    return max(a, b) + math.log1p(math.exp(-abs(a - b)))


def _weight_at_end(path: _Path) -> float:
    """Whoever speaks says something: words are not passed over where all of them would be."""
    return path.weight if path.key else path.weight + _SAYS_NOTHING


def _chain(path: _Path) -> list[Edge]:
    chain: list[Edge] = []
    step: _Path | None = path
    while step and step.edge:
        chain.append(step.edge)
        step = step.before
    return chain[::-1]


def normalised(found: list[Meaning]) -> tuple[Meaning, ...]:
    """Best first, hopeless ones left out, weights summing to one."""
    found = sorted(found, key=lambda meaning: -meaning.log_weight)
    top = found[0].log_weight
    kept = [m for m in found if m.log_weight - top > math.log(_LEAST_SHARE)][:_MOST_MEANINGS]
    total = math.log(sum(math.exp(m.log_weight - top) for m in kept)) + top
    return tuple(replace(m, log_weight=m.log_weight - total) for m in kept)


def each_once(meanings: Iterable[Meaning]) -> tuple[Meaning, ...]:
    """Meanings that say the same are one, with the weight of all; best first, weights sum to one."""
    found: dict[tuple[object, ...], Meaning] = {}
    for meaning in meanings:
        key = tuple(map(item_key, meaning.items))
        known = found.get(key)
        if known is None:
            found[key] = meaning
        else:
            found[key] = replace(known, log_weight=log_add(known.log_weight, meaning.log_weight))
    return normalised(list(found.values())) if found else ()
