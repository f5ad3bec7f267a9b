"""Which things said are spoilt by the words left over beside them.

How it works. A word that nothing took may say otherwise. So beside each thing said, up to the next pause or "and" or
"but", the words left over are looked at:

- a weighty word (``[weighty]`` in ``words.toml``: not, or, was, other, need ...) spoils it, on either side;
- a number or a unit that touches a quantity spoils it, and so does an unknown word right behind a number ("nine
  thirds");
- a noun, a quality or a number alone is spoilt by what somebody did with it ("I ordered a flange");
- a noun or a quality is spoilt by a word right behind it, which would be what it is really about ("nut driver"); not by
  where it came from ("a nut off a press");
- a whole number alone ("one", "twelve") is spoilt by any word, unless such a number was asked for; and a command, or a
  word that means something only as an answer ("in"), is spoilt by any word; but not a cry for help.

A "no" that would answer or correct does neither within something told ("it no have | a washer"), and then it is a word
left over itself. Of numbers that are another thing's see :mod:`voicefit.interpretation.counting`.

Duty: this judgement. It must not make or change what was said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from voicefit.interpretation.asking import PERSONS
from voicefit.interpretation.counting import (
    goes_on_counting,
    is_a_number_of_another,
    is_a_plain_number,
    is_half_of_a_number,
    is_loosely_of_a_hose,
    is_one_of,
)
from voicefit.interpretation.scene import Edge, Scene
from voicefit.interpretation.tokens import Token, word_set
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Measurand, Reading, Rejection

_HELPING = frozenset({"have", "has", "had", "just", "only", "already", "once", "am", "are", "will", "would"})
_ARTICLES = frozenset({"the", "a", "an", "this", "that", "its", "my"})
_JOINTS = frozenset({"and", "but", "then"})
_HANDLING = frozenset({"undo", "cancel", "back", "next", "stop"})  # commands that are also done to a thing
_ANSWERS = frozenset({"yes", "no", "cannot-tell"})
_NAMING = frozenset({"one-end", "both-ends", "other-end"})  # what stands right behind them is said of that end
_IS = frozenset({"is", "has", "was", "takes"})
_IT = frozenset({"it", "that", "this", "one"})
_SOUGHT = frozenset({"find", "see", "feel", "reach", "get", "read", "check", "measure"})  # what somebody cannot do
_NOES = frozenset({"no", "not", "nope", "nah"})
# a "no" after one of these begins anew
_BEFORE_AN_ANSWER = word_set("well oh so and but ok okay right then now yes say sorry wait hey please")
_KNOWING = frozenset({"know", "see", "say", "mean", "believe", "reckon"})  # what is not done to a thing
ELSEWHERE = word_set(
    "floor ground bench shelf bin van truck toolbox drawer yard shop pocket bucket box bag kit packet set catalogue"
)
_GAUGED = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE, Measurand.FLANK_ANGLE})
_MEASURED = word_set("hex hexagon spanner wrench flats")
_FOR, _HAD_TO = "for", ["had", "to"]
_TOPICS = (("the", "seat"), ("seat",))
_FEW_LEFT = 2  # words beside an answer


def all_spoilt(tokens: Sequence[Token], chain: Sequence[Edge], scene: Scene, context: Context) -> list[bool]:
    """Which things said are spoilt. A command that is spoilt is words left over itself: "no way that's a banjo"."""
    spoilt = [False] * len(chain)
    while True:
        words = [
            replace(edge, items=(), left=True) if bad and isinstance(edge.items[0], Command) else edge
            for edge, bad in zip(chain, spoilt, strict=True)
        ]
        found = [
            was or _spoilt(tokens, words, at, scene, context) or goes_on_counting(tokens, chain, at, spoilt, scene)
            for at, was in enumerate(spoilt)
        ]
        if found == spoilt:
            return spoilt
        spoilt = found


def _beside(
    tokens: Sequence[Token], chain: Sequence[Edge], at: int, step: int, *, passed: bool = False
) -> Iterator[int]:
    """The words left over beside an edge, nearest first, up to a pause, a joint or something else said; ``passed`` :
    also those that carry nothing."""
    while 0 <= at + step < len(chain):
        later = max(at, at + step)
        if tokens[chain[later].start].paused:
            return
        at += step
        edge = chain[at]
        if edge.items:
            return
        if edge.left or (passed and edge.passed):
            yield from range(edge.start, edge.end)[::step]
        elif any(token.text in _JOINTS for token in tokens[edge.start : edge.end]):
            return


def _spoilt(tokens: Sequence[Token], chain: Sequence[Edge], at: int, scene: Scene, context: Context) -> bool:
    """Whether words left over beside something said may change it."""
    edge = chain[at]
    if not edge.items or isinstance(edge.items[0], Rejection):
        return False
    first = edge.items[0]
    if _is_taken_back(tokens, chain, at):
        return True
    if isinstance(first, Command) and _is_a_thing(tokens, edge, first):
        return True
    before, after = (list(_beside(tokens, chain, at, step, passed=edge.costly)) for step in (-1, 1))
    if isinstance(first, Reading) and at and _follows_a_command(tokens, chain, at):
        return True
    if _goes_over_into_a_denial(tokens, chain, at) or _is_a_no_within(tokens, chain, at):
        return True
    if is_a_number_of_another(tokens, chain, at, scene):
        return True
    if isinstance(first, Reading) and (
        is_loosely_of_a_hose(tokens, edge, first, context) or is_half_of_a_number(tokens, edge, scene, context)
    ):
        return True
    named = isinstance(first, Reading) and not any(isinstance(o.value, Quantity) for o in first.options)
    if named and (_is_for(tokens, edge) or _is_a_topic(tokens, edge)):
        return True
    if not before and not after:
        return False
    if any(tokens[place].text in scene.weighty for place in (*before, *after)):
        return True
    if edge.urgent:
        return False
    gauged = isinstance(first, Reading) and not first.measurands.isdisjoint(_GAUGED) and not first.options[0].negated
    if gauged and any(tokens[place].text in scene.gaps for place in (*before, *after)):
        return True  # how the gauge lay was not understood
    if gauged and after and tokens[edge.end].text in _IS:
        return True  # "the eighteen leaf | is snapped"
    if edge.costly and edge.end < len(tokens) and not tokens[edge.end].paused and tokens[edge.end].text in _IS:
        return True  # "the other end | is thirty"
    if edge.open and any(tokens[place].text in _MEASURED for place in before):
        return True  # "the hex on it is seven eighths"
    if edge.fragile or not isinstance(first, Reading):
        return True
    if before and _is_of_another(tokens, edge, before[0]):
        return True
    if (named or edge.open) and any(_is_done_by_a_person(tokens, place) for place in before):
        return True
    elsewhere = any(tokens[place].text in ELSEWHERE for place in after)
    if elsewhere and first.measurands != {Measurand.COUNTRY}:
        return True  # "there's a washer on the floor"
    touches = after[:1] == [edge.end]
    if edge.open and sum(tokens[place].text not in scene.known for place in (*before, *after)) >= _FEW_LEFT:
        return True  # "the shop opens at eleven"
    if named:
        return touches and not _tells_where_from(tokens, edge.end)
    of_anything = edge.open and len(first.measurands) > 1 and not _answers(first, context)
    if of_anything and (touches or all(map(is_a_plain_number, first.options))):
        return True
    if touches and is_one_of(tokens[edge.end - 1], scene.numbers) and tokens[edge.end].text not in scene.known:
        return not _answers(first, context) or len(before) + len(after) > _FEW_LEFT  # "nineteen blokes on the crew"
    if edge.open and any(is_one_of(tokens[place], scene.numeric) for place in after[1:2]):
        return True  # "forty odd degrees"
    near = [
        place
        for place in (before[:1] == [edge.start - 1] and edge.start - 1, touches and edge.end)
        if place is not False
    ]
    return any(is_one_of(tokens[place], scene.numeric) for place in near)


def _is_a_thing(tokens: Sequence[Token], edge: Edge, command: Command) -> bool:
    """Whether a word that calls something is a thing, a place or what was done: "I'm on my | back", "it's | next | to
    it", "had to | wipe it"."""
    if edge.start > 1 and not tokens[edge.start].paused and _texts(tokens[edge.start - 2 : edge.start]) == _HAD_TO:
        return True
    if command.name == "next" and edge.end < len(tokens) and tokens[edge.end].text == "to":
        return True
    behind = edge.start > 0 and not tokens[edge.start].paused and tokens[edge.start - 1].text in _ARTICLES
    return behind and edge.end == edge.start + 1 and command.name in _HANDLING


