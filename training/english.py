"""General English from a list of words: speech that is no sentence of the product.

Nouns, verbs and adjectives are those of the package wonderwords (MIT licence); the frames they stand in are our own.
Nobody's text is used. The sentences need no sense: the weights must hear the words.

Duty: random sentences of ordinary words.
"""

from __future__ import annotations

import random

from wonderwords import RandomWord

_FRAMES = (
    "the {a} {n} is on the {n}", "did you {v} the {n} yesterday", "i want to {v} a {n} with you", "my {n} can't {v} it",
    "there was a {n} and a {a} {n}", "we should {v} before the {n} comes", "she said the {n} was {a}",
    "please {v} the {n}", "what a {a} {n}", "{v} me the {n} over there", "he will {v} his {n} on friday",
    "they never {v} with a {n}", "is the {n} still {a}", "put the {n} next to the {n}", "{a} {n}", "{n}", "{v} {n}",
    "the {n} of the {n}", "why did the {n} {v}", "nobody can {v} such a {a} {n}", "i have to {v} my {n} at home",
    "it took the {n} an hour to {v}", "call the {n} about the {a} {n}", "have you seen my {n}",
)  # fmt: skip


class English:
    def __init__(self, draw: random.Random) -> None:
        self._draw = draw
        words = RandomWord()
        self._words = {
            mark: [word for word in words.filter(include_categories=[part]) if word.isalpha() and 2 < len(word) < 12]
            for mark, part in (("n", "nouns"), ("v", "verbs"), ("a", "adjectives"))
        }

    def sentence(self) -> str:
        frame = self._draw.choice(_FRAMES)
        for mark, words in self._words.items():
            while f"{{{mark}}}" in frame:
                frame = frame.replace(f"{{{mark}}}", self._draw.choice(words).lower(), 1)
        return frame
