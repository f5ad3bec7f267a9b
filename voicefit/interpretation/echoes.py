"""What is denied, or put beside another, by a later clause of the same breath.

How it works. "It's supposed to be a flare but it isn't" has a clause that only denies ("but it isn't": the list
``denials`` of ``words.toml``): what the clause before it said of the same subject is not so. A subject that was not
spoken of ("flat face, there isn't one") is another matter, and so is a denial of what was already denied.

"Could be a flare, could be the British one": two clauses that each say "could be" (the list ``maybes``) are
alternatives. Where one of them was not understood, the other says nothing by itself.

And of two meanings that only deny, the one that denies less.

Duty: these. It must not make readings, and must not know the context.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from voicefit.interpretation.chart import Chart
from voicefit.interpretation.segment import log_add
from voicefit.interpretation.tokens import Token
from voicefit.records import Item, Meaning, Measurand, Reading, Reason, Rejection

_JOINTS = frozenset(
    {"but", "and", "only", "well", "oh", "no", "nope", "nah", "although", "though", "except", "actually"}
)
_ALIKE = 1.0  # of log weights
_NOES = frozenset({"no", "nope", "nah"})  # "eighteen? no"
_SUBJECTS = frozenset({"it", "there", "that", "this", "they"})
_MAY_BE = frozenset(
    {"should", "must", "might", "could", "may", "would", "ought", "looks", "look", "seems", "appears", "was", "says"}
)
_VERBS = frozenset({"is", "has", "does", "are", "have", "do", "was", "had", "did", "can", "will"})


@dataclass(frozen=True, slots=True)
class Denial:
    """From where to where it reaches; ``of_it`` : surely of what came before."""

    start: int
    end: int
    of_it: bool


def denial(tokens: Sequence[Token], chart: Chart) -> Denial | None:
    """A clause, not the first, that says only that something is not so."""
    for at in range(1, len(tokens)):
        start = at
        while start > 1 and tokens[start - 1].text in _JOINTS and not tokens[start].paused:
            start -= 1
        if not (tokens[start].paused or tokens[start].text in _JOINTS):
            continue
        for end in sorted((end for end, _, _ in chart.match("list-denials", at)), reverse=True):
            if end == len(tokens) or tokens[end].paused:
                return Denial(start, end, _speaks_of_it(tokens, start, at))
    last = len(tokens) - 1
    return Denial(last, last + 1, True) if last > 0 and tokens[last].paused and tokens[last].text in _NOES else None


def _speaks_of_it(tokens: Sequence[Token], start: int, at: int) -> bool:
    """Whether the clauses before ``start`` have the subject and the verb of the denial at ``at``; "isn't" has none."""
    words = [token.text for token in tokens[:start]]
    subject, verb = tokens[at].text, tokens[at + 1].text if at + 1 < len(tokens) else ""
    if subject not in _SUBJECTS or verb not in _VERBS:
        return True
    verbs = {
        "has" if three == "got" else two
        for one, two, three in zip(words, words[1:], words[2:], strict=False)
        if one == subject
    }
    return verb in verbs or not verbs.isdisjoint(_MAY_BE)


def denied(items: tuple[Item, ...], *, surely: bool) -> tuple[Item, ...] | None:
    """The items with the last of them denied, or not understood where that is not ``surely`` meant; ``None`` where it
    cannot be: it is no reading, or was denied."""
    last = items[-1]
    if not isinstance(last, Reading) or any(option.negated for option in last.options):
        return None
    alike = [item for item in items[:-1] if isinstance(item, Reading) and item.heard == last.heard]
    if alike and last.measurands == {Measurand.SEALED_BY}:
        return denied(items[:-1], surely=surely)  # "a copper washer": the washer
    if alike or not surely:
        items = tuple(item for item in items if item not in alike)
        return (*items[:-1], Rejection(last.heard, Reason.OUT_OF_GRAMMAR, last.heard))
    options = tuple(replace(option, negated=True, hedge=None, certainty=1.0) for option in last.options)
    return (*items[:-1], replace(last, options=options))


def without_replaced(before: tuple[Item, ...], after: Sequence[Item]) -> tuple[Item, ...] | None:
    """The items without the last thing said, if something else is told of the same ``after`` it; ``None`` where not:
    "male, there's a washer, no it isn't, it's an o-ring"."""
    measurands = {m for item in after if isinstance(item, Reading) for m in item.measurands}
    last = [item for item in before if isinstance(item, Reading) and item.heard == getattr(before[-1], "heard", None)]
    replaced = any(not item.measurands.isdisjoint(measurands) for item in last)
    return tuple(item for item in before if item not in last) if replaced else None


def alternatives(tokens: Sequence[Token], chart: Chart) -> int:
    """How many clauses say that it may be so: "could be this, could be that"."""
    return sum(bool(chart.match("list-maybes", at)) for at in range(len(tokens)))


def denying_less(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """The meanings without one that denies all that another denies, and more, where they are as likely: "there is no
    cone in it" has no cone that goes in, and of one that stands out nothing is said for sure."""
    if len(meanings) < 2 or meanings[0].log_weight - meanings[1].log_weight > _ALIKE:
        return meanings
    denied = [
        {
            (option.measurand, option.value)
            for item in each.items
            if isinstance(item, Reading)
            for option in item.options
        }
        for each in meanings[:2]
    ]
    only = all(
        isinstance(item, Reading) and all(option.negated for option in item.options)
        for each in meanings[:2]
        for item in each.items
    )
    if not only or not (denied[0] < denied[1] or denied[1] < denied[0]):
        return meanings
    both = log_add(meanings[0].log_weight, meanings[1].log_weight)  # either says at least so much
    return (replace(meanings[0 if denied[0] < denied[1] else 1], log_weight=both), *meanings[2:])
