"""What was only asked: "the ring's in, I was only asking" tells nothing, and answers nothing.

Who says so takes a question back that was heard as more. What is said beside it of the seal that was asked about is
what it was before; a value, and another question, stand.

Duty: what is left of such a text. It must not know what was asked.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from voicefit.records import Command, Item, Meaning, Measurand, Reading

_ONLY_ASKED = re.compile(
    r"\b(only|just|merely|simply) (asking|asked|ask|wondering|wondered|curious|thinking (aloud|out loud))\b"
    r"|\b(just|only|merely|was|s) (just |only )?a (question|thought)\b"
)
_SAYS_NOTHING = frozenset({"aside", "all-well", "yes", "no", "cannot-tell", "drop", "okay", "correct", "missing"})
_ASIDE, _HOW = "aside", "how"


def told(meaning: Meaning) -> Meaning:
    """The meaning without what was only asked; an aside where nothing is left. Who asks how something is done that is
    done by saying so says it: "how do I make it speak slower"."""
    items = meaning.items
    asked = {at for at, (one, two) in enumerate(pairwise(items)) if _is_how(one) and isinstance(two, Command)}
    meaning = replace(meaning, items=tuple(item for at, item in enumerate(items) if at not in asked))
    if not _ONLY_ASKED.search(meaning.text.casefold().replace("'", " ")):
        return meaning
    kept = tuple(item for item in meaning.items if _stands(item))
    return replace(meaning, items=kept or (Command(_ASIDE, meaning.text),))


def _is_how(item: Item) -> bool:
    return isinstance(item, Command) and item.name == item.heard.casefold() == _HOW


def _stands(item: Item) -> bool:
    if isinstance(item, Reading):
        return not item.guessed and item.measurands != {Measurand.SEAL}
    return isinstance(item, Command) and item.name not in _SAYS_NOTHING
