"""What is done with the words that nothing took.

How it works. People say more than they mean: "well I've got what looks like a male here". Words that carry nothing are
passed over without a word. But a word left over may say otherwise. What that spoils
(:mod:`voicefit.interpretation.spoiling`) is rejected by itself, with the words in the way as its detail, and all else
is kept. Words left over that are beside nothing, hold a number, or are weighty, are named too; all others are not
complained of where something was taken. Whoever asks a question states nothing.

Duty: this. It must not search and must not make values.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation.asking import asks, asks_of
from voicefit.interpretation.chart import Chart
from voicefit.interpretation.counting import is_one_of
from voicefit.interpretation.loosening import perhaps
from voicefit.interpretation.scene import Edge, Scene
from voicefit.interpretation.spoiling import all_spoilt
from voicefit.interpretation.tokens import Token, word_set
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Reading, Reason, Rejection

_TELL = frozenset({"correct", "yes", "no"})  # commands that say how something is
_QUOTED = 80  # letters
_SUBJECTS = frozenset({"it", "that", "this", "there", "they"})
_IS = frozenset({"is", "has", "are", "was"})
_THINGS = word_set("ring rings thread threads pipe hose seat nut cone collar washer stud end through on in")
_SIDES = frozenset({"outside", "inside"})


def items_of(
    text: str, tokens: Sequence[Token], chain: Sequence[Edge], chart: Chart, scene: Scene, context: Context
) -> tuple[tuple[Item, ...], int]:
    """The items of a path of edges, with their texts, at least one; and how many things said came to nothing.

    Of an edge one of four holds: its items are taken; they are spoilt by what stands around it; no phrase took its
    words (``left``); or its words carry nothing and are passed over. What is spoilt or left up to the next edge that is
    taken is one rejection, where it tells anything. A question states nothing: then all that it says comes to nothing.
    """
    whole = (Rejection(quoted(text), Reason.OUT_OF_GRAMMAR, quoted(text)),)
    spoilt = all_spoilt(tokens, chain, scene, context)
    takes = [bool(edge.items) and not bad for edge, bad in zip(chain, spoilt, strict=True)]
    items: list[Item] = []
    at = 0
    while at < len(chain):
        edge = chain[at]
        if takes[at]:
            heard = text[tokens[edge.start].start : tokens[edge.end - 1].end]
            told = (
                [perhaps(item, scene.perhaps) for item in edge.items] if _is_told_of(tokens, chain, at) else edge.items
            )
            items.extend(_heard(item, heard) for item in told)
        if takes[at] or not (edge.left or spoilt[at]):
            at += 1
            continue
        run = [at]
        for more in range(at + 1, len(chain)):
            if takes[more]:
                break
            if chain[more].left or spoilt[more]:
                run.append(more)
        left = [chain[place] for place in run]
        follows = _goes_on(tokens, chain, takes, run[-1] + 1)
        if any(spoilt[place] for place in run) or not any(takes) or _tells(tokens, left, chart, scene, follows):
            items.append(_rejection(text, tokens, left, chart, scene))
        at = run[-1] + 1
    stated = [item for item in items if not isinstance(item, Command) or item.name in ("yes", "no")]
    if not items or ((asks(tokens) or asks_of(tokens, chain, takes)) and stated):
        return whole, sum(spoilt) + len(stated)
    return tuple(items), sum(spoilt)


def _is_told_of(tokens: Sequence[Token], chain: Sequence[Edge], at: int) -> bool:
    """Whether words that nothing took introduce a whole clause, so that nobody knows how sure it is: "the odds
    are | it's metric"."""
    start = chain[at].start
    while at > 0 and chain[at - 1].passed and not tokens[start].paused:
        at -= 1
        start = chain[at].start
    clause = tokens[start].text in _SUBJECTS and start + 1 < len(tokens) and tokens[start + 1].text in _IS
    return clause and at > 0 and chain[at - 1].left and not tokens[start].paused


def _goes_on(tokens: Sequence[Token], chain: Sequence[Edge], takes: Sequence[bool], at: int) -> bool:
    """Whether something taken comes next, but for words passed over, without a pause."""
    while at < len(chain) and not tokens[chain[at].start].paused:
        if takes[at] or chain[at].left:
            return takes[at]
        at += 1
    return False


def _tells(tokens: Sequence[Token], left: Sequence[Edge], chart: Chart, scene: Scene, follows: bool) -> bool:
    """Whether words left over may have been meant to say something; ``follows`` : what was taken begins where they end,
    so that no number of theirs is missing."""
    words = [tokens[edge.start] for edge in left]
    if any(word.text in scene.weighty | _SIDES or is_one_of(word, scene.numbers) for word in words):
        return True
    return not follows and chart.awaits("said", left[0].start, left[-1].end)


def _rejection(text: str, tokens: Sequence[Token], run: Sequence[Edge], chart: Chart, scene: Scene) -> Rejection:
    """What was left over, as one rejection: incomplete where its number is missing, else not understood, with the words
    that are unknown or weighty, if there are such."""
    start, end = run[0].start, run[-1].end
    heard = quoted(text[tokens[start].start : tokens[end - 1].end])
    words = [tokens[edge.start].text for edge in run if edge.left]
    unknown = [word for word in words if word not in scene.known and not word.isdecimal()]
    weighty = [word for word in words if word in scene.weighty]
    named = {tokens[edge.start].text for edge in run} <= _THINGS  # of which more may be told than a number
    if not unknown and not weighty and not named and chart.awaits("said", start, end):
        return Rejection(heard, Reason.INCOMPLETE, heard)
    return Rejection(heard, Reason.OUT_OF_GRAMMAR, quoted(" ".join(unknown or weighty)) or heard)


def refused(text: str, reason: Reason) -> tuple[Meaning, ...]:
    """The one meaning of a text of which nothing is understood."""
    text = quoted(text)
    return (Meaning(text, (Rejection(text, reason),), 0.0),)


def quoted(text: str) -> str:
    """As much of a text as a rejection carries, without what cannot be printed."""
    return "".join(letter if letter.isprintable() else " " for letter in text[:_QUOTED]).strip()


def _heard(item: Item, heard: str) -> Item:
    if isinstance(item, Command):
        return replace(item, heard=heard, readings=tuple(replace(r, heard=heard) for r in item.readings))
    return replace(item, text=heard) if isinstance(item, Rejection) else replace(item, heard=heard)


def is_whole(item: Command, text: str) -> bool:
    """Whether it is a number in place of another, and why takes up the rest: "25.8, the caliper wasn't square"."""
    counts = any(isinstance(option.value, Quantity) for reading in item.readings for option in reading.options)
    return counts and item.heard == text


def tells(item: Item) -> bool:
    """Whether it says how something is."""
    return isinstance(item, Reading) or (isinstance(item, Command) and item.name in _TELL)
