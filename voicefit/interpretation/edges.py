"""Everything that may have been said, at every place of a text, as edges with weights.

How it works. What a rule matches at a place is an edge: something said, an answer, a command, words passed over, or a
word left over, which costs most. Its weight is the habit of saying it so, what was asked, and the costs below.

Duty: the edges. It must not search a way through them (:mod:`voicefit.interpretation.segment` does).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from voicefit.interpretation.calls import calls_of, likeliest_at_each_end
from voicefit.interpretation.chart import Chart, Match
from voicefit.interpretation.counting import is_taken, refused_places
from voicefit.interpretation.grammar import answers_now
from voicefit.interpretation.mentions import answers_by_itself, is_contrasted, is_in_passing, is_no_reading
from voicefit.interpretation.pieces import PIECE
from voicefit.interpretation.priors import SIDES, asked_for, command_prior
from voicefit.interpretation.readings import combine
from voicefit.interpretation.repairs import ASIDE
from voicefit.interpretation.scene import Edge, Scene
from voicefit.interpretation.tokens import Token, word_set
from voicefit.interpretation.trimming import trimmed
from voicefit.interpretation.turning import Phrase
from voicefit.records import Command, Context, Item, Reading

_ITEM = -4.0  # each thing said: fewer explain the same words better
_PAUSE = -0.7  # a comma or stop inside a command: "no, eighteen"
_PAUSE_INSIDE = -6.0  # inside one thing said
_SKIPPED = -0.4  # a word passed over
_PASSED = -2.2  # one that is not between things said
_ANSWERS = 1.5  # an answer in other words, where its question is open
_NOT_PAUSED = -6.0  # a pause inside what is said not to be: "no, male" corrects, "no washer" denies
_LEFT = -9.0  # a word left over
_REFUSED = -6.0  # understood, and refused (out of range, wrong unit)
_SAME_WORDS = -8.0  # a command over words that are also one thing said: "no o-ring" corrects and answers nothing
_PART = -3.0  # a number or a word passed over that one longer phrase begins with: "six wire spiral", "plain shoulder"
_SECOND = -4.0  # a command over words that are another one sooner
_IS_PRONOUN = -9.0
_PRONOUN, _NO, _CORRECT, _CUTS = "one", "no", "correct", frozenset({"yes", "no", "wrong"})  # "no it's not | a flange"
_NOTS, _OF_A_DENIAL = frozenset({"no", "not", "never", "none"}), word_set("got have any one is there a an")
_SUBJECTS, _IS = frozenset({"it", "there", "this", "that"}), frozenset({"is", "has"})
_ARTICLES = word_set("the a its my your this that what")


def edges(chart: Chart, tokens: tuple[Token, ...], context: Context, scene: Scene) -> Iterator[Edge]:
    """Everything that may have been said, at every place, in order of its start."""
    denials = _denials(chart, tokens)
    refused = refused_places(chart, tokens, scene)
    for start in range(len(tokens)):
        yield Edge(start, start + 1, _LEFT, left=True)
        longest = _longest(chart, start)
        for rule, cost in (("list-skipped", _SKIPPED), ("list-passed", _PASSED)):
            for end, _, weight in chart.match(rule, start):
                alone = (end == len(tokens) or tokens[end].paused) and (start == 0 or tokens[start].paused)  # "out, in"
                part = 2 * _PART if alone else _PART if end < longest else 0.0
                yield Edge(start, end, cost + weight + part * (passed := rule == "list-passed"), passed=passed)
        if _is_addressed(tokens, start, scene):
            yield Edge(start, start + 1, _SKIPPED, passed=True)
        said_of = _grouped(chart.match("reading", start), context)
        denial = _denial(tokens, start, said_of)
        answered: dict[int, float] = {}
        for rule in answers_now(context):
            for end, call, own in chart.match(rule, start):
                if call.name.startswith("no-") and answers_by_itself(tokens, start, end):
                    continue
                weight = _ITEM + _pauses(tokens, start, end) + command_prior(call.name, context) + own
                weight += _ANSWERS if call.name in ("yes", "no", "light-shows") else 0.0
                weight += _SAME_WORDS if end in denial or _reaches_into(denials, start, end) else 0.0
                yield Edge(start, end, weight, (Command(call.name, "", (), call.argument),), fragile=True)
                answered[end] = max(own + command_prior(call.name, context), answered.get(end, -math.inf))
        ends: set[int] = set()
        for (end, *_), phrases in said_of.items():
            if end in answered and context.yes_no and all(phrase.only_if_asked for phrase, _ in phrases):
                continue  # "nothing" says no to a question that yes or no answers
            first = phrases[0][0]
            if is_in_passing(tokens, start, first) or is_contrasted(chart, tokens, start, end, first):
                yield Edge(start, end, _PASSED, passed=True)
                continue
            if is_no_reading(chart, tokens, start, end, first) or (first.open and start in refused):
                continue
            weight = _pauses(tokens, start, end) * _PAUSE_INSIDE / _PAUSE
            denies = any(phrase.denies for phrase, _ in phrases)
            turned = denies or any(phrase.turned for phrase, _ in phrases)
            cuts_a_denial = not any(len(phrase.value) > 1 for phrase, _ in phrases) and _goes_on_denying(
                tokens, start, end
            )
            if denies and (
                cuts_a_denial or _begins_anew(tokens, start, end) or _pauses_before_a_not(tokens, start, end)
            ):
                continue  # "the washer is not | copper"
            weight += _NOT_PAUSED if weight and turned else 0.0  # "thirty degrees, cone | goes in"
            if not (weight and denies):
                ends.add(end)
            edge = _reading_edge(phrases, start, end, weight, context, scene)
            if _counts_on(tokens, end, longest, scene) or (
                edge.open and (denies or not phrases[0][0].turned) and end < longest
            ):
                edge = replace(edge, weight=edge.weight + _PART)  # "length is nine | fifty mil"
            if edge.open and end > start + 1 and tokens[end - 1].text == _PRONOUN and phrases[0][0].turned:
                continue  # "there isn't one" is of no inch
            if edge.open and end == start + 1 and tokens[start].text == _PRONOUN:
                edge = _one(edge, tokens)
                if end == len(tokens) or not is_a_number(tokens[end], scene):
                    yield Edge(start, end, _PASSED, passed=True)
            yield edge
        calls = chart.match("command", start) + (chart.match("spelled", start) if context.spelling else [])
        soonest = likeliest_at_each_end(calls, answered, context, scene)
        for (end, name, argument), matches in calls_of(calls).items():
            weight = _ITEM + _pauses(tokens, start, end) + command_prior(name, context)
            weight += _SECOND if soonest.get(end, name) != name else 0.0
            numbered = name in (ASIDE, PIECE) and argument and _pauses(tokens, start, end)  # "face, | twenty-five"
            if numbered or (name.startswith("no-") and answers_by_itself(tokens, start, end)):
                continue
            cut = end in ends | denial or (name in _CUTS and _reaches_into(denials, start, end))
            denies = name == _CORRECT and tokens[start].text == _NO and denials.get(start, end) < end
            weight += 2 * _SAME_WORDS if denies else 0.0  # "no groove | and no ring"
            weight += _SAME_WORDS if cut and not (context.spelling and name == "spell") else 0.0
            said = [(end, call.phrase, own) for call, own in matches if call.phrase is not None]
            if not said:
                best = max(own for _, own in matches)
                costly, urgent = (any(getattr(call, how) for call, _ in matches) for how in ("costly", "urgent"))
                command = Command(name, "", (), argument)
                yield Edge(start, end, weight + best, (command,), fragile=True, costly=costly, urgent=urgent)
            for phrases in _grouped(said, context).values():
                edge = _reading_edge(phrases, start, end, weight - _ITEM, context, scene)
                goes_on = end < len(tokens) and not tokens[end].paused
                if edge.open and goes_on and tokens[end - 1].text == _PRONOUN:
                    continue  # "that was one | end"
                readings = tuple(item for item in edge.items if isinstance(item, Reading))
                if readings:
                    yield replace(edge, items=(Command(name, "", readings, argument),), fragile=True)


def _longest(chart: Chart, start: int) -> int:
    """Where the longest phrase ends that begins here and can be taken."""
    ends = [end for end, _, _ in chart.match("command", start)]
    ends += [end for end, phrase, _ in chart.match("said", start) if is_taken(phrase)]
    return max(ends, default=start)


def _is_addressed(tokens: tuple[Token, ...], at: int, scene: Scene) -> bool:
    """Whether a word speaks to somebody: "no, mate", and not "the mate of it"."""
    if tokens[at].text not in scene.addressed or tokens[at - 1 if at else 0].text in _ARTICLES:
        return False
    return at == 0 or at + 1 == len(tokens) or tokens[at].paused or tokens[at + 1].paused


def _denial(
    tokens: tuple[Token, ...], start: int, said_of: Mapping[tuple[Any, ...], list[tuple[Phrase, float]]]
) -> set[int]:
    """Where a bare "no" ends that begins to say what is not so: "no washer" denies, and does not answer with one."""
    if tokens[start].text != _NO:
        return set()
    denies = any(
        phrase.denies and not _pauses(tokens, start, key[0])
        for key, phrases in said_of.items()
        for phrase, _ in phrases
    )
    return {start + 1} if denies else set()


def _denials(chart: Chart, tokens: tuple[Token, ...]) -> dict[int, int]:
    """Where something begins that is said not to be so, and where the longest such ends."""
    found: dict[int, int] = {}
    for at in range(len(tokens)):
        denied = [end for end, phrase, _ in chart.match("reading", at) if phrase.denies]
        ends = [end for end in denied if not _pauses(tokens, at, end) and not _begins_anew(tokens, at, end)]
        if ends:
            found[at] = max(ends)
    return found


def _begins_anew(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether something else begins after a "not": "it isn't | it's a flange"."""
    words = [token.text for token in tokens[start:end]]
    return any(
        one in _NOTS and two in _SUBJECTS and three in _IS
        for one, two, three in zip(words, words[1:], words[2:], strict=False)
    )


