"""Of which check a yes or no is, where the sentence names what it says yes or no to.

How it works. "Yes there's a ring at the base" says so of that ring, whatever was asked; "no not flat face" takes back
the flat face; "yes straight edge touches all along" tells how the straight edge lay. Then the yes or no says nothing of
the check that is open. Behind a pause it answers that: "no, there's a ring at the base".

Duty: this. It must not take readings.
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.dialogue.turn import Turn
from voicefit.matching import same_place
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Measurand, Reading

_ANSWERS = frozenset({"yes", "no"})
_STATES = re.compile(r"(there's|there is|there isn't|it's got|it has|it hasn't|i've got|it doesn't have)\b")
_IT_IS = re.compile(r"it('s| is)\b")
_TOOLS = re.compile(r"\b(straight edge|gauge|leaf|nail|magnet|mirror|caliper)\b")
_LIGHT = frozenset({"light", "daylight", "gap", "gaps"})
_TO_SEE_BY = re.compile(
    r"\b(good|bad|better|poor|enough|more|my|this|decent) light\b|\blight('s| is) (good|bad|better|poor)\b"
)
_RUNS_ON = re.compile(r"\w+ +(?=\w)")  # the answer's word and the next one, with no pause between them


def named(turn: Turn, meaning: Meaning) -> Meaning:
    """The meaning without a yes or no that is of what it names, and not of the open check."""
    first, *rest = sorted(meaning.items, key=_is_line) or (None,)  # "hydraulic oil, yeah": wherever the yes stands
    check = turn.focus.check
    if not isinstance(first, Command) or first.name not in _ANSWERS or check is None or check.yes is None or not rest:
        return meaning
    said = rest[0]
    if not isinstance(said, Reading) or any(isinstance(item, Reading) and _is_asked(item, turn) for item in rest):
        return meaning
    if (first.name == "no" and _takes_back(turn, said)) or _is_line(said) or _names(said, _behind(meaning, first)):
        return replace(meaning, items=tuple(rest))
    return meaning


def speaks_of_light(turn: Turn) -> bool:
    """Whether what was said names light or a gap, and none was asked about: "no light, no" to whether it jams."""
    looks = any(each.yes is not None and each.yes.negated for each in turn.focus.open_checks)
    return not looks and not _LIGHT.isdisjoint(re.findall(r"[a-z]+", _TO_SEE_BY.sub("", turn.heard.casefold())))


def _is_line(item: Item | None) -> bool:
    return isinstance(item, Reading) and item.measurands == {Measurand.LINE}


def _is_asked(reading: Reading, turn: Turn) -> bool:
    check = turn.focus.check
    return check is not None and any(same_place(m, check.measurand) for m in reading.measurands)


def _takes_back(turn: Turn, reading: Reading) -> bool:
    """Whether it denies what is on record."""
    taken = {(t.option.measurand, t.option.value) for t in turn.belief.taken if not t.option.negated}
    return all(o.negated and (o.measurand, o.value) in taken for o in reading.options)


def _behind(meaning: Meaning, answer: Command) -> str:
    """The words behind a yes or no in its clause; none where a pause parts them from it."""
    text = meaning.text.casefold()
    words = text[text.find(answer.heard.casefold().strip()) :]
    runs_on = _RUNS_ON.match(words)
    return words[runs_on.end() :] if runs_on else ""


def _names(reading: Reading, words: str) -> bool:
    """Whether the words say that there is a thing, or how a tool lay, or what a tool is."""
    if not words:
        return False
    measured = all(isinstance(option.value, Quantity) for option in reading.options)
    named = _STATES.match(words) or _TOOLS.search(reading.heard.casefold())
    return bool(named) or (measured and _IT_IS.match(words) is not None)
