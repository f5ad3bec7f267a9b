"""Written text as words for the ear: names of standards, conditions and sources from the tables.

Duty: make any written text speakable. Numbers and quantities of readings are :mod:`voicefit.interpretation.spelling`'s.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from voicefit.interpretation.spelling import say_digits, say_number
from voicefit.quantities import exact

SPEAKABLE = re.compile(r"[A-Za-z ,.:;?'-]*")
_SIGNS = {
    "°C": " degrees Celsius",
    "°": " degree",
    "×": " by ",
    "%": " percent",
    "&": " and ",
    "·": " ",
    "+": " plus ",
    "psi": "P S I",
}
_NUMBER = re.compile(r"[0-9]+(?:-[0-9]+)?/[0-9]+|[0-9]+(?:\.[0-9]+)?")
_CAPITALIZED = re.compile(r"[A-Z][a-z]+")  # no letter by itself: "O-ring", "N P T"
_SENTENCES = re.compile(r"(?<=[.?]) ")
PROPER = frozenset({"American", "British", "French", "Japanese"})  # keep their capital within a sentence
_GREATEST = 999_999  # longer figures are said one by one


def aloud(text: str) -> str:
    """Written text as words: numbers and the trade's signs spelled, runs of capitals letter by letter.

    >>> aloud("ISO 8434-2"), aloud("screw 3/8-16, grade 5"), aloud("37° flare")
    ('I S O eighty-four thirty-four two', 'screw three-eighths sixteen, grade five', 'thirty-seven degree flare')
    """
    for sign, words in _SIGNS.items():
        text = text.replace(sign, words)
    text = _NUMBER.sub(lambda found: f" {_figure(found[0])} ", text)
    text = re.sub(r"\b[A-Z]{2,}\b", lambda found: " ".join(found[0]), text)
    text = re.sub(r"[^A-Za-z,.:;' -]", " ", text)
    text = re.sub(r"(?<![A-Za-z])-|-(?![A-Za-z])", " ", text)
    return re.sub(r" +([,.:;])", r"\1", re.sub(r" +", " ", text)).strip()


def nearest(value: float, parts: int) -> Fraction:
    """The nearest multiple of one part: ``nearest(1.26, 4)`` is 5/4."""
    return Fraction(round(value * parts), parts)


def _figure(figures: str) -> str:
    if "/" in figures or "." in figures:
        try:
            return say_number(exact(figures))
        except ValueError:  # no denominator: nothing that a table holds, but text is text
            return _one_by_one(figures)
    if figures.startswith("0") or int(figures) > _GREATEST:
        return _one_by_one(figures)
    if len(figures) in (3, 4) and figures[-2] != "0":
        return f"{say_number(int(figures[:-2]))} {say_number(int(figures[-2:]))}"  # a number of a standard, or a year
    return say_number(int(figures))


def _one_by_one(figures: str) -> str:
    """Figures as they stand, leading zeros too: "zero one four"."""
    return " ".join(say_digits(int(figure)) for figure in figures if figure.isdigit())


def question_of(prompt: str) -> str:
    """The question of a prompt, without what is to be done for it.

    >>> question_of("Feel the seat. Out, in, or flat?")
    'Out, in, or flat?'
    """
    return _SENTENCES.split(prompt)[-1]


def in_one_breath(prompts: Sequence[str]) -> str:
    """Several prompts as one: instructions first, questions last.

    >>> in_one_breath(["Caliper the thread. What diameter?", "Find the leaf that fits. What pitch?"])
    'Caliper the thread, and find the leaf that fits. What diameter, and what pitch?'
    >>> in_one_breath(["Male or female?", "Feel the seat. Out, or in?"])
    'Feel the seat. Male or female? And out, or in?'
    """
    if len(prompts) == 1:
        return prompts[0]
    parts = [_SENTENCES.split(prompt) for prompt in prompts]
    does = [" ".join(sentences[:-1]).rstrip(".") for sentences in parts if len(sentences) > 1]
    asks = [sentences[-1].rstrip("?") for sentences in parts]
    do = ", and ".join([does[0], *map(_small, does[1:])]) + ". " if does else ""
    joint = ", and " if all(ask.startswith("What ") for ask in asks) else "? And "
    return do + joint.join([asks[0], *map(_small, asks[1:])]) + "?"


_CONDITIONS = ("If ", "Of ")


def said_on(sentences: Sequence[str]) -> str:
    """Sentences one after another; what follows a condition goes on with it, after a comma where it has its own colon.

    >>> said_on(["If so:", "From memory: nine flats.", "Never more."]), said_on(["If so:", "It mates."])
    ('If so, from memory: nine flats. Never more.', 'If so: it mates.')
    >>> said_on(["If so:", "O-ring here."])
    'If so: O-ring here.'
    """
    text = ""
    for each in sentences:
        if not text.endswith(":") or not text.rpartition(". ")[2].startswith(_CONDITIONS):
            text = f"{text} {each}".strip()
            continue
        word = _CAPITALIZED.match(each)
        rest = _small(each) if word and word[0] not in PROPER else each
        colon = each.partition(".")[0].find(":") >= 0
        text = f"{text[:-1]}, {rest}" if colon else f"{text} {rest}"
    return text


def _small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
