"""The matcher's reasons in words: "nineteen threads per inch rules out thirty seven degree flare".

Duty: word reasons. Which reasons there are, and how heavy, is the matter of :mod:`voicefit.matching.explain`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from voicefit.dialogue.snapshot import ReadingTaken
from voicefit.dialogue.wording import Wording
from voicefit.matching.explain import Explanation, WeightedReason
from voicefit.quantities import Quantity
from voicefit.records import Option

LEAST_BIT = 0.5  # a reason that moves the odds by less is not worth a breath
SERIES_NAMED = 2  # series named as ruled out by one reading

SeriesWords = Callable[[str], str | None]


def for_it(
    explanation: Explanation, taken: Sequence[ReadingTaken], wording: Wording, series_words: SeriesWords
) -> tuple[str, ...]:
    """Why: what each reading says for the end, the heaviest first; what is against it last."""
    reasons = [reason for reason in explanation.reasons if abs(reason.weight_bit) >= LEAST_BIT]
    positive = [_for(reason, taken, wording, series_words) for reason in reasons if reason.weight_bit > 0]
    negative = [_against(reason, taken, wording) for reason in reasons if reason.weight_bit < 0]
    return (*positive, *negative)


def against_it(explanation: Explanation, taken: Sequence[ReadingTaken], wording: Wording) -> tuple[str, ...]:
    """Why not: what the readings say against an end, with that end's own numbers."""
    reasons = [reason for reason in explanation.reasons if reason.weight_bit >= LEAST_BIT]
    return tuple(_against(reason, taken, wording) for reason in reasons)


def _for(reason: WeightedReason, taken: Sequence[ReadingTaken], wording: Wording, series_words: SeriesWords) -> str:
    option = taken[reason.reading].option
    words = wording.reading(option)
    names = [name for name in map(series_words, reason.rules_out) if name][:SERIES_NAMED]
    if names:
        return wording.phrase("reason-rules-out", reading=words, series=_and(names))
    if isinstance(reason.nominal, Quantity) and reason.nominal.is_length and isinstance(option.value, Quantity):
        return wording.phrase("reason-nominal", reading=words, nominal=_nominal(reason, wording))
    return wording.phrase("reason-fits", reading=words)


def _against(reason: WeightedReason, taken: Sequence[ReadingTaken], wording: Wording) -> str:
    words = wording.reading(taken[reason.reading].option)
    if reason.nominal is None or reason.fits:
        return wording.phrase("reason-unlikely", reading=words)
    return wording.phrase("reason-against", reading=words, nominal=_nominal(reason, wording))


def _nominal(reason: WeightedReason, wording: Wording) -> str:
    assert reason.nominal is not None
    return wording.reading(Option(reason.taken_as, reason.nominal))


def _and(names: Sequence[str]) -> str:
    return " and ".join(names)
