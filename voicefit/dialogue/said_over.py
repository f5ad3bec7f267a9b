"""A length that is said again right behind its first value, as the last of the two.

How it works. Of two lengths in a row that are as good as one, where it was not said what the second is of, the second
takes the place of the first, with talk between them or without: "head sixty, sixty point three", "thickness eight, hang
on, pass it here, seven nine".

Duty: this. It must not choose of which check a bare value is (:mod:`voicefit.dialogue.answering`).
"""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from voicefit.dialogue.turn import Turn
from voicefit.quantities import Quantity, Unit
from voicefit.records import Command, Context, Item, Meaning, Measurand, Reading

SAID_OVER = 0.03  # two lengths so near are one, measured twice
_TALK = frozenset({"aside", "cannot-tell", "pause"})  # "pass it here"


def said_over(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with the last of two such lengths in the place of the first, and without the talk between them."""
    items: list[Item] = []
    for item in meaning.items:
        at = next((at for at in reversed(range(len(items))) if isinstance(items[at], Reading)), None)
        before = None if at is None else items[at]
        new = _again(turn, before, item) if isinstance(before, Reading) and isinstance(item, Reading) else None
        if at is None or new is None or not isinstance(before, Reading) or not isinstance(item, Reading):
            items.append(item)
            continue
        options = tuple(replace(option, value=new) for option in before.options)
        talk = [each for each in items[at + 1 :] if not (isinstance(each, Command) and each.name in _TALK)]
        items[at:] = [replace(before, heard=f"{before.heard}, {item.heard}", options=options), *talk]
    return replace(meaning, items=tuple(items))


def _again(turn: Turn, before: Reading, item: Reading) -> Quantity | None:
    """The length that is said again."""
    old = _only_length(before)
    if old is None or not len(item.measurands - {Measurand.PITCH}) == len(item.measurands) > 1:
        return None
    context = Context(expected=tuple(sorted(before.measurands)))
    found = turn.knowledge.language.interpret(item.heard, context)[0].items
    as_before = found[0] if len(found) == 1 and isinstance(found[0], Reading) else item
    news = (_only_length(item), _only_length(as_before, before.measurands))
    return next((new for new in news if new is not None and 0 < abs(new.mm / old.mm - 1) < SAID_OVER), None)


def _only_length(reading: Reading, of: Set[Measurand] = frozenset(Measurand)) -> Quantity | None:
    """The one length in millimeters that a reading of these may be, else the one in inches."""
    options = [option for option in reading.options if option.measurand in of and not option.negated]
    lengths = {o.value for o in options if isinstance(o.value, Quantity) and o.value.is_length}
    lengths = {each for each in lengths if each.unit is Unit.MILLIMETRE} or lengths
    return lengths.pop() if len(lengths) == 1 else None
