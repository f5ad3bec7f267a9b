"""A whole text cut into things said: the n best ways, with what was passed over named as rejections.

Duty: search over the chart's matches. It must not make values and must not silently drop a word that could turn
a meaning round.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from voicefit.interpretation.chart import Chart, Match
from voicefit.interpretation.priors import Priors, asked_for, command_prior
from voicefit.interpretation.readings import Call, Phrase, combine
from voicefit.interpretation.tokens import Token
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Reading, Reason, Rejection

_ITEM = -4.0  # each thing said: fewer explain the same words better
_PAUSE = -0.7  # a comma or stop inside one thing said
_SKIPPED = -0.4  # a word passed over
_LEFT = -9.0  # a word left over
_LEFT_RUN = -2.0
_REFUSED = -6.0  # understood, and refused (out of range, wrong unit)
_CUT = -8.0  # starting inside "ninety-nine" or "1.5"
_SAME_WORDS = -3.0  # a command over words that are also one thing said: "no o-ring" corrects nothing
_QUESTION = frozenset({"why", "what", "which", "how"})
_WIDTH = 16  # hypotheses kept at each place
_QUOTED = 80  # letters
_MOST_MEANINGS = 8
_LEAST_SHARE = 0.004  # of the best meaning's weight
_LEAST_OPTION = -5.0


@dataclass(frozen=True, slots=True)
class Edge:
    start: int
    end: int
    weight: float
    items: tuple[Item, ...] = ()
    left: bool = False  # words that nothing took
    fragile: bool = False  # a command, or a number alone: any word that touches it may say otherwise
    answer: float = 0.0  # part of the weight: that it answers the question; a question is answered once


@dataclass(frozen=True, slots=True)
class Scene:
    """What the search knows of the grammar: all its words, those that turn a meaning round, the words of numbers and
    units, those of numbers alone, and how likely things are to be said. ``one_number`` : rules of what is
    one number."""

    known: frozenset[str]
    negating: frozenset[str]
    numeric: frozenset[str]
    numbers: frozenset[str]
    priors: Priors
    one_number: tuple[str, ...] = ()


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
        for end, _, weight in chart.match("list-skipped", start):
            yield Edge(start, end, _SKIPPED + weight)
        ends: set[int] = set()
        for (end, *_), phrases in _grouped(chart.match("reading", start), context).items():
            ends.add(end)
            weight = _pauses(tokens, start, end)
            yield _reading_edge(phrases, start, end, weight, context, scene)
        calls = chart.match("command", start) + (chart.match("answer", start) if context.misfit else [])
        calls += chart.match("spelled", start) if context.spelling else []
        for (end, name, argument), matches in _calls(calls).items():
            weight = _ITEM + _pauses(tokens, start, end) + command_prior(name, context)
            weight += _SAME_WORDS if end in ends and not (context.spelling and name == "spell") else 0.0
            said = [(end, call.phrase, own) for call, own in matches if call.phrase is not None]
            if not said:
                best = max(own for _, own in matches)
                yield Edge(start, end, weight + best, (Command(name, "", (), argument),), fragile=True)
            for phrases in _grouped(said, context).values():
                edge = _reading_edge(phrases, start, end, weight - _ITEM, context, scene)
                readings = tuple(item for item in edge.items if isinstance(item, Reading))
                if readings:
                    yield replace(edge, items=(Command(name, "", readings, argument),), fragile=True)


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
    return Edge(start, end, weight, tuple(items), fragile=phrase.open, answer=max(answer, 0.0))


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


def item_key(item: Item) -> tuple[object, ...]:
    """What makes two items the same, whatever words said them."""
    if isinstance(item, Reading):
        return (frozenset((o.measurand, o.value, o.negated) for o in item.options), item.threads_engaged)
    if isinstance(item, Command):
        return (item.name, item.argument, tuple(item_key(reading) for reading in item.readings))
    return (item.reason, item.detail or item.text)


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
        for path in best[edge.start]:
            weight = path.weight + edge.weight + cuts[edge.start]
            weight -= edge.answer if path.answered else 0.0
            if edge.left and not (path.edge and path.edge.left):
                weight += _LEFT_RUN
            key = path.key + added
            other = waiting[edge.end].get(key)
            if other is None or other.weight < weight:
                answered = path.answered or edge.answer > 0.0
                waiting[edge.end][key] = _Path(weight, key, edge, path, answered)
    ends = sorted(waiting[len(tokens)].values(), key=lambda p: -p.weight)[:_MOST_MEANINGS]
    found: dict[tuple[object, ...], Meaning] = {}
    for path in ends:
        items = _items(text, tokens, path, chart, scene)
        if not items or _is_a_question_not_understood(tokens, items):  # nothing but words passed over
            items = (Rejection(quoted(text), Reason.OUT_OF_GRAMMAR, quoted(text)),)
        key = tuple(item_key(item) for item in items)
        if key not in found:
            found[key] = Meaning(text, items, path.weight)
    return normalised(list(found.values()))


def _is_a_question_not_understood(tokens: tuple[Token, ...], items: tuple[Item, ...]) -> bool:
    """Whoever asks states nothing: "why not the metric port" is no port, and not "not metric"."""
    in_one = not any(token.paused for token in tokens[1:])
    return tokens[0].text in _QUESTION and in_one and not all(isinstance(item, Command) for item in items)


def normalised(found: list[Meaning]) -> tuple[Meaning, ...]:
    """Best first, hopeless ones left out, weights summing to one."""
    found = sorted(found, key=lambda meaning: -meaning.log_weight)
    top = found[0].log_weight
    kept = [m for m in found if m.log_weight - top > math.log(_LEAST_SHARE)][:_MOST_MEANINGS]
    total = math.log(sum(math.exp(m.log_weight - top) for m in kept)) + top
    return tuple(replace(m, log_weight=m.log_weight - total) for m in kept)


def _items(text: str, tokens: tuple[Token, ...], path: _Path, chart: Chart, scene: Scene) -> tuple[Item, ...]:
    """The items of a path, with their texts; runs of left words as rejections."""
    chain: list[Edge] = []
    step: _Path | None = path
    while step and step.edge:
        chain.append(step.edge)
        step = step.before
    items: list[Item] = []
    edges_left = [edge for edge in reversed(chain) if edge.items or edge.left]
    at = 0
    while at < len(edges_left):
        if not edges_left[at].left and not _spoilt(tokens, edges_left, at, scene):
            edge = edges_left[at]
            heard = text[tokens[edge.start].start : tokens[edge.end - 1].end]
            items.extend(_heard(item, heard) for item in edge.items)
            at += 1
            continue
        run = [edges_left[at]]
        while at + len(run) < len(edges_left):
            more = edges_left[at + len(run)]
            if not more.left and not _spoilt(tokens, edges_left, at + len(run), scene):
                break
            run.append(more)
        items.append(_left(text, tokens, run, chart, scene))
        at += len(run)
    return tuple(items)


def _spoilt(tokens: tuple[Token, ...], chain: list[Edge], at: int, scene: Scene) -> bool:
    """Whether words left over beside a reading may change it: "not" before it, or a word that touches its number."""
    edge = chain[at]
    if edge.left or isinstance(edge.items[0], Rejection):
        return False
    before = at
    while before and chain[before - 1].left and not tokens[chain[before].start].paused:
        before -= 1
        if tokens[chain[before].start].text in scene.negating:
            return True
    touching = [chain[at - 1].end - 1] if at and chain[at - 1].left and not tokens[edge.start].paused else []
    if at + 1 < len(chain) and chain[at + 1].left and not tokens[chain[at + 1].start].paused:
        touching.append(chain[at + 1].start)
    if edge.fragile:
        return bool(touching)
    first = edge.items[0]
    if not isinstance(first, Reading):
        return False
    if not any(isinstance(option.value, Quantity) for option in first.options):
        return bool(touching)  # "it is in stock" does not say that the seat is in
    if touching and touching[-1] == edge.end and _in(tokens[edge.end - 1], scene.numbers):
        return _in(tokens[edge.end], scene.numeric) or tokens[edge.end].text not in scene.known  # "nine thirds"
    return any(_in(tokens[place], scene.numeric) for place in touching)


def _in(token: Token, words: frozenset[str]) -> bool:
    return token.text[0].isdecimal() or token.text in words


def _left(text: str, tokens: tuple[Token, ...], run: list[Edge], chart: Chart, scene: Scene) -> Rejection:
    """What was left over, as one rejection: incomplete where its number is missing, else not understood, with the words
    that are unknown or turn a meaning round, if there are such."""
    start, end = run[0].start, run[-1].end
    heard = quoted(text[tokens[start].start : tokens[end - 1].end])
    words = [tokens[edge.start].text for edge in run if edge.left]
    unknown = [word for word in words if word not in scene.known and not word.isdecimal()]
    turning = [word for word in words if word in scene.negating]
    if not unknown and not turning and chart.awaits("said", start, end):
        return Rejection(heard, Reason.INCOMPLETE, heard)
    return Rejection(heard, Reason.OUT_OF_GRAMMAR, quoted(" ".join(unknown or turning)) or heard)


def quoted(text: str) -> str:
    """As much of a text as a rejection carries, without what cannot be printed."""
    return "".join(letter if letter.isprintable() else " " for letter in text[:_QUOTED]).strip()


def _heard(item: Item, heard: str) -> Item:
    if isinstance(item, Command):
        return replace(item, heard=heard, readings=tuple(replace(r, heard=heard) for r in item.readings))
    return replace(item, text=heard) if isinstance(item, Rejection) else replace(item, heard=heard)
