"""A number said while "twenty-two, or twenty-two point one?" is open: which of the two it is, or what else.

One of them may be said by its figures alone, "two two one", or by what the other has not, "the point one". A bare
number that is neither is not of what is asked, nor a size: it is what a gauge shows, or it is asked again which.

Duty: this judgement. It must not take anything (:mod:`voicefit.dialogue.taking`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import replace
from fractions import Fraction

from voicefit.dialogue import asking
from voicefit.dialogue.meanings import reading_at
from voicefit.dialogue.state import Choosing, Question
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.tokens import word_set
from voicefit.quantities import Quantity
from voicefit.records import Item, Meaning, Measurand, Option, Reading

_SHOWN_BY_A_GAUGE = frozenset({Measurand.PITCH, Measurand.SEAT_ANGLE})
_NEAR = Fraction(9, 10)  # measured again, or misheard: no leaf's number
_POINT = "point"
_BEFORE_POINT = word_set("the is its with a that say yes")


def by_its_figures(turn: Turn, question: Question, text: str) -> Meaning | None:
    """The one of the two of which a text says the figures, or the decimals that it alone has."""
    if not isinstance(question, Choosing):
        return None
    words = re.findall(r"[a-z]+", text.casefold().replace("decimal", _POINT))
    found = [choice for choice in question.choices if _says(words, _figures(turn, choice, question))]
    return found[0] if len(found) == 1 else None


def _says(words: list[str], figures: list[str]) -> bool:
    if _POINT not in figures:
        return False
    decimals = figures[figures.index(_POINT) :]
    return words == [word for word in figures if word != _POINT] or any(
        words[at : at + len(decimals)] == decimals and (at == 0 or words[at - 1] in _BEFORE_POINT)
        for at in range(len(words))
    )


def as_they_may_be(turn: Turn, meanings: Sequence[Meaning]) -> Sequence[Meaning]:
    """The meanings with each bare number, being none of the two, as what a gauge shows alone. Where nothing is left of
    the likeliest it is asked again which of the two was said."""
    question = turn.focus.question
    if not isinstance(question, Choosing):
        return meanings
    asked = {option for choice in question.choices for option in reading_at(choice, question.item).options}
    if not all(isinstance(option.value, Quantity) and option.value.is_length for option in asked):
        return meanings
    kept = [replace(each, items=_kept(turn, each.items, asked)) for each in meanings]
    if not kept or not kept[0].items:  # another cut of the same words is no better
        asking.ask_which(turn, question, again=True)
        return ()
    return [each for each in kept if each.items]


def _kept(turn: Turn, items: Sequence[Item], asked: Set[Option]) -> tuple[Item, ...]:
    kept: list[Item] = []
    shown = {(measurand, v) for measurand in _SHOWN_BY_A_GAUGE for v, _ in turn.knowledge.values[measurand]}
    for item in items:
        bare = isinstance(item, Reading) and len(item.measurands) > 1
        if isinstance(item, Reading) and bare and item.measurands & {option.measurand for option in asked}:
            how_near = {_how_near(one, other) for one in item.options for other in asked}
            if 1 not in how_near:
                item = replace(item, options=tuple(o for o in item.options if (o.measurand, o.value) in shown))
                if not item.options or max(how_near) > _NEAR:
                    continue
        kept.append(item)
    return tuple(kept)


def _how_near(option: Option, asked: Option) -> Fraction:
    """The lesser of two numbers as a share of the greater; 1 is the same."""
    one, other = (each.value.value if isinstance(each.value, Quantity) else Fraction() for each in (option, asked))
    return min(one, other) / max(one, other) if one and other else Fraction()


def _figures(turn: Turn, choice: Meaning, question: Choosing) -> list[str]:
    """The figures of a choice as they are spelled out: "two two point one"."""
    option: Option = reading_at(choice, question.item).options[0]
    return turn.knowledge.wording.spelled_out(option).rpartition(": ")[2].split()
