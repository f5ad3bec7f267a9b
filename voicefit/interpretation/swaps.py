"""One value in the place of another, in whatever words: "put eighteen instead of nineteen", "you've nineteen down, it
wants to be eighteen".

How it works. Where a text was not understood to the end, has a word that corrects, and says two values of one thing,
or weighs the one against the other ("more like thirty than forty-five"), the one is to stand in the place of the other.
Which of them is the wrong one is told by what is on record: that is for :mod:`voicefit.dialogue.corrections`. A "not",
a "than" or an "instead of" right before one of them tells it as well; and so does the classifier, where the one is
surely told of the end in hand and the other surely not: "Ann thought it was one and a half, I make it eighteen".

Who tells what it is and then what he said of it ("it's a female, I said male") said so before, and corrects it; but
"you've got female, I said male" and "no, I said male" hold to it.

Duty: these two readings. It must not know what is on record.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import mean

from voicefit.interpretation.chart import ARTICLES, Chart
from voicefit.interpretation.tokens import Token, word_set
from voicefit.records import ABSENT, Command, Item, Meaning, Measurand, Reading

_CORRECTS = word_set(
    "instead rather should ought supposed wants swap change changed replace wrong mistake accident error misread "
    "misheard meant mean sorry"
)
_MAY_CORRECT = word_set(  # where the one is said not to be so
    "said told gave put had wrote called forget scrap actually again down not never"
)
_CHOOSES = frozenset({"or", "either", "between", "neither", "maybe", "might", "could", "if", "than"})
_NOTS = frozenset({"not", "never"})
_THAN = "than"
_TOLD, _NOT_TOLD = 0.7, 0.3
_IN_PLACE = frozenset({("instead", "of"), ("rather", _THAN), ("opposed", "to")})
_BETTER = frozenset({"better", "more", "closer", "nearer", "sooner", "likelier", "rather"})
_BEFORE = frozenset({*ARTICLES, "it", "is", "to", "like"})
_AS_SAID = re.compile(
    r"(?<!no, )(?<!no )(?<!nope, )(?<!as )(?<!like )(?<!what )\b(?:i|we)(?:'d| had|'ve| have)? (?:(?:just|only) )?"
    r"(?:said|told you|gave you|called it)\b",
    re.I,
)
_STATES = re.compile(
    r"(?:^|[,.;!]|\b(?:and|but|oh|well|so))\s*(?:it|that|this|the \w+)(?:'s| is| has| goes)\b"
    r"[^,.;!?]*(?:[,.;]\s*(?:sorry|oops|whoops|wait|hang on|hold on))?$",
    re.I,
)


def sets_right(tokens: Sequence[Token], meaning: Meaning) -> bool:
    """Whether one of two values is said not to be so, and a word beside them corrects: "it should be eighteen, not
    nineteen"."""
    readings = [item for item in meaning.items if isinstance(item, Reading)]
    denied = [reading.options[0].negated for reading in readings]
    corrects = not _CORRECTS.isdisjoint(token.text for token in tokens)
    return corrects and len(denied) == len(meaning.items) == 2 and True in denied and False in denied


