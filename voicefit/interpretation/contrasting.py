"""What is told of another thing, or by another person, where a later clause tells it otherwise of the end in hand:
"the engine's Japanese, the machine itself is Swedish", "Bob says forty-five, the gauge says thirty-seven".

How it works. The text is cut into clauses. Where one is of the very thing ("this one", "mine", "itself"), all that a
clause before it tells goes, if it tells another value of the same of something that it names; and where one is of what
was measured ("the gauge says", "I taped it"), what somebody, or a sign, has said so.

Duty: this, over the items of one text and its clauses. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from voicefit.interpretation import parts
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, Meaning, Reading, Rejection

_LEAD = r"^(?:(?:and|but|so|well|no|oh|yes|yeah|okay|now|whereas|while|actually|only)\b[\s,]*)*"
_THIS = re.compile(
    _LEAD
    + r"(?:this (?:one|end|side|piece|half|fitting|hose)\b|mine\b|ours\b|my one\b|(?:the|this|my) (?:\w+ ){1,2}itself\b"
    r"|(?:on|with) (?:this|mine)\b)",
    re.I,
)
_MEASURED = re.compile(
    _LEAD + r"(?:(?:the|my) (?:\w+ )?(?:gauge|leaf|blade|comb|tape|rule|ruler|calipers?|vernier|jaws) "
    r"(?:says?|said|reads?|shows?|gives?|makes?)\b"
    r"|(?:i|we)(?:'ve| have)? (?:(?:just|only|actually) )?"
    r"(?:measured?|taped|tape|make|made|get|got|counted|count|read|find|found)\b)",
    re.I,
)
_NAMES_ANOTHER = re.compile(_LEAD + r"(?!(?:it|this|that|there|they|these|i|we|you|mine|here|what)\b)\w", re.I)
_SAYS = re.compile(
    r"\b(?:says?|said|saying|reckons?|reckoned|thinks?|thought|swears?|swore|told|claims?|claimed|calls?|called|insists?|"
    r"reads?|has it|had it|makes? it|put|wrote|written|marked|stamped)\b",
    re.I,
)

_NAMES = frozenset({"other-end", "next"})


def without_contrasted(meaning: Meaning) -> Meaning:
    """The meaning without what a clause tells of another thing, where a later one tells it otherwise of this one."""
    clauses = [clause for clause in parts.CLAUSES.split(meaning.text) if clause.strip()]
    if len(clauses) < 2:
        return meaning
    items: Sequence[Item] = meaning.items
    places = _places(meaning, clauses)
    gone: set[int] = set()
    for own, words in enumerate(clauses):
        is_this, is_measured = _THIS.match(words), _MEASURED.match(words)
        told = [item for item, place in zip(items, places, strict=True) if place == own and _is_told(item)]
        denied = [item for item, place in zip(items, places, strict=True) if place == own and isinstance(item, Reading)]
        for other, before in enumerate(clauses[:own]):
            of_another = is_this and _NAMES_ANOTHER.match(before) and not _MEASURED.match(before)
            said = is_measured and _SAYS.search(before) and not _MEASURED.match(before)
            firsts = [item for item, place in zip(items, places, strict=True) if place == other and _is_told(item)]
            if (of_another or said) and any(differ(one, two) for one in firsts for two in told):
                gone.add(other)
            elif _SAYS.search(before) and any(_denies(two, one) for one in firsts for two in denied):
                gone.add(other)  # "Terry says sixty, the sixty rocks"
    kept = (i for i, at in zip(items, places, strict=True) if at not in gone or not _is_of_its_end(i))
    return replace(meaning, items=tuple(kept)) if gone else meaning


def _is_of_its_end(item: Item) -> bool:
    """Whether it tells of an end, or names another."""
    return isinstance(item, Reading) or (isinstance(item, Command) and item.name in _NAMES)


def differ(one: Item, two: Item) -> bool:
    """Whether they are two values of one thing."""
    if not isinstance(one, Reading) or not isinstance(two, Reading):
        return False
    return bool(one.measurands & two.measurands) and values(one).isdisjoint(values(two))


def _denies(two: Reading, one: Item) -> bool:
    """Whether it denies what the one says."""
    if not isinstance(one, Reading) or not all(option.negated for option in two.options):
        return False
    said = {(option.measurand, option.value) for option in one.options}
    return any((option.measurand, option.value) in said for option in two.options)


def values(reading: Reading) -> set[object]:
    """Its values, numbers with their units."""
    return {(o.value.value, o.value.unit) if isinstance(o.value, Quantity) else o.value for o in reading.options}


def _places(meaning: Meaning, clauses: Sequence[str]) -> list[int]:
    """In which clause each item was heard; -1 where it reaches over several."""
    found, past = list[int](), 0
    ends, at = list[int](), 0
    for words in clauses:
        at = meaning.text.find(words, at) + len(words)
        ends.append(at)
    for item in meaning.items:
        heard = item.text if isinstance(item, Rejection) else item.heard
        begins = meaning.text.find(heard, past)
        begins = meaning.text.find(heard) if begins < 0 else begins  # two things that the same words say
        past = max(past, begins + len(heard))
        place = next((at for at, end in enumerate(ends) if begins + len(heard) <= end), -1)
        found.append(place if place < 0 or heard in clauses[place] else -1)
    return found


def _is_told(item: Item) -> bool:
    return isinstance(item, Reading) and not any(option.negated for option in item.options)
