"""A whole text cut into things said: the n best ways, with what was passed over named as rejections.

How it works. Whatever a rule matches at a place is an edge with a weight: something said, words passed over, or a word
that is left over, which costs most. The best paths of edges through the text are its meanings; what the words left over
do to what stands beside them is decided in :mod:`voicefit.interpretation.leftovers`. Two meanings that would be read
back in the same words are one.

Duty: search over the chart's matches. It must not make values and must not settle what words left over do.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from voicefit.interpretation.chart import Chart, Match
from voicefit.interpretation.grammar import answers_now
from voicefit.interpretation.leftovers import Edge, Scene, items_of
from voicefit.interpretation.priors import asked_for, command_prior
from voicefit.interpretation.readings import Call, combine
from voicefit.interpretation.repairs import repaired
from voicefit.interpretation.tokens import Token
from voicefit.interpretation.turning import Phrase
from voicefit.records import Command, Context, Item, Meaning, Reading, Rejection, item_key, option_key

_ITEM = -4.0  # each thing said: fewer explain the same words better
_PAUSE = -0.7  # a comma or stop inside a command: "no, eighteen"
_PAUSE_INSIDE = -5.0  # inside one thing said
_SKIPPED = -0.4  # a word passed over
_PASSED = -2.2  # one that is not between things said
_ANSWERS = 1.5  # an answer in other words, where its question is open
_NOT_PAUSED = -6.0  # a pause inside what is said not to be: "no, male" corrects, "no washer" denies
_LEFT = -9.0  # a word left over
_LEFT_RUN = -2.0
_REFUSED = -6.0  # understood, and refused (out of range, wrong unit)
_CUT = -8.0  # starting inside "ninety-nine" or "1.5"
_SAME_WORDS = -8.0  # a command over words that are also one thing said: "no o-ring" corrects nothing
_SAID_TWICE = -3.0  # the same thing in one breath
_PRONOUN = "one"
_IS_PRONOUN = -9.0
_TOUCHING = -4.0  # two numbers side by side of which one is of nothing: "length eight, fifty"
_SPOILT = -3.0  # something said beside a word that may turn it
_SAYS_NOTHING = -7.0  # words passed over and nothing else
_WIDTH = 16  # hypotheses kept at each place
_MOST_MEANINGS = 8
_LEAST_SHARE = 0.004  # of the best meaning's weight
_LEAST_OPTION = -5.0


@dataclass(frozen=True, slots=True)
class _Path:
    weight: float
    key: tuple[object, ...]
    edge: Edge | None = None
    before: _Path | None = None
    answered: bool = False


def edges(chart: Chart, tokens: tuple[Token, ...], context: Context, scene: Scene) -> Iterator[Edge]:
    """Everything that may have been said, at every place, in order of its start."""
    for start in range(len(tokens)):
        yield Edge(start, start + 1, _LEFT, left=True)
        for rule, cost in (("list-skipped", _SKIPPED), ("list-passed", _PASSED)):
            for end, _, weight in chart.match(rule, start):
                yield Edge(start, end, cost + weight, passed=rule == "list-passed")
        answered: set[int] = set()
        for rule in answers_now(context):
            for end, call, own in chart.match(rule, start):
                weight = _ITEM + _pauses(tokens, start, end) + command_prior(call.name, context) + own
                weight += _ANSWERS if call.name in ("yes", "no") else 0.0
                yield Edge(start, end, weight, (Command(call.name, "", (), call.argument),), fragile=True)
                answered.add(end)
        ends: set[int] = set()
        for (end, *_), phrases in _grouped(chart.match("reading", start), context).items():
            if end in answered and context.yes_no and all(phrase.only_if_asked for phrase, _ in phrases):
                continue  # "nothing" says no to a question that yes or no answers
            weight = _pauses(tokens, start, end) * _PAUSE_INSIDE / _PAUSE
            if weight and any(phrase.turned for phrase, _ in phrases):
                weight += _NOT_PAUSED
            else:
                ends.add(end)
            edge = _reading_edge(phrases, start, end, weight, context, scene)
            if edge.open and end > start + 1 and tokens[end - 1].text == _PRONOUN and phrases[0][0].turned:
                edge = replace(edge, weight=edge.weight + _IS_PRONOUN)  # "there isn't one"
            if edge.open and end == start + 1 and tokens[start].text == _PRONOUN:
                edge = _one(edge, tokens, context)
                if end == len(tokens) or not _is_a_number(tokens[end], scene):
                    yield Edge(start, end, _PASSED, passed=True)
            yield edge
        calls = chart.match("command", start) + (chart.match("spelled", start) if context.spelling else [])
        for (end, name, argument), matches in _calls(calls).items():
            weight = _ITEM + _pauses(tokens, start, end) + command_prior(name, context)
            weight += _SAME_WORDS if end in ends and not (context.spelling and name == "spell") else 0.0
            said = [(end, call.phrase, own) for call, own in matches if call.phrase is not None]
            if not said:
                best = max(own for _, own in matches)
                costly = any(call.costly for call, _ in matches)
                command = Command(name, "", (), argument)
                yield Edge(start, end, weight + best, (command,), fragile=True, costly=costly)
            for phrases in _grouped(said, context).values():
                edge = _reading_edge(phrases, start, end, weight - _ITEM, context, scene)
                readings = tuple(item for item in edge.items if isinstance(item, Reading))
                if readings:
                    yield replace(edge, items=(Command(name, "", readings, argument),), fragile=True)


def _one(edge: Edge, tokens: tuple[Token, ...], context: Context) -> Edge:
    """ "One" by itself: a number where it stands alone or a number was asked for, else it points at a thing: "the other
    one", "there's one"."""
    alone = edge.start == 0 or tokens[edge.start].paused
    is_number = alone and (edge.answer > 0.0 or len(tokens) == 1)
    return edge if is_number else replace(edge, weight=edge.weight + _IS_PRONOUN)


