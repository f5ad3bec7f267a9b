"""What was said is heard again, as it is and under noise: which weights hear this voice better, and how far their
confidence may be trusted with it.

The noise is pink and made by formula: ten phrases in a quiet room would tell nothing, for all weights hear those. A
comparison counts the sounds that only one of the two hears right (sign test). The fit moves one number, the intercept
of the acceptance, by maximum a posteriori with a normal prior: thirty sounds of one voice cannot say more.

Duty: hear, compare, fit. It must not record or keep anything; nothing is trained.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel

from voicefit.driver.labelled import ReadAloud, context_of, same_meaning
from voicefit.interpretation import Language
from voicefit.recognition import Recogniser
from voicefit.recognition.acceptance import Acceptance
from voicefit.recognition.signal import levels
from voicefit.records import Utterance

Samples = NDArray[np.float32]
SNRS_DB = (None, 10.0, 5.0)
_PRIOR_DEVIATION = 0.5  # log-odds; a choice: ten phrases move the acceptance by little, many by what they say
_LEAST, _MOST = -2.0, 0.5
_SIGNIFICANT = 0.05


@dataclass(frozen=True, slots=True)
class HeardAgain:
    """One sound. ``scores``: empty where nothing of the language was found in it."""

    phrase: str
    snr_db: float | None
    right: bool
    taken: bool
    scores: dict[str, float]


class WeightsDocument(BaseModel):
    """How one set of weights hears the voice; of ``heard`` sounds."""

    weights: str
    heard: int
    right: int
    taken: int
    wrong_and_taken: int


class ComparisonDocument(BaseModel):
    """``chance``: that two sets which hear equally well differ as much."""

    first: WeightsDocument
    second: WeightsDocument
    only_first: int
    only_second: int
    chance: float
    verdict: str


class FitDocument(BaseModel):
    """The acceptance for this voice; of ``heard`` sounds, with and without the shift (log-odds)."""

    shift: float
    heard: int
    right: int
    taken_before: int
    taken_after: int
    wrong_and_taken_before: int
    wrong_and_taken_after: int


class AgainDocument(BaseModel):
    """Phrases heard again, as they are and under noise, and what was asked for beside."""

    heard: WeightsDocument
    comparison: ComparisonDocument | None = None
    fit: FitDocument | None = None

    def lines(self) -> list[str]:
        """The same for a person."""
        found = []
        for each in [self.comparison.first, self.comparison.second] if self.comparison else [self.heard]:
            found.append(
                f"{each.weights}: {each.right} right of {each.heard} sounds, {each.taken} taken without asking, "
                f"{each.wrong_and_taken} of those wrong."
            )
        if self.comparison:
            found.append(self.comparison.verdict)
        if fit := self.fit:
            found.append(
                f"Acceptance fitted to this voice: {fit.taken_before} of {fit.heard} sounds were taken without asking, "
                f"now {fit.taken_after}; {fit.wrong_and_taken_after} of those wrong."
            )
        return found


def hear_again(
    recogniser: Recogniser, language: Language, said: Iterable[tuple[ReadAloud, Samples]]
) -> list[HeardAgain]:
    """Each of ``said`` (float32, 16 kHz) at every one of ``SNRS_DB``, ``None`` without noise."""
    found = []
    for number, (row, samples) in enumerate(said):
        for snr_db in SNRS_DB:
            sound = samples if snr_db is None else under_pink_noise(samples, snr_db, seed=number)
            transcript = recogniser.recognise(Utterance(sound), language, context_of(row.asked))
            found.append(
                HeardAgain(
                    row.transcript,
                    snr_db,
                    same_meaning(language, row.transcript, transcript.meanings),
                    transcript.rejection is None,
                    dict(transcript.scores),
                )
            )
    return found


def under_pink_noise(samples: Samples, snr_db: float, seed: int) -> Samples:
    """``samples`` with noise of equal power an octave, ``snr_db`` below the loudest tenth of the speech."""
    white = np.random.default_rng(seed).standard_normal(len(samples))
    spectrum = np.fft.rfft(white)
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    spectrum[0] = 0
    pink = np.fft.irfft(spectrum, len(samples))
    speech_dbfs, _ = levels(samples)
    gain = 10 ** ((speech_dbfs - snr_db) / 20) / np.sqrt(np.mean(pink**2))
    return np.asarray(samples + gain * pink, np.float32)


def counted(weights: str, heard: Sequence[HeardAgain]) -> WeightsDocument:
    return WeightsDocument(
        weights=weights,
        heard=len(heard),
        right=sum(each.right for each in heard),
        taken=sum(each.taken for each in heard),
        wrong_and_taken=sum(each.taken and not each.right for each in heard),
    )


def compare(names: tuple[str, str], first: Sequence[HeardAgain], second: Sequence[HeardAgain]) -> ComparisonDocument:
    """Two sets of weights over the same sounds, in the same order."""
    only_first = sum(a.right and not b.right for a, b in zip(first, second, strict=True))
    only_second = sum(b.right and not a.right for a, b in zip(first, second, strict=True))
    chance = sign_test(only_first, only_second)
    better = names[0] if only_first > only_second else names[1]
    if only_first == only_second:
        verdict = "Both hear this voice equally well."
    elif chance <= _SIGNIFICANT:
        verdict = f"{better} hears this voice better."
    else:
        verdict = f"{better} heard a little more, but no more than chance may bring: read more phrases to know."
    return ComparisonDocument(
        first=counted(names[0], first),
        second=counted(names[1], second),
        only_first=only_first,
        only_second=only_second,
        chance=round(chance, 4),
        verdict=verdict,
    )


def sign_test(a: int, b: int) -> float:
    """Two-sided probability of a split at least as uneven, were both sides equally likely.

    >>> sign_test(0, 0), sign_test(0, 5), sign_test(3, 3)
    (1.0, 0.0625, 1.0)
    """
    n = a + b
    return min(1.0, 2.0 * sum(math.comb(n, k) for k in range(min(a, b) + 1)) / float(2**n))


def fit(heard: Sequence[HeardAgain], acceptance: Acceptance) -> FitDocument:
    """The shift of ``acceptance`` for this voice: no sound that is wrong may be taken by it where none was before.

    ``heard`` must have the scores of an engine that ``acceptance`` judges.
    """
    known = [each for each in heard if each.scores]
    shift = round(_likeliest_shift(known, acceptance), 2)
    before, wrong_before = _taken(known, acceptance)
    while shift > 0 and _taken(known, acceptance.shifted(shift))[1] > wrong_before:
        shift = round(max(shift - 0.05, 0.0), 2)
    after, wrong_after = _taken(known, acceptance.shifted(shift))
    return FitDocument(
        shift=shift,
        heard=len(heard),
        right=sum(each.right for each in heard),
        taken_before=before,
        taken_after=after,
        wrong_and_taken_before=wrong_before,
        wrong_and_taken_after=wrong_after,
    )


def _likeliest_shift(heard: Sequence[HeardAgain], acceptance: Acceptance) -> float:
    """The most probable shift, on a grid between the bounds."""
    grid = np.arange(_LEAST, _MOST + 0.005, 0.01)
    log = -(grid**2) / (2 * _PRIOR_DEVIATION**2)
    for each in heard:
        confidence = min(max(acceptance.confidence(each.scores), 1e-9), 1 - 1e-9)
        odds = math.log(confidence / (1 - confidence)) + grid
        log -= np.logaddexp(0, -odds if each.right else odds)
    return float(grid[int(log.argmax())])


def _taken(heard: Sequence[HeardAgain], acceptance: Acceptance) -> tuple[int, int]:
    """How many are taken, and how many of those are wrong."""
    taken = [each for each in heard if acceptance.takes(each.scores)]
    return len(taken), sum(not each.right for each in taken)
