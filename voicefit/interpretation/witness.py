"""The classifier as a witness on what phrases took.

How it works. Phrases know what a few words say, not whether they are said of the end in hand: "the book has it as a
flare, it's a cone" has two such. The classifier weighs the sentence as a whole, and in it each word. Where some words
are surely told and others are not, what phrases took of the others is left out; where hardly any is, or all is likely
talk, what they took is. It is kept where they took nearly all of the text, and what is only perhaps so must be less
likely still. A yes or a no at the end of several stands.

Duty: this judgement of what was taken, yes or no. It must not make readings.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from voicefit.interpretation import kinds, parts, telling
from voicefit.interpretation.kinds import SentenceClassifier
from voicefit.interpretation.tokens import Token
from voicefit.quantities import Quantity
from voicefit.records import Command, Item, KindShares, Meaning, Measurand, Reading, Rejection

_TOLD, _SURELY_NOT = 0.3, 0.05  # less is left out: of what is taken; and of all that is said, or is only perhaps so
_WHOLE = 0.9  # of a text's letters
_SURELY_TALK, _TALK, _TO_OTHERS, _LIKELY, _HARDLY, _NO_WAY = 0.9, 0.8, 0.7, 0.5, 0.2, 0.05  # of a text as a whole
_SURELY_TOLD = 0.7
_NOT_OF_THE_END = frozenset(
    {
        Measurand.HOSE_TYPE,
        Measurand.LENGTH,
        Measurand.PRESSURE,
        Measurand.TEMPERATURE,
        Measurand.ELBOW_ANGLE,
        Measurand.ROUTE_BEND,
        Measurand.ROUTE_RADIUS,
    }
)
_NAMES = frozenset({Measurand.SERIES, Measurand.THREAD_SYSTEM})  # abbreviations: the classifier has hardly met them
_ANSWERS = frozenset({"yes", "no"})
_NO_CALLS = _ANSWERS | {kinds.ASIDE, kinds.CANNOT_TELL, "correct"}
_WAITING = frozenset({"pause", "cannot-tell", "undo"})  # who says so has not answered


class Witness:
    """The classifier asked about what phrases took; without one, all of it stands. ``turning`` : words that tie a part
    of a sentence to the rest."""

    def __init__(self, classifier: SentenceClassifier | None, turning: Set[str]) -> None:
        self._classifier, self._turning = classifier, turning

    def told(self, text: str) -> Sequence[float]:
        """Of each letter how likely it is told of the end in hand."""
        return () if self._classifier is None else self._classifier.of(text).told

    def own_words(self, text: str, tokens: Sequence[Token]) -> tuple[Token, ...] | None:
        """The tokens without those that surely tell nothing of the end, or ``None`` where all tell or none."""
        return None if self._classifier is None else telling.own_words(tokens, self.told(text), self._turning)

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
        if self._classifier is None:
            return meaning
        heard = {item.heard for item in meaning.items if not isinstance(item, Rejection) and _may_be_told(item)}
        whole = sum(map(parts.letters, heard)) >= _WHOLE * parts.letters(meaning.text)
        readings = [item for item in meaning.items if isinstance(item, Reading)]
        tells = readings and all(reading.measurands.isdisjoint(_NOT_OF_THE_END) for reading in readings)
        if whole and not (tells and kinds.nothing(self._classifier.of(meaning.text)) >= _SURELY_TALK):
            return meaning
        sentence = _Sentence(meaning.text, self._classifier.of(meaning.text), calls=_calls(meaning))
        kept = tuple(item for item in meaning.items if sentence.bears_out(item))
        if len(kept) == len(meaning.items):
            return meaning
        return replace(meaning, items=kept or (Command(kinds.ASIDE, meaning.text),))


def _calls(meaning: Meaning) -> bool:
    """Whether a function is called, but a yes, a no or a correction."""
    return any(isinstance(item, Command) and item.name not in _NO_CALLS for item in meaning.items)


def is_doubted(reading: Reading) -> bool:
    """Whether others told it, or it is doubted."""
    return all(option.certainty < 1.0 for option in reading.options)


def _may_be_told(item: Command | Reading) -> bool:
    """Whether it is a reading, a yes or a no."""
    return isinstance(item, Reading) or item.name in _ANSWERS | {kinds.CANNOT_TELL}


class _Sentence:
    """What a text is like, as a whole and word by word."""

    def __init__(self, text: str, likeness: KindShares, *, calls: bool) -> None:
        self._calls = calls
        self._text, self._told = text.casefold(), likeness.told
        most, telling = max(likeness.told, default=0.0), kinds.telling(likeness)
        waits = kinds.unsure(likeness) + kinds.of_commands(likeness, _WAITING)
        self._is_mixed = most >= _SURELY_TOLD
        self._is_talk = kinds.nothing(likeness) >= _TALK
        self._tells_hardly = self._is_talk or (telling < _HARDLY and most < _HARDLY)
        self._hardly_answers = kinds.nothing(likeness) >= _TO_OTHERS or waits >= _LIKELY
        self._may_count = not self._is_mixed and telling >= _NO_WAY

    def bears_out(self, item: Item) -> bool:
        if isinstance(item, Reading):
            if not item.measurands.isdisjoint(_NOT_OF_THE_END) or not (self._is_mixed or self._tells_hardly):
                return True
            if not self._is_talk and any(option.negated for option in item.options):
                return True  # it tells little, and what others say is denied in the same words
            counts = any(isinstance(option.value, Quantity) for option in item.options)
            if counts and (self._may_count if len(item.measurands) == 1 else self._calls):
                return True  # "order that, two": so many of them
            loose = is_doubted(item) or item.measurands <= _NAMES
            return self._likely(item.heard) >= (_SURELY_NOT if loose else _TOLD)
        if isinstance(item, Rejection) or item.name not in _ANSWERS or not (self._is_mixed or self._hardly_answers):
            return True
        is_last = self._text.rstrip(" .,;!?").endswith(item.heard.casefold())
        return (is_last and not self._is_talk) or self._likely(item.heard) >= _SURELY_NOT

    def _likely(self, heard: str) -> float:
        """How likely these words are told: the likeliest fifth of their letters at least; of what stands there twice
        the better."""
        heard = heard.casefold()
        starts = [at for at in range(len(self._text)) if self._text.startswith(heard, at)]
        shares = [sorted(self._told[start : start + len(heard)]) for start in starts]
        return max((each[len(each) * 4 // 5] for each in shares if each), default=1.0)