def said_before(text: str, items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items with a name that is stated, and another of the same behind it that was only said, as a correction of
    the second by the first: "it's a female, I said male"."""
    kept: list[Item] = []
    for item in items:
        before = [each for each in kept if not isinstance(each, Command) or each.name != "correction"]
        told, said = _one_name(before[-1]) if before else None, _one_name(item)
        if told and said and told.measurands <= said.measurands and _is_only_said(text, told, said):
            wrong = replace(
                said, options=tuple(replace(o, negated=True) for o in said.options if o.measurand in told.measurands)
            )
            begins = text.find(told.heard)
            heard = text[begins : text.find(said.heard, begins + len(told.heard)) + len(said.heard)]
            kept = [*before[:-1], Command("correct", heard, (wrong, told))]
            continue
        kept.append(item)
    return tuple(kept)


def _one_name(item: Item) -> Reading | None:
    """The reading of an item that says one thing, or corrects by one, and denies nothing."""
    readings = item.readings if isinstance(item, Command) and item.name == "correct" else (item,)
    reading = readings[0] if len(readings) == 1 else None
    return reading if isinstance(reading, Reading) and not any(o.negated for o in reading.options) else None


def _is_only_said(text: str, told: Reading, said: Reading) -> bool:
    """Whether the one is stated and the other, behind it, what was said; and they are not the same."""
    if {option.value for option in told.options} & {option.value for option in said.options}:
        return False
    begins = text.find(told.heard)
    ends = text.find(said.heard, begins + len(told.heard))
    found = _AS_SAID.search(text, begins, ends + len(said.heard)) if 0 <= begins < ends else None
    return found is not None and _STATES.search(text[: found.start()].rstrip(" ,;.")) is not None


def swapped(text: str, tokens: Sequence[Token], chart: Chart, perhaps: float, told: Sequence[float]) -> Command | None:
    """A correction of the one value by the other, the wrong one denied where that was said; or ``None``.
    ``perhaps`` : how certain what is only held to be better is; ``told`` : of each letter of the text, how likely it is
    told of the end in hand."""
    words = [token.text for token in tokens]
    than = words.index(_THAN) if _THAN in words else 0
    better = not _BETTER.isdisjoint(words[:than])
    corrects = better or any(pair in _IN_PLACE for pair in pairwise(words)) or not _CORRECTS.isdisjoint(words)
    may_correct = corrects or not _MAY_CORRECT.isdisjoint(words)
    if not may_correct or not (_CHOOSES - ({_THAN} if better else set())).isdisjoint(words):
        return None
    values: list[Reading] = []
    at = 0
    while at < len(tokens):
        every = [match for rule in ("said", "bare") for match in chart.match(rule, at)]
        matches = [match for match in every if not match[1].only_if_asked]
        in_one = [m for m in matches if not any(token.paused for token in tokens[at + 1 : m[0]])]
        matches = in_one or matches  # "not thirteen comma one, thirteen comma nine" has no "one thirteen"
        end = max((end for end, _, _ in matches), default=at)
        found = [phrase for stop, phrase, _ in matches if stop == end]
        if any(len(phrase.items) > 1 for phrase in found):
            return None  # "twenty by two, sorry, twenty two by two" is no value by itself
        readings = [phrase.items[0] for phrase in found if len(phrase.items) == 1 and not phrase.corrects]
        options = tuple(dict.fromkeys(o for each in readings if isinstance(each, Reading) for o in each.options))
        options = tuple(
            o for o in options if o.measurand is not Measurand.LENGTH and o.value != ABSENT
        )  # "wants to be"
        if options:
            share = mean(told[tokens[at].start : tokens[end - 1].end] or (1.0,))
            denied = _is_denied(words, at) or (share < _NOT_TOLD and max(told) > _TOLD)
            options = tuple(replace(option, negated=option.negated != denied) for option in options)
            if better and "rather" not in words and not denied:
                options = tuple(option.doubted(perhaps) for option in options)
            heard = text[tokens[at].start : tokens[end - 1].end]
            values.append(Reading(heard, options))
        at = max(end, at + 1)
    return _correction(text, values, surely=corrects)


def _correction(text: str, values: Sequence[Reading], *, surely: bool) -> Command | None:
    if len(values) != 2:
        return None
    shared = values[0].measurands & values[1].measurands
    if not shared:
        return None
    one, two = (
        replace(each, options=tuple(option for option in each.options if option.measurand in shared)) for each in values
    )
    if {option.value for option in one.options} & {option.value for option in two.options}:
        return None
    denied = [each for each in (one, two) if all(option.negated for option in each.options)]
    if len(denied) == 2 or not (denied or surely):
        return None
    readings = (two, one) if denied and denied[0] is two else (one, two)
    return Command("correct", text, readings)


def _is_denied(words: Sequence[str], at: int) -> bool:
    """Whether a "not", an "instead of" or a "than" stands right before a value."""
    while at > 0 and words[at - 1] in _BEFORE and tuple(words[max(at - 2, 0) : at]) not in _IN_PLACE:
        at -= 1
    return at > 0 and (words[at - 1] in _NOTS | {_THAN} or tuple(words[max(at - 2, 0) : at]) in _IN_PLACE)