def _grouped(matches: list[Match], context: Context) -> dict[tuple[Any, ...], list[tuple[Phrase, float]]]:
    """Phrases over the same words with the same numbers: one reading, whose options they are."""
    groups: dict[tuple[Any, ...], list[tuple[Phrase, float]]] = {}
    for end, phrase, weight in matches:
        if phrase.only_if_asked and not phrase.only_if_asked & frozenset(context.expected):
            continue
        groups.setdefault((end, len(phrase.items), phrase.value, phrase.corrects), []).append((phrase, weight))
    return groups


def _calls(matches: list[Match]) -> dict[tuple[int, str, str | None], list[tuple[Call, float]]]:
    groups: dict[tuple[int, str, str | None], list[tuple[Call, float]]] = {}
    for end, call, weight in matches:
        groups.setdefault((end, call.name, call.argument), []).append((call, weight))
    return groups


def _reading_edge(
    phrases: list[tuple[Phrase, float]], start: int, end: int, weight: float, context: Context, scene: Scene
) -> Edge:
    phrase = combine(phrases)
    weight += max(own for _, own in phrases)
    items: list[Item] = []
    answer = 0.0
    for item in phrase.items:
        if isinstance(item, Reading):
            moved = scene.priors.in_context(item, context, open_=phrase.open)
            own, best = (max(option.log_prior for option in each.options) for each in (item, moved))
            asked = asked_for(item, context)
            answer += best - own + asked if asked else 0.0
            weight += _ITEM + best + asked
            items.append(_trim(moved))
        else:
            weight += _ITEM + (0.0 if phrase.certain else _REFUSED)
            items.append(item)
    if phrase.corrects and all(isinstance(item, Reading) for item in items):
        items = [Command("correct", "", tuple(item for item in items if isinstance(item, Reading)))]
    weight -= _ITEM * (len(phrase.items) - 1)  # a designation is one thing said
    fragile = bool(phrase.only_if_asked)
    return Edge(start, end, weight, tuple(items), fragile=fragile, open=phrase.open, answer=max(answer, 0.0))


def _trim(reading: Reading) -> Reading:
    """Options best first, priors relative to the best, hopeless ones left out."""
    best = max(option.log_prior for option in reading.options)
    kept = [
        replace(option, log_prior=round(option.log_prior - best, 6))
        for option in reading.options
        if option.log_prior - best > _LEAST_OPTION
    ]
    return replace(reading, options=tuple(sorted(kept, key=lambda option: -option.log_prior)))


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


def _pauses(tokens: tuple[Token, ...], start: int, end: int) -> float:
    return _PAUSE * sum(token.paused for token in tokens[start + 1 : end])


def _worded(item: Item) -> tuple[object, ...]:
    """What makes two items sound the same when they are read back: two readings that are first of all the same."""
    if isinstance(item, Reading):
        return (option_key(item.options[0])[:-1], item.threads_engaged)  # more or less sure of it: still the same
    if isinstance(item, Command):
        return (item.name, item.argument, tuple(map(_worded, item.readings)))
    return item_key(item)


def meanings(text: str, tokens: tuple[Token, ...], chart: Chart, context: Context, scene: Scene) -> tuple[Meaning, ...]:
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
            if added and not edge.left and added[0] in path.key:
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
    for path in ends:
        items, spoilt = items_of(text, tokens, _chain(path), chart, scene, context)
        items = repaired(items)
        weight = _weight_at_end(path) + _SPOILT * spoilt
        key = tuple(_worded(item) for item in items)
        if all(isinstance(item, Rejection) for item in items):
            key = ("refused",)
        known = found.get(key)
        if known is None:
            found[key] = Meaning(text, items, weight)
        else:
            kept = known if known.log_weight >= weight else Meaning(text, items)
            found[key] = replace(kept, log_weight=log_add(known.log_weight, weight))
    return normalised(list(found.values()))


def _begins_with_a_number(tokens: tuple[Token, ...], edge: Edge, scene: Scene) -> bool:
    token = tokens[edge.start]
    return bool(edge.items) and not token.paused and _is_a_number(token, scene)


def _ends_in_a_number(tokens: tuple[Token, ...], edge: Edge, scene: Scene) -> bool:
    return bool(edge.items) and _is_a_number(tokens[edge.end - 1], scene)


def _is_a_number(token: Token, scene: Scene) -> bool:
    return token.text[0].isdecimal() or token.text in scene.numbers


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
