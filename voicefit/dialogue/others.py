"""What is ordered beside the piece in hand by its own description: "order three adapters, one inch boss stud to one
inch JIC male", "order two code 62 clamps for it" of a code 61 head.

How it works. An order that names an adapter, or one thing to another, tells of a part that is not in hand: none of it
is a reading of the end. So does an order that names another series than the end in hand is known to be of.

Duty: tell such orders from those of what is in hand. It must not order or note anything
(:mod:`voicefit.dialogue.functions.orders`).
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.dialogue import entries, slips
from voicefit.dialogue.meanings import readings_of
from voicefit.dialogue.record import END
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Context, Item, Meaning, Measurand, Reading, Rejection

ADAPTERS = word_set("adapter adapters adaptor adaptors reducer reducers")
ORDERING = word_set("order buy put add stick get need want send")
OTHER, _ADAPTER = "order-other", "adapter"
_SURELY = word_set("order buy")
_ORDERS = frozenset({"order-slip", "quantity", OTHER})
_ASKS = re.compile(
    r"^.*?\b(?:order|buy|get|put|add|stick|send|want|need|have)\b(?: (?:down|me|us|in|on|up)\b)*[ ,]*", re.I
)
_TO = re.compile(r"\b(?:to|onto|into)\b", re.I)
_PARTS = re.compile(r"\b(?:half|split|clamps?|halves|flanges?|kits?|bolts?|screws?|for (?:it|this|that)|of)\b", re.I)


def as_order_of_another(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with an order of another part than the one in hand as that, and nothing of it as a reading."""
    first, *more = re.findall(r"\w+", meaning.text.casefold()) or [""]
    begins = first in ORDERING and any(isinstance(i, Command) and i.name == _ADAPTER for i in meaning.items)
    if not begins and not any(map(_orders, meaning.items)):
        return meaning
    if ORDERING.isdisjoint((first, *more)):
        return meaning
    if adapter_in(meaning) or of_another_series(turn, meaning.text):
        return replace(meaning, items=(Command(OTHER, meaning.text),))
    return meaning


def _orders(item: Item) -> bool:
    """Whether it orders, be it in words that no phrase has: "buy a code 62 flange"."""
    match item:
        case Command(name=name):
            return name in _ORDERS
        case Rejection(text=text):
            return not _SURELY.isdisjoint(text.casefold().split())
    return False


def adapter_in(meaning: Meaning) -> bool:
    """Whether what is ordered is told of as an adapter: by that name, or as one thing to another."""
    readings = readings_of(meaning)
    words = re.findall(r"\w+", meaning.text.casefold())
    return bool(readings) and (not ADAPTERS.isdisjoint(words) or is_to_another(meaning.text, readings))


def is_to_another(text: str, readings: tuple[Reading, ...]) -> bool:
    """Whether something is told on either side of a "to"."""
    for to in _TO.finditer(text):
        sides = (text[: to.start()], text[to.end() :])
        if all(any(reading.heard in side for reading in readings) for side in sides):
            return True
    return False


def wanted(text: str) -> str:
    """What is ordered, without the words of ordering.

    >>> wanted("can you order me one, male half NPT to dash eight JIC")
    'one, male half NPT to dash eight JIC'
    """
    return _ASKS.sub("", text, count=1).strip(" .,;!?")


def as_note(text: str) -> str:
    """What is ordered as a line for the counter.

    >>> as_note("order two, half inch to dash eight")
    'adapter: two, half inch to dash eight'
    """
    said = wanted(text)
    named = not ADAPTERS.isdisjoint(re.findall(r"\w+", said.casefold()))
    return (said if named else f"adapter: {said}")[: entries.LONGEST_NOTE]


def of_another_series(turn: Turn, text: str) -> str | None:
    """The end in hand, in words, where what is ordered names another series than its own; else ``None``."""
    if turn.piece.kind != END:
        return None
    end = slips.end_facts(turn.knowledge, turn.record, turn.piece).end
    row = turn.knowledge.row_of(end or "")
    if row is None:
        return None
    bare = " ".join(_PARTS.sub(" ", wanted(text)).split())
    items = turn.knowledge.language.interpret(bare, Context())[0].items if bare else ()
    named = {
        option.value
        for item in items
        if isinstance(item, Reading) and item.measurands == {Measurand.SERIES}
        for option in item.options
        if not option.negated
    }
    return turn.knowledge.end_words(row) if named and turn.knowledge.catalogue.ends[row].series not in named else None
