"""What was asked is answered, and something hangs on it: "yes, four to a box they come in", "male, and what torque".

How it works. Where a text as a whole answers nothing that was asked, its clauses are read from the front: the longest
beginning that by itself plainly answers counts, where nothing behind it takes it back. Behind what was set right in one
breath may stand why: "female, sorry, male, I had the wrong end in my hand". What is asked behind an "and" or a "so" is
asked besides. A yes or a no to somebody else answers nothing: "yes, Bert, I'll be down".

Duty: this choice between a text and its beginning. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TypeGuard

from voicefit.interpretation import kinds
from voicefit.interpretation.answers import counts
from voicefit.interpretation.kinds import ASIDE, BEYOND, CANNOT_TELL, SentenceClassifier
from voicefit.interpretation.parts import CLAUSES
from voicefit.interpretation.remarks import is_all
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command, Context, Item, Meaning, Reading

Says = Callable[[str, Context], tuple[Meaning, ...]]

_ANSWERS = frozenset({"yes", "no"})
_TELL_NOTHING = frozenset({ASIDE, BEYOND, "okay", "pause"})
_TALK, _TALKS = 0.6, 0.9
_NAME = 2  # words
_MOST_CLAUSES = 6
_WORDS = re.compile(r"[a-z']+")
_ASKS_BESIDES = re.compile(
    r"(?:and|so|then|now)\s+(?:what|which|how|where|when|why|who|is|are|can|could|do|does|will|would|should)\b", re.I
)
_POINTS = re.compile(r"(?:that|this|which)\b", re.I)  # "no, that was the angle"
_TURNS = word_set(
    "no not nope nah never nothing neither nor or other others another wrong except unless if whether scrap scratch "
    "forget ignore doubt might maybe perhaps could probably guess guessing reckon think supposed meant mean sorry wait "
    "last yesterday isn't ain't wasn't doesn't didn't don't"
)
_OF_IT = [[word] for word in ("it", "it's", "that", "that's", "this", "which", "on", "for", "of", "at", "was")]


def of(text: str, context: Context, says: Says, classifier: SentenceClassifier | None) -> tuple[Meaning, ...]:
    """The meanings of a text. ``says`` : of a text as it stands."""
    found = says(text, context)
    clauses = [clause.strip() for clause in CLAUSES.split(text) if clause.strip()]
    if classifier is None or context.spelling or not 1 < len(clauses) <= _MOST_CLAUSES or not _is_open(found, context):
        return found
    asks = next((at for at in range(1, len(clauses)) if _ASKS_BESIDES.match(clauses[at])), len(clauses))
    called = {item.name for item in found[0].items if _calls(item)}
    if CANNOT_TELL in called:
        return found
    for end in range(asks, 0, -1):
        if end == len(clauses):
            continue
        answer = says(", ".join(clauses[:end]), context)[0].items
        if not all(_is_answer(item, context) for item in answer):
            continue
        last = says(clauses[end - 1], context)[0].items
        mended = end > 1 and _values(last) == _values(answer)
        besides = says(", ".join(clauses[end:]), context)[0].items if called else ()
        calls = tuple(item for item in besides if _calls(item))
        if asks == len(clauses) and called != {item.name for item in calls}:
            continue
        rest = clauses[end:asks]
        if not (called or mended) and is_all(text, classifier, _TALKS):
            continue
        if not mended and not all(
            _is_answer(i, context) for each in clauses[:end] for i in says(each, context)[0].items
        ):
            continue  # "yes, Bert, I'll be down"
        if not (called or mended) and _names_somebody(rest):
            continue
        beside = called and asks == len(clauses) and not any(_turns(each) or _POINTS.match(each) for each in rest)
        if beside or not _is_taken_back(rest, classifier, mended=mended):
            return (Meaning(text, (*answer, *calls), 0.0),)
    return found


def _is_open(found: Sequence[Meaning], context: Context) -> bool:
    """Whether something was asked that is not answered."""
    asked = context.yes_no or bool(context.expected)
    return asked and not any(_may_answer(item, context) for item in found[0].items)


def _may_answer(item: Item, context: Context) -> bool:
    if isinstance(item, Command):
        return item.name in _ANSWERS or bool(item.readings)
    return isinstance(item, Reading) and (context.yes_no or not item.measurands.isdisjoint(context.expected))


def _is_answer(item: Item, context: Context) -> bool:
    """Whether phrases took it, and it is what was asked."""
    if isinstance(item, Command):
        return context.yes_no and item.name in _ANSWERS
    if not isinstance(item, Reading) or item.guessed:
        return False
    asked = frozenset(context.expected)
    return not asked.isdisjoint(item.measurands) if counts(item) else item.measurands <= asked


def _calls(item: Item) -> TypeGuard[Command]:
    return isinstance(item, Command) and item.name not in _TELL_NOTHING


def _values(items: Sequence[Item]) -> list[object]:
    return [item.options if isinstance(item, Reading) else getattr(item, "name", "") for item in items]


def _turns(clause: str) -> bool:
    return not _TURNS.isdisjoint(_WORDS.findall(clause.casefold()))


def _names_somebody(clauses: Sequence[str]) -> bool:
    """Whether a word or two between pauses speak to somebody."""
    return any(len(clause.split()) <= _NAME for clause in clauses)


def _is_taken_back(clauses: Sequence[str], classifier: SentenceClassifier, *, mended: bool) -> bool:
    """Whether what stands behind an answer may turn it, or is more than talk. ``mended`` : the answer set something
    right, and this says what was wrong."""
    for clause in clauses:
        likeness = classifier.of(clause)
        if mended and (kinds.likeliest_told(likeness) < _TALK / 2):
            continue
        elsewhere = kinds.nothing(likeness) >= _TALK and _WORDS.findall(clause.casefold())[:1] not in _OF_IT
        if _turns(clause) or not (kinds.beside_the_work(likeness) >= _TALK or elsewhere):
            return True
    return False
