"""Which numbers are so many of what is ordered: "order that, two", "no, ten", "scratch the two, just one", "two hoses".

How it works. A sentence that says nothing but how many (:mod:`voicefit.interpretation.amounts`) is of what was just
ordered, or said to be on the slip: where it takes something back or adds to it, whatever is asked; else where it cannot
be the answer to the check. So is one that takes back the number that is on the slip, and one that counts the job's
hoses, at any time. And of a longer sentence the number that was said of nothing, behind what orders.

Duty: find them. It must not order anything (:mod:`voicefit.dialogue.functions.orders`).
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.dialogue.entries import MOST_ORDERED
from voicefit.dialogue.record import HOSE
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.amounts import Amount
from voicefit.quantities import Quantity
from voicefit.records import Command, Context, Item, Meaning, Reading, Rejection

_MADE = re.compile(r"^make (it|that) ")
_AND = re.compile(r"^(and|plus|also|then) ")
_BOLTS = frozenset({"bolts", "screws"})
_BESIDE = ("order-mate", "order-seal")  # of what belongs to a piece
ORDERS = frozenset({"order-slip", "quantity", "how-many", "off-slip", "order-other", "other-form", *_BESIDE})
_HOSES = "hoses"


def as_count(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning with the number of what is ordered as such: the whole of it, or what was said of nothing in it."""
    said = turn.knowledge.language.amount(meaning.text)
    if any(isinstance(item, Command) and item.name in _BESIDE for item in meaning.items):
        return _with_counts(turn, meaning)  # "two of the mate" says itself what it is of
    if said is not None and _is_of_the_slip(turn, meaning, said):
        beside = next((name for name in _BESIDE if name in turn.before.last.did), "quantity")
        return replace(meaning, items=(Command(beside, meaning.text, argument=str(said.number)),))
    return _ordered_beside(turn, meaning) or _with_counts(turn, meaning)


def _ordered_beside(turn: Turn, meaning: Meaning) -> Meaning | None:
    """What names so many seals or other things right behind an order: "three O-rings", "and eight bolts"."""
    told = meaning.items and all(isinstance(item, Reading) for item in meaning.items)
    if not told or turn.focus.question is not None or ORDERS.isdisjoint(turn.before.last.did):
        return None
    text = _AND.sub("", meaning.text)
    items = turn.knowledge.language.interpret(f"order {text}", Context())[0].items
    call = items[0] if len(items) == 1 else None
    if not isinstance(call, Command) or call.argument is None:
        return None
    of_things = call.name in ("order-seal", "order-other") or not _BOLTS.isdisjoint(text.casefold().split())
    return replace(meaning, items=(call,)) if of_things else None


def _is_of_the_slip(turn: Turn, meaning: Meaning, said: Amount) -> bool:
    """Whether so many are of what is ordered."""
    pieces = turn.job.pieces
    if _HOSES in meaning.text.casefold() and any(piece.kind == HOSE for piece in pieces):
        return True
    if turn.focus.question is not None:
        return False
    if any(piece.count in said.denied for piece in pieces):
        return True
    if ORDERS.isdisjoint(turn.before.last.did):
        return False
    asked = {check.measurand for check in turn.focus.open_checks}
    measured = {measurand for item in meaning.items if isinstance(item, Reading) for measurand in item.measurands}
    return said.again or asked.isdisjoint(measured)


def is_ordered(turn: Turn) -> bool:
    """Whether it was just spoken of the slip, or a number is on it."""
    counted = any(piece.count is not None or piece.beside for piece in turn.job.pieces)
    return counted or not ORDERS.isdisjoint(turn.before.last.did)


def _with_counts(turn: Turn, meaning: Meaning) -> Meaning:
    """A whole number said of nothing, behind what orders, in the same breath or the one before, as how many are
    ordered: "order that, two", "four then", "no, one"; but not where it may answer the check that is open."""
    asked = {check.measurand for check in turn.focus.open_checks}
    ordered = not ORDERS.isdisjoint(turn.before.last.did)
    items: list[Item] = []
    for item in meaning.items:
        if isinstance(item, Rejection):
            items.append(item)
            continue
        if isinstance(item, Command) and item.name == "correct":
            alone = turn.knowledge.language.interpret(item.heard, Context())[0].items[0]  # "I meant four washers"
            item = alone if isinstance(alone, Command) and alone.name in ("quantity", *_BESIDE) else item
        before = items[-1] if items and isinstance(items[-1], Command) else None
        here = before is not None and before.name in ORDERS
        what = before.name if before is not None and before.name in _BESIDE else "quantity"
        number = _count(item)
        if what in _BESIDE and isinstance(item, Command) and item.name == "quantity":
            number = int(item.argument or 1)  # "the female that goes on it, six of them"
        free = isinstance(item, Command) or (isinstance(item, Reading) and asked.isdisjoint(item.measurands))
        if number is None or not (here or (ordered and free)):
            items.append(item)
            continue
        if here or (before is not None and before.name == "no"):
            items.pop()  # "order that, two" is said once
        items.append(Command(what, item.heard, argument=str(number)))
    return replace(meaning, items=tuple(items))


def _count(item: Item) -> int | None:
    """The whole number that was said of nothing, without a unit; corrected to as well."""
    corrects = isinstance(item, Command) and item.name == "correct" and len(item.readings) == 1
    reading = item.readings[0] if corrects and isinstance(item, Command) else item
    if not isinstance(reading, Reading):
        return None
    numbers = {
        (o.value.value, o.value.unit) for o in reading.options if isinstance(o.value, Quantity) and not o.negated
    }
    values = {value for value, _ in numbers}
    if len(numbers) == len(values) or len(values) != 1 or len(reading.measurands) == 1:
        return None
    value = values.pop()
    return int(value) if value.denominator == 1 and 1 <= value <= MOST_ORDERED else None


def number_ordered(turn: Turn, command: Command) -> int | None:
    """How many are ordered by "make it two", said behind an order, or of nothing on record: it corrects no reading."""
    number = _MADE.sub("", command.heard.casefold())
    if number == command.heard.casefold():
        return None
    ordered = not ORDERS.isdisjoint(turn.before.last.did)
    if _corrects_the_latest(turn):
        return None
    done = turn.piece.kind == HOSE or turn.record.end_of(turn.piece) is not None
    counted = done and any(piece.count is not None for piece in turn.job.pieces)
    if not (ordered or counted) and turn.piece.readings:
        return None
    said = turn.knowledge.language.amount(number)  # "make it five", not "make it five degrees"
    return None if said is None else said.number


def _corrects_the_latest(turn: Turn) -> bool:
    """Whether what was last put on record is a number that was measured: "eighty degrees", "make it ninety"."""
    before = turn.record.past[-1].piece.readings if turn.record.past else ()
    latest = [kept.reading for kept in turn.piece.readings if kept not in before]
    return any(isinstance(option.value, Quantity) for reading in latest for option in reading.options)
