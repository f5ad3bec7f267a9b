"""The classifier as a witness on what phrases took.

How it works. Phrases know what a few words say, not whether they are said of the end in hand: "the book has it as a
flare, it's a cone" has two such. The classifier weighs each word of the sentence: what phrases took of words that are
not told is left out, and what is only perhaps told is asked about where nothing else is. What is denied, or only
perhaps so, needs less; and what phrases took stands where they took nearly all of the text, unless that is talk. Runs
of words that surely are not told are left out where others surely are: "the tag says sixteen, it's eighteen".

Duty: this judgement of what was taken. It must not make readings.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import replace
from itertools import groupby
from typing import TypeGuard

from voicefit.interpretation import kinds, parts
from voicefit.interpretation.kinds import SentenceClassifier
from voicefit.interpretation.tokens import Token
from voicefit.records import Command, Context, Item, KindShares, Meaning, Measurand, Reading, Rejection

_TOLD, _PERHAPS, _ANSWERED = 0.6, 0.3, 0.05  # less than told is asked about, less than perhaps left out
_TOLD_IN_TALK = 0.9  # where the text as a whole is talk
_ANSWERED_UNSURELY = 0.15  # of who says besides that one cannot tell
_WHOLE, _MOST_OF_IT = 0.9, 0.7  # of a text's letters
_SURELY_TOLD, _NOT_TOLD = 0.7, 0.3  # a run of words that is left out beside one that is not
_FEWEST = 2  # words of a run that is left out
_SURELY_TALK, _TALK, _TELLING = 0.9, 0.8, 0.5  # of a text as a whole
_NOT_OF_THE_END = frozenset(
    {
        Measurand.HOSE_TYPE,
        Measurand.HOSE_BORE,
        Measurand.HOSE_OUTSIDE_DIAMETER,
        Measurand.REINFORCEMENT,
        Measurand.HEX,
        Measurand.DASH,  # a designation
        Measurand.LENGTH,
        Measurand.PRESSURE,
        Measurand.TEMPERATURE,
        Measurand.ELBOW_ANGLE,
        Measurand.ROUTE_BEND,
        Measurand.ROUTE_RADIUS,
    }
)
_JOINTS = re.compile(r"\b(?:and|it's|it is|then)\b", re.I)
_NAMING = frozenset({"one-end", "other-end", "both-ends", "piece", "same-end", "order-other"})
_ANSWERS = frozenset({"yes", "no"})
_ORDERS = "order-slip"
_AGREEING = _ANSWERS | {"okay"}
_NO_CALLS = _ANSWERS | {kinds.ASIDE, kinds.CANNOT_TELL, "correct"}


class Witness:
    """The classifier asked about what phrases took; without one, all of it stands. ``turning`` : words that tie a part
    of a sentence to the rest; ``numbers`` : the words of numbers; ``alarms`` : commands that are never doubted."""

    def __init__(
        self,
        classifier: SentenceClassifier | None,
        turning: Set[str],
        numbers: Set[str],
        alarms: Set[str] = frozenset(),
    ) -> None:
        self._classifier, self._turning, self._numbers = classifier, turning, numbers
        self._always = _NAMING | _NO_CALLS | alarms

    def told(self, text: str) -> Sequence[float]:
        """Of each letter how likely it is told of the end in hand."""
        return () if self._classifier is None else self._classifier.of(text).told

    def own_words(self, text: str, tokens: Sequence[Token]) -> tuple[Token, ...] | None:
        """The tokens without those that surely tell nothing of the end, or ``None`` where all tell or none."""
        told = self.told(text)
        return None if self._classifier is None else without_talk(tokens, told, self._turning, self._numbers)

    def is_talk(self, text: str) -> bool:
        """Whether a text as a whole surely says nothing of the end, or that one cannot tell."""
        likeness = None if self._classifier is None else self._classifier.of(text)
        return likeness is not None and kinds.nothing(likeness) + kinds.unsure(likeness) >= _TALK

    def is_doubtful(self, meaning: Meaning) -> bool:
        """Whether something is left over, or taken that is not told; but not where anything is called."""
        rest = any(isinstance(item, Rejection) for item in meaning.items)
        return not _calls(meaning) and (rest or self.borne_out(meaning) is not meaning)

    def borne_out(self, meaning: Meaning) -> Meaning:
        """The meaning without what is not told of the end in hand."""
        if self._classifier is None or _is_said_of_an_end(meaning):
            return meaning
        heard = {item.heard for item in meaning.items if not isinstance(item, Rejection) and _may_be_told(item)}
        whole = sum(map(parts.letters, heard)) >= _WHOLE * parts.letters(_JOINTS.sub("", meaning.text))
        orders = any(isinstance(item, Command) and item.name == _ORDERS for item in meaning.items)
        orders = orders or len(_of_a_hose(meaning)) > 1  # "three quarter, two wire, eight fifty long"
        sentence = _Sentence(meaning.text, self._classifier.of(meaning.text), is_whole=whole, orders=orders)
        tells = any(isinstance(item, Reading) for item in meaning.items)
        kept = tuple(
            item
            for item in meaning.items
            if sentence.bears_out(item) and not (tells and self._is_called_by_chance(item, meaning.text))
        )
        if sentence.cannot_tell and not any(isinstance(item, Reading) for item in kept):
            kept = tuple(
                item
                for item in meaning.items
                if item in kept or (self._is_told_by_itself(item, meaning.text) and sentence.may_be_told(item))
            )
        elif len(kept) == 1 and sentence.is_doubtful(kept[0]):
            kept = (replace(kept[0], guessed=True),)
        if kept == meaning.items:
            return meaning
        return replace(meaning, items=kept or (Command(kinds.ASIDE, meaning.text),))

    def _is_called_by_chance(self, item: Item, text: str) -> bool:
        """Whether some words of a clause are those of a function, and the clause is not like it: "the olive's | still
        on | it". An alarm too many does less harm than one that is missing."""
        if not isinstance(item, Command) or item.readings or item.name in self._always:
            return False
        assert self._classifier is not None
        clause = next((each for each in parts.CLAUSES.split(text) if item.heard in each), text)
        if parts.letters(item.heard) >= _MOST_OF_IT * parts.letters(clause):
            return False
        return self._classifier.of(clause).shares.get(item.name, 0.0) < _ANSWERED

    def _is_told_by_itself(self, item: Item, text: str) -> bool:
        """Whether a reading is a clause of its own that tells: "there's a ring, but I can't see where it sits"."""
        assert self._classifier is not None
        if not isinstance(item, Reading):
            return False
        clause = next((each for each in parts.CLAUSES.split(text) if item.heard in each), text)
        if clause == text or parts.letters(item.heard) < _WHOLE * parts.letters(clause):
            return False
        return _Sentence(clause, self._classifier.of(clause), is_whole=True, orders=False).bears_out(item)