def _texts(tokens: Sequence[Token]) -> list[str]:
    return [token.text for token in tokens]


def _tells_where_from(tokens: Sequence[Token], at: int) -> bool:
    """Whether what follows only says where it came from: "a stud out of a loader valve"."""
    words = [token.text for token in tokens[at : at + 3]]
    return (words[:1] in (["off"], ["from"]) and words[1:2] != ["of"]) or words[:2] in (["out", "of"], ["off", "of"])


def _goes_over_into_a_denial(tokens: Sequence[Token], chain: Sequence[Edge], at: int) -> bool:
    """Whether a command is the beginning of something denied: "I know it's | not a banjo"."""
    first = chain[at].items[0]
    if not isinstance(first, Command) or first.name in _ANSWERS or at + 1 == len(chain):
        return False
    after = chain[at + 1]
    denied = any(isinstance(item, Reading) and item.options[0].negated for item in after.items)
    return denied and not tokens[after.start].paused


def _is_a_no_within(tokens: Sequence[Token], chain: Sequence[Edge], at: int) -> bool:
    """Whether a "no" that would answer or correct stands within something told: "it no have | a washer"."""
    edge = chain[at]
    first, goes_on = edge.items[0], edge.end < len(tokens) and not tokens[edge.end].paused
    if not isinstance(first, Command) or first.name not in ("no", "correct") or tokens[edge.start].paused:
        return False
    if tokens[edge.start].text not in _NOES or (first.name == "no" and not goes_on):
        return False
    before = chain[at - 1] if at else None
    return before is not None and not before.items and tokens[before.end - 1].text not in _BEFORE_AN_ANSWER


