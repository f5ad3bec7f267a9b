"""The words of a text that tell of the end in hand, where others in it do not: "the tag says sixteen, it's eighteen".

How it works. The classifier gives of each letter how likely it is told. Runs of words that surely are not are left out
where others surely are.

Duty: the words that are left. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace
from itertools import groupby

from voicefit.interpretation.tokens import Token

_TOLD, _NOT_TOLD = 0.7, 0.3
_FEWEST = 2  # words of a run that is left out


def own_words(
    tokens: Sequence[Token], told: Sequence[float], turning: Set[str], numbers: Set[str]
) -> tuple[Token, ...] | None:
    """The tokens without those that surely tell nothing, or ``None`` where all tell or none, where a word of
    ``turning`` ties them to the rest ("sixteen threads over ten psi"), or where one of ``numbers`` right behind them is
    of what they name: "lower down | eighteen".

    ``told`` : of each letter of the text.
    """
    likely = [sum(told[t.start : t.end]) / max(1, t.end - t.start) for t in tokens]
    if max(likely) < _TOLD:
        return None
    kept: list[Token] = []
    cut = False
    for is_talk, run in groupby(zip(tokens, likely, strict=True), key=lambda each: each[1] < _NOT_TOLD):
        words = [token for token, _ in run]
        if is_talk and len(words) >= _FEWEST:
            if kept and not words[0].paused and any(word.text in turning for word in words):
                return None
            cut = True
            continue
        if cut and not words[0].paused and (words[0].text in numbers or words[0].text[0].isdecimal()):
            return None
        kept += [replace(words[0], paused=bool(kept)) if cut else words[0], *words[1:]]
        cut = False
    return tuple(kept) if 0 < len(kept) < len(tokens) else None
