"""Of an item, what it says of what was asked: a number, a name of it, nothing that was taken.

Duty: these questions. It must not choose and must not make readings.
"""

from __future__ import annotations

from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Reading, Reason, Rejection

_NOT_TAKEN = frozenset({Reason.OUT_OF_GRAMMAR, Reason.INCOMPLETE})


def counts(reading: Reading) -> bool:
    """Whether it has a number."""
    return any(isinstance(option.value, Quantity) for option in reading.options)


def names(reading: Reading, context: Context) -> bool:
    """Whether a name of what was asked is said."""
    return not counts(reading) and bool(reading.measurands) and reading.measurands <= set(context.expected)


def is_one_answer(meaning: Meaning, context: Context) -> bool:
    """Whether all of its text is one phrase that names what was asked."""
    return (
        len(meaning.items) == 1
        and isinstance(item := meaning.items[0], Reading)
        and not item.guessed
        and item.heard == meaning.text.strip()
        and names(item, context)
    )


def already(item: Item, context: Context) -> bool:
    """Whether it may be what was asked: a yes or a no, a number, or a name of it."""
    if isinstance(item, Command):
        return context.yes_no and item.name in ("yes", "no")
    if not isinstance(item, Reading):
        return True
    return counts(item) or not context.expected or not item.measurands.isdisjoint(context.expected)


def is_not_taken(item: Item) -> bool:
    """Whether its words were not understood."""
    return isinstance(item, Rejection) and item.reason in _NOT_TAKEN