def _is_taken_back(tokens: Sequence[Token], chain: Sequence[Edge], at: int) -> bool:
    """Whether a "no" follows on something said without a pause, or is that "no": "twenty's no good"."""
    if _is_no(chain[at]):
        before = [edge for edge in chain[:at] if edge.items][-1:]
        return not tokens[chain[at].start].paused and any(isinstance(edge.items[0], Reading) for edge in before)
    after = next((edge for edge in chain[at + 1 :] if edge.items), None)
    is_said = isinstance(chain[at].items[0], Reading)
    return is_said and after is not None and _is_no(after) and not tokens[after.start].paused


def _is_no(edge: Edge) -> bool:
    return bool(edge.items) and isinstance(edge.items[0], Command) and edge.items[0].name == "no"


def _is_of_another(tokens: Sequence[Token], edge: Edge, left: int) -> bool:
    """Whether what was said is only told of: "the size of the o-ring" is a size."""
    between = [token.text for token in tokens[left + 1 : edge.start]]
    return "of" in between and all(word in _ARTICLES for word in between if word != "of")


def _is_done_by_a_person(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word left over is what somebody did: "I ordered a flange" is no flange in hand."""
    while at > 0 and tokens[at - 1].text in _HELPING:
        at -= 1
    return at > 0 and tokens[at - 1].text in PERSONS and tokens[at].text not in _KNOWING


def _follows_a_command(tokens: Sequence[Token], chain: Sequence[Edge], at: int) -> bool:
    """Whether something stands right behind a command that it might be about: "next one" is no inch, and "undo the nut"
    no nut."""
    before = at - 1
    while before > 0 and not (chain[before].items or chain[before].left):
        before -= 1
    said = chain[before].items
    if not said or not isinstance(said[0], Command):
        return False
    if any(token.paused for token in tokens[chain[before].end : chain[at].start + 1]):
        return False
    sought = [token.text for token in tokens[chain[before].start : chain[before].end] if token.text not in _IT]
    if sought[-1:] and sought[-1] in _SOUGHT:
        return True  # "I can't find | the nineteen leaf"
    return said[0].name not in _ANSWERS | _NAMING if chain[at].open else said[0].name in _HANDLING


def _is_a_topic(tokens: Sequence[Token], edge: Edge) -> bool:
    """Whether a clause of its own only names what was spoken of: "it's damaged, the seat"."""
    start = edge.start - (not tokens[edge.start].paused and edge.start > 0)
    ends = edge.end == len(tokens) or tokens[edge.end].paused
    return start > 0 and tokens[start].paused and ends and tuple(t.text for t in tokens[start : edge.end]) in _TOPICS


def _is_for(tokens: Sequence[Token], edge: Edge) -> bool:
    """Whether what is named would only go there: "there's room for a washer"."""
    at = edge.start
    while at > 0 and not tokens[at].paused and tokens[at - 1].text in _ARTICLES:
        at -= 1
    return at > 0 and not tokens[at].paused and tokens[at - 1].text == _FOR


def _answers(reading: Reading, context: Context) -> bool:
    return any(option.measurand in context.expected for option in reading.options)
