"""The labelled sentences as they are said another time: with a hesitation, without commas, of other numbers, or in one
breath with another sentence.

Duty: this. It must not change what a sentence tells.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable

from training.kinds.rows import FIGURE, Row, marked

_WITH_ANOTHER, _HESITATES, _WITHOUT_COMMAS, _OTHER_NUMBERS = 0.2, 0.15, 0.2, 0.4
_JOINTS = (", ", ", ", " and ", " but ", ", and ", " so ", " ")
_OPENERS = ("um", "uh", "well", "right", "okay", "so", "yeah", "and", "but")
_ALIKE = tuple(
    words.split()
    for words in (
        "two three four five six seven eight nine",
        "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen",
        "twenty thirty forty fifty sixty seventy eighty ninety",
        "2 3 4 5 6 7 8 9",
    )
)
_NUMBERS = re.compile(r"\b(?:" + "|".join(word for words in _ALIKE[:3] for word in words) + r")\b|[2-9]", re.I)


def varied(rows: list[Row], every: list[Row], chance: random.Random) -> list[Row]:
    """The rows as they are said this time; another sentence is taken of ``every``."""
    found = []
    for row in rows:
        other = chance.choice(every)
        if row.told is not None and other.told is not None and chance.random() < _WITH_ANOTHER:
            row = _in_one_breath(row, chance.choice(_JOINTS), other)
        elif chance.random() < _HESITATES:
            row = _shifted(row, f"{chance.choice(_OPENERS)} ", row.kind)
        if row.kind in ("", FIGURE) and chance.random() < _OTHER_NUMBERS:
            row = _of_other_numbers(row, chance)
        if chance.random() < _WITHOUT_COMMAS:
            row = _changed(row, lambda line: line.replace(",", ""))
        found.append(row)
    return found


def _shifted(row: Row, before: str, kind: str) -> Row:
    at = len(before)
    return Row(kind, before + row.text, row.told and tuple((a + at, b + at) for a, b in row.told))


def _in_one_breath(first: Row, joint: str, second: Row) -> Row:
    """Both sentences, of which the words are labelled."""
    behind = _shifted(second, first.text + joint, "")
    return Row("", behind.text, (*(first.told or ()), *(behind.told or ())))


def _of_other_numbers(row: Row, chance: random.Random) -> Row:
    """The sentence with each number word in the place of another, the same one by the same one."""
    others = {one: two for words in _ALIKE for one, two in zip(words, chance.sample(words, len(words)), strict=True)}
    return _changed(row, lambda line: _NUMBERS.sub(lambda match: others[match[0].lower()], line))


def _changed(row: Row, change: Callable[[str], str]) -> Row:
    """The sentence with its line, marks and all, changed."""
    line = row.text
    for start, end in reversed(row.told or ()):
        line = f"{line[:start]}[{line[start:end]}]{line[end:]}"
    again = marked(change(line))
    return Row(row.kind, again.text, None if row.told is None else again.told)