def _goes_on_denying(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether more is said behind a "not" that only words of its verb follow: "a washer has not got | rubber in it"."""
    if end == len(tokens) or tokens[end].paused:
        return False
    last = max((at for at in range(start, end) if tokens[at].text in _NOTS), default=start)
    return last > start and all(token.text in _OF_A_DENIAL for token in tokens[last + 1 : end])


def _pauses_before_a_not(tokens: tuple[Token, ...], start: int, end: int) -> bool:
    """Whether the "not" is another clause's: "flat face, | there isn't one"."""
    first = next((at for at in range(start, end) if tokens[at].text in _NOTS), start)
    return _pauses(tokens, start, first + 1) != 0


def _reaches_into(denials: Mapping[int, int], start: int, end: int) -> bool:
    """Whether an answer ends amid something denied: "no, it has not | a washer"."""
    return any(start < at < end < denied for at, denied in denials.items())


def _one(edge: Edge, tokens: tuple[Token, ...]) -> Edge:
    """ "One" by itself: a number where it stands alone or a number was asked for, else it points at a thing: "the other
    one", "there's one"."""
    alone = edge.start == 0 or tokens[edge.start].paused
    goes_on = edge.end < len(tokens) and tokens[edge.end].text in _IS  # "one's a ninety"
    is_number = alone and (edge.answer > 0.0 or len(tokens) == 1) and not goes_on
    return edge if is_number else replace(edge, weight=edge.weight + _IS_PRONOUN)


def _grouped(matches: list[Match], context: Context) -> dict[tuple[Any, ...], list[tuple[Phrase, float]]]:
    """Phrases over the same words with the same numbers: one reading, whose options they are."""
    groups: dict[tuple[Any, ...], list[tuple[Phrase, float]]] = {}
    for end, phrase, weight in matches:
        if phrase.only_if_asked and not phrase.only_if_asked & frozenset(context.expected):
            continue
        groups.setdefault((end, len(phrase.items), phrase.value, phrase.corrects), []).append((phrase, weight))
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
            items.append(trimmed(moved))
        else:
            weight += _ITEM + (0.0 if phrase.certain else _REFUSED)
            items.append(item)
    if phrase.corrects and all(isinstance(item, Reading) for item in items):
        items = [Command("correct", "", tuple(item for item in items if isinstance(item, Reading)))]
    weight -= _ITEM * (len(phrase.items) - 1)  # a designation is one thing said
    answer = 0.0 if phrase.denies else max(answer, 0.0)  # "not out, in" answers with the second
    unmoved = tuple(item for item in phrase.items if isinstance(item, Reading)) if phrase.open else ()
    return Edge(
        start,
        end,
        weight,
        tuple(items),
        fragile=bool(phrase.only_if_asked),
        open=phrase.open,
        answer=answer,
        unmoved=unmoved if len(unmoved) == len(items) else (),
    )


def answered_once(tokens: tuple[Token, ...], chain: Sequence[Edge], context: Context, scene: Scene) -> list[Edge]:
    """The same, where a number right behind the answer to the question is not taken for another answer to it, as far
    as it may be something else: "seventeen point nine, one and a half"."""
    found: list[Edge] = []
    expected = context.expected
    for edge in chain:
        behind = bool(found and found[-1].items) and is_a_number(tokens[edge.start], scene)
        if edge.unmoved and behind and len(expected) < len(context.expected):
            left = replace(context, expected=expected)
            moved = (trimmed(scene.priors.in_context(each, left, open_=True)) for each in edge.unmoved)
            edge = replace(edge, items=tuple(moved))
        said = {i.options[0].measurand for i in edge.items if isinstance(i, Reading) and not i.options[0].negated}
        said |= SIDES if said & SIDES else frozenset()
        expected = tuple(measurand for measurand in expected if measurand not in said)
        found.append(edge)
    return found


def _pauses(tokens: tuple[Token, ...], start: int, end: int) -> float:
    return _PAUSE * sum(token.paused for token in tokens[start + 1 : end])


def _counts_on(tokens: tuple[Token, ...], end: int, longest: int, scene: Scene) -> bool:
    """Whether the hundreds that a number may have come right behind it: "nine | fifty"; "fifty two point four | twenty
    six" are two."""
    if end >= longest or end < 2 or not is_a_number(tokens[end - 1], scene) or not is_a_number(tokens[end], scene):
        return False
    return not is_a_number(tokens[end - 2], scene)


def is_a_number(token: Token, scene: Scene) -> bool:
    """Whether a token is a figure or a word of numbers."""
    return token.text[0].isdecimal() or token.text in scene.numbers