def without_talk(
    tokens: Sequence[Token], told: Sequence[float], turning: Set[str], numbers: Set[str]
) -> tuple[Token, ...] | None:
    """The tokens without those that surely tell nothing, or ``None`` where all tell or none, where a word of
    ``turning`` ties them to the rest ("sixteen threads over ten psi"), or where one of ``numbers`` right behind them is
    of what they name: "lower down | eighteen". ``told`` : of each letter of the text."""
    likely = [sum(told[t.start : t.end]) / max(1, t.end - t.start) for t in tokens]
    if max(likely) < _SURELY_TOLD:
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


def is_the_answer(meaning: Meaning, context: Context) -> bool:
    """Whether phrases took all of a text as a name of what was just asked for: that is told, whatever it is like."""
    match meaning.items:
        case [Reading() as item] if not item.guessed and item.measurands <= frozenset(context.expected):
            named = all(isinstance(option.value, str) for option in item.options)
            return named and item.heard.casefold() == meaning.text.casefold().strip(" .,;!?")
    return False


def _of_a_hose(meaning: Meaning) -> list[Reading]:
    return [item for item in meaning.items if isinstance(item, Reading) and item.measurands <= _NOT_OF_THE_END]


def _calls(meaning: Meaning) -> bool:
    """Whether a function is called, but a yes, a no or a correction."""
    return any(isinstance(item, Command) and item.name not in _NO_CALLS for item in meaning.items)


def _is_said_of_an_end(meaning: Meaning) -> bool:
    """Whether an end is named first, and phrases took all that is said of it: of that end it is told."""
    first, *said = meaning.items
    names = isinstance(first, Command) and first.name in _NAMING
    return names and bool(said) and all(isinstance(item, Reading) and not item.guessed for item in said)


