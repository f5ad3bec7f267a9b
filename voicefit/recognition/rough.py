"""What a text says, roughly: number words as figures, other words by their first letters.

Duty: tell apart texts that say different things from texts that write the same thing differently, fast enough for
every step of a beam, and know which numbers sound alike. It must not decide what is meant.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

_ONES: Final = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
]  # fmt: skip
_TENS: Final = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_FIGURES: Final = {word: str(value) for value, word in enumerate(_ONES)} | {"oh": "0", "o": "0", "point": "."}
_FIGURES_OF_TENS: Final = {word: str(value) for value, word in enumerate(_TENS, 2)}
_OTHER: Final = {"mm": "mi", "eighth": "8", "eighths": "8", "sixteenth": "16", "sixteenths": "16"}
_PART = re.compile(r"[a-z]+|[0-9]+|\.(?=[0-9])")
_KNOWN = 20_000


@lru_cache(_KNOWN)
def rough(text: bytes) -> tuple[str, ...]:
    """The parts of a lower-case text.

    >>> rough(b"outside ninety millimeters") == rough(b"outside 90 mm")
    True
    >>> rough(b"thirty seven point two")
    ('37', '.', '2')
    """
    parts: list[str] = []
    tens = ""
    for word in _PART.findall(text.decode("utf-8", "replace")):
        figures = _FIGURES.get(word)
        if tens:
            joins = figures is not None and len(figures) == 1 and figures in "123456789"
            parts.append(tens + (figures if joins and figures else "0"))
            tens = ""
            if joins:
                continue
        if word in _FIGURES_OF_TENS:
            tens = _FIGURES_OF_TENS[word]
        else:
            parts.append(figures or (word if word.isdecimal() else _OTHER.get(word, word[:2])))
    return (*parts, f"{tens}0") if tens else tuple(parts)


def sounds_alike(first: str, second: str) -> bool:
    """Whether two texts differ only in teens heard as tens: 15 and 50, 19 and 90.

    >>> sounds_alike("outside nineteen millimeters", "outside 90 mm"), sounds_alike("nineteen", "eighteen")
    (True, False)
    """
    a, b = rough(first.encode()), rough(second.encode())
    different = [pair for pair in zip(a, b, strict=False) if pair[0] != pair[1]]
    return len(a) == len(b) and bool(different) and all(_teen_and_ten(*sorted(pair)) for pair in different)


def _teen_and_ten(teen: str, ten: str) -> bool:
    return len(teen) == len(ten) == 2 and teen[0] == "1" and ten == f"{teen[1]}0" and teen[1] in "3456789"
