"""Parts of a text: what pauses part from the rest, and what of it only says where a thing came from.

Duty: these cuts, over words. It must not know what a part says.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from voicefit.records import Rejection

_PAUSE = re.compile(r"[,;]\s")
_PAUSES = ",;.!?:"
_RELATIVE = frozenset({"that", "because", "since", "as", "while", "where"})
_FROM = frozenset({"off", "from"})
_CAME = frozenset(
    {"it", "this", "that", "one", "comes", "came", "come", "is", "has", "s", "the", "straight", "just", "part", "hose"}
)


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
    """Whether pauses part it from the rest of the text: "..., boss wants it today"."""
    start = text.find(part)
    if start < 0:
        return False
    before, after = text[:start].rstrip(), text[start + len(part) :].lstrip()
    first = part.split()[0].casefold()
    begins = not before or before[-1] in _PAUSES or first in _RELATIVE | _FROM or part.casefold().startswith("out of ")
    return begins and (not after or after[0] in _PAUSES)


def without_origin(words: Sequence[str]) -> Sequence[str]:
    """Without what only says where it came from: "it came off the lift cylinder"."""
    from_here = [at for at, word in enumerate(words) if word in _FROM or list(words[at : at + 2]) == ["out", "of"]]
    return () if from_here and set(words[: from_here[0]]) <= _CAME else words
