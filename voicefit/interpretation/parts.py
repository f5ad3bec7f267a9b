"""Parts of a text: what pauses part from the rest.

Duty: these cuts, over words. It must not know what a part says.
"""

from __future__ import annotations

import re
from dataclasses import replace

from voicefit.records import Rejection

_PAUSES = ",;.!?:"
CLAUSES = re.compile(
    r"[,;.!?]\s+|\s+(?=(?:but|because)\s)|\s+and\s+(?=(?:it|it's|that|that's|there|there's|the|he|she)\s)"
)
_PAUSE = re.compile(r"[,;]\s")


def of_rejection(rejection: Rejection) -> tuple[Rejection, ...]:
    """What was not taken, part by part between its pauses."""
    texts = [text.strip() for text in _PAUSE.split(rejection.text)]
    if len(texts) == 1 or not all(texts):
        return (rejection,)
    return tuple(
        replace(rejection, text=text, detail=rejection.detail if rejection.detail in text else text) for text in texts
    )


def letters(text: str) -> int:
    return sum(map(str.isalnum, text))


def is_whole(part: str, text: str) -> bool:
    """Whether pauses part it from the rest of the text."""
    before, _, after = (piece.strip() for piece in text.partition(part))
    return (not before or before[-1] in _PAUSES) and (not after or after[0] in _PAUSES)
