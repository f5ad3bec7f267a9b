"""A size that is named and is not the end's own, but near it, or only what it is called by: "does a sixteen fit", "half
an inch? I measure twenty-one".

Duty: to tell these, and to say them. Threads so near start on each other.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from voicefit.dialogue.named import SAME_MM, is_called, it_is
from voicefit.dialogue.turn import Turn
from voicefit.matching import explain as explanations
from voicefit.quantities import Quantity, millimetres
from voicefit.records import Command, Measurand, Option

_TUBE = Measurand.TUBE_OUTSIDE_DIAMETER  # what a size without its measure may be of
_NEAR_MM = 0.3  # sizes that differ by no more are taken for each other
_OF_THREADS = frozenset({Measurand.THREAD_SIZE, Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER})


def is_its_name(turn: Turn, command: Command, leader: int) -> bool:
    """Whether the size that the leader is called by is named, and its thread measures otherwise."""
    end = turn.knowledge.catalogue.ends[leader]
    values = [option.value for reading in command.about for option in reading.options]
    sizes = [value for value in values if isinstance(value, Quantity)]
    return end.thread is not None and any(is_called(end.nominal, size) for size in sizes)


def say_name(turn: Turn, leader: int) -> None:
    """What a size that is only a name measures: nobody finds a half inch on a half-inch pipe thread."""
    end = turn.knowledge.catalogue.ends[leader]
    measurand = Measurand.OUTSIDE_DIAMETER if end.external else Measurand.INSIDE_DIAMETER
    size = explanations.nominal(end, measurand)
    assert isinstance(size, Quantity)
    words = turn.knowledge.wording.reading(Option(measurand, size))
    if explanations.recalled(end, measurand):
        words = turn.knowledge.wording.phrase("from-memory-within", value=words)
    turn.say("size-is-a-name", size=turn.knowledge.names.size(end), measures=words)


def says_near(turn: Turn, command: Command, leader: int) -> bool:
    """Say no, and what the end that leads measures, where a size is named that is near it and not it: threads so near
    start on each other. Whether there is such a one."""
    end = turn.knowledge.catalogue.ends[leader]
    named = [option for reading in command.about for option in reading.options]
    bare = [replace(reading.options[0], measurand=_TUBE) for reading in command.about if len(reading.measurands) > 1]
    sizes = [
        (option, option.value, size)
        for option in (*named, *bare)
        if isinstance(option.value, Quantity) and option.value.is_length
        if isinstance(size := explanations.nominal(end, option.measurand), Quantity) and size.is_length
    ]
    apart = {index: abs(asked.mm - size.mm) for index, (_, asked, size) in enumerate(sizes)}
    nearest = min(apart, key=lambda index: apart[index], default=None)
    if nearest is None or not SAME_MM < apart[nearest] <= _NEAR_MM:
        return False
    measurand, size = sizes[nearest][0].measurand, sizes[nearest][2]
    words = turn.knowledge.wording.reading(Option(measurand, millimetres(Fraction(round(size.mm * 10), 10))))
    if explanations.recalled(end, measurand):
        words = turn.knowledge.wording.phrase("from-memory-within", value=words)
    reply = "whether-starts" if measurand in _OF_THREADS else "whether-near"
    turn.say(reply, so=it_is(turn, leader), items=words)
    return True