def _may_be_told(item: Command | Reading) -> bool:
    """Whether it is a reading, a yes or a no."""
    return isinstance(item, Reading) or item.name in _ANSWERS


def is_surely_told(readings: Sequence[Reading], classifier: SentenceClassifier | None, text: str) -> bool:
    """Whether each is told of the end in hand by the words around it."""
    if classifier is None or not readings:
        return False
    sentence = _Sentence(text, classifier.of(text), is_whole=False, orders=False)
    return all(sentence.is_surely_told(reading) for reading in readings)


def is_doubted(reading: Reading) -> bool:
    """Whether others told it, or it is doubted."""
    return all(option.certainty < 1.0 for option in reading.options)


class _Sentence:
    """What a text is like, as a whole and word by word. ``is_whole`` : phrases took nearly all of it;
    ``orders`` : it asks for the order slip, or describes a hose."""

    def __init__(self, text: str, likeness: KindShares, *, is_whole: bool, orders: bool) -> None:
        self._text, self._told, self._orders = text.casefold(), likeness.told, orders
        cannot_tell = kinds.unsure(likeness) + kinds.of_commands(likeness, {kinds.CANNOT_TELL})
        self.cannot_tell = cannot_tell >= _TELLING
        self._is_unsure = kinds.nothing(likeness) + cannot_tell >= _TELLING
        self._is_all, self._all_is_taken = is_whole, is_whole and not self._is_unsure
        self._is_talk = kinds.nothing(likeness) >= _TALK
        self._is_surely_talk = kinds.nothing(likeness) >= _SURELY_TALK
        self._answers = kinds.of_commands(likeness, _AGREEING) >= _TELLING

    def bears_out(self, item: Item) -> bool:
        if isinstance(item, Rejection) or not _may_be_told(item):
            return True
        likely, is_whole = self._likely(item.heard), self._is_whole(item)
        if isinstance(item, Command):
            is_last = self._text.rstrip(" .,;!?").endswith(item.heard.casefold())
            stands = is_whole or self._all_is_taken or self._answers or (is_last and not self.cannot_tell)
            return stands or likely >= (_ANSWERED_UNSURELY if self._is_unsure else _ANSWERED)
        if likely >= (_TOLD_IN_TALK if self._is_talk else _TOLD) or self._all_is_taken:
            return True
        if item.measurands <= _NOT_OF_THE_END:
            return is_whole or self._is_all or not self._is_talk or likely >= _ANSWERED
        if self._orders and len(item.measurands) > 1:
            return True  # a bare number: "order that, two"
        if any(option.negated for option in item.options):
            return is_whole or not self._is_surely_talk  # of little harm; others' words are denied in the same way
        if is_doubted(item):
            return likely >= _ANSWERED or is_whole
        return (is_whole and not self._is_surely_talk) or (likely >= _PERHAPS and not self._is_unsure)

    def may_be_told(self, item: Item) -> bool:
        """Whether what is clear by itself counts of who cannot tell: a name does, a number ("fifty fifty") hardly."""
        if not isinstance(item, Reading):
            return False
        named = all(isinstance(option.value, str) for option in item.options)
        return (named and not is_doubted(item)) or self._likely(item.heard) >= _ANSWERED

    def is_surely_told(self, reading: Reading) -> bool:
        return self._likely(reading.heard) >= _SURELY_TOLD and not self._is_talk

    def is_doubtful(self, item: Item) -> TypeGuard[Reading]:
        """Whether a reading is only perhaps told."""
        if not isinstance(item, Reading) or item.measurands <= _NOT_OF_THE_END or is_doubted(item):
            return False
        denies = any(option.negated for option in item.options)
        return not denies and not self._is_whole(item) and self._likely(item.heard) < _TOLD

    def _is_whole(self, item: Command | Reading) -> bool:
        """Whether phrases took it of nearly all of the text."""
        return parts.letters(item.heard) >= _WHOLE * parts.letters(self._text)

    def _likely(self, heard: str) -> float:
        """How likely these words are told: the likeliest fifth of their letters at least; of what stands there twice
        the better."""
        heard = heard.casefold()
        starts = [at for at in range(len(self._text)) if self._text.startswith(heard, at)]
        shares = [sorted(self._told[start : start + len(heard)]) for start in starts]
        return max((each[len(each) * 4 // 5] for each in shares if each), default=1.0)
