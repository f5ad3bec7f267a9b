"""What a person takes back in the same breath: "out, no sorry, in", "yes, I mean no", "eighteen, sorry".

How it works. Of several things said in one breath, what comes after a word of correction replaces what it corrects
among the things said before it: only the last is kept. A word of correction at the end says that what stands before
it corrects what is on record.

Duty: this, over the items of one text. It must not know what is on record.
"""

from __future__ import annotations

from voicefit.records import Command, Item, Reading, Reason, Rejection

_TAKES_BACK = frozenset({"wrong", "correction", "undo", "forget"})
_TELLS_NOTHING = "aside"  # left out beside anything else: "it's an elbow, male"
_ANSWERS = frozenset({"yes", "no"})


def repaired(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items without what was taken back among them."""
    kept: list[Item] = []
    taking_back = False  # a word of correction came before
    for item in items:
        said: tuple[Item, ...] = (item,)
        if isinstance(item, Command) and item.name == "correct":
            if kept and isinstance(kept[-1], Command) and kept[-1].name in _TAKES_BACK:
                kept.pop()  # "oops, I meant eighteen": the value says what was wrong
            said = _in_place(kept, item)
        elif isinstance(item, Command) and item.name == "correction" and kept:
            taking_back = True
            continue
        elif isinstance(item, Command) and item.name in _ANSWERS:
            before = kept[-1] if kept else None
            if isinstance(before, Command) and before.name in _ANSWERS:
                kept.pop()  # "no, it doesn't"; "yes, sorry, no"
                if before.name != item.name and not taking_back:  # "no, it's definitely there": neither
                    words = f"{before.heard} {item.heard}"
                    said = (Rejection(words, Reason.OUT_OF_GRAMMAR, words),)
        elif isinstance(item, Reading) and taking_back:
            said = _in_place(kept, Command("correct", item.heard, (item,)))
        taking_back = False
        kept.extend(said)
    if taking_back:
        readings = tuple(item for item in kept if isinstance(item, Reading))
        if not readings or len(readings) < len(kept):
            return items
        return (Command("correct", readings[0].heard, readings),)
    telling = tuple(item for item in kept if not (isinstance(item, Command) and item.name == _TELLS_NOTHING))
    return telling or tuple(kept)


def _in_place(kept: list[Item], correct: Command) -> tuple[Item, ...]:
    """What a correction says, in the place of what it corrects among ``kept``; where there is nothing, a correction."""
    places = [
        next((at for at in reversed(range(len(kept))) if _corrects(reading, kept[at])), None)
        for reading in correct.readings
    ]
    if any(place is None for place in places):
        return (correct,)
    for place in sorted({place for place in places if place is not None}, reverse=True):
        del kept[place]
    return correct.readings


def _corrects(reading: Reading, item: Item) -> bool:
    """Whether it takes the place of something said: not of what was denied, which names what is on record."""
    denied = isinstance(item, Reading) and all(option.negated for option in item.options)
    return isinstance(item, Reading) and not denied and bool(reading.measurands & item.measurands)
