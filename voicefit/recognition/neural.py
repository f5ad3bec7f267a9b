"""The default engine: the neural model held to the language that may be spoken.

Duty: one utterance to alternatives by meaning with calibrated probabilities, or to a named rejection. It must not
know the product's language beyond what :class:`~voicefit.recognition.protocol.SpokenLanguage` says.

Three beams run in the same decoder calls: one held to what fits the open question, one held to everything that may
be said at any time, and a free one. The first two compete by log-probability plus the language's prior, so a context
is a prior and never a wall; the free one tells how much the constraint had to bend the sound. Where the language takes
what it says though the constraint has not got it ("it pokes out"), it counts as one more text. Where all this is
refused, what the free text means goes with the refusal: it may still be asked about.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

from voicefit.recognition.acceptance import Acceptance, read_acceptance
from voicefit.recognition.beam import Found, Hypothesis, search
from voicefit.recognition.constraint import Constraint, Prefix
from voicefit.recognition.network import Network
from voicefit.recognition.protocol import SpokenLanguage, always
from voicefit.recognition.rough import rough, sounds_alike
from voicefit.recognition.shares import Weighed, log_odds, log_sum, weigh
from voicefit.recognition.signal import Prepared, prepare
from voicefit.recognition.vocabulary import read_vocabulary
from voicefit.recognition.weights import TOKENS, find_weights
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Reason, Rejection, Transcript, Utterance
from voicefit.runtime import give_back

WIDTH = 8  # four find as many right answers at 10 dB, but not the rivals that a doubtful one has
FREE_WIDTH = 1
MARGIN = 8.0  # nats: what is less likely than the best by more cannot change an answer
_TOKENS_PER_S, _TOKENS_AT_LEAST = 10, 12  # digits one by one, quickly spoken, stay below six a second
_GRAMMARS_KEPT = 16
_MARKS = re.compile(r"[,;.!?](?!\d)")
_AT_THE_END = " ,;.!?"  # where a sentence goes on, whoever listens looks at its last word
_GIVE_BACK_EVERY = 4  # utterances


class NeuralRecogniser:
    name = "neural"

    def __init__(self, model: str | None = None, acceptance: Acceptance | None = None) -> None:
        """Load the model from the folder ``model``, or from where it is found. Raises ``Missing``."""
        folder = find_weights(model)
        self._vocabulary = read_vocabulary(folder / TOKENS)
        self._network = Network(folder)
        self._acceptance = acceptance or read_acceptance()
        self._background = ThreadPoolExecutor(1, "voicefit-constraint")
        self._constraints: dict[str, Constraint] = {}
        self._expected: tuple[SpokenLanguage, Context] | None = None
        self._heard = 0

    def expect(self, language: SpokenLanguage, context: Context) -> None:
        """As the protocol says: a grammar takes a tenth of a second to compile, best while the reply is spoken."""
        if self._expected != (language, context):
            self._expected = (language, context)
            self._background.submit(self._ready, language, context)

    def recognise(
        self, utterance: Utterance, language: SpokenLanguage, context: Context, wanted: Callable[[], bool] = always
    ) -> Transcript:
        """As the protocol says. Raises ``BadAudio`` for samples that are no sound."""
        prepared = prepare(utterance)
        if isinstance(prepared, Rejection):
            return Transcript((), self.name, prepared)
        found = self._search(prepared, language, context, wanted)
        free_text = self._vocabulary.text(found.free.tokens)
        hypotheses = _all(found)
        as_text = replace(found.free, prefix=Prefix(free_text.rstrip(_AT_THE_END).encode()))
        if _tells_more(found, free_text, hypotheses, language, context):
            hypotheses = [*hypotheses, as_text]
        texts = _by_text(hypotheses)
        weighed = weigh(texts, language, context)
        shares = weighed.shares
        if not shares:
            reason = Reason.OUT_OF_GRAMMAR if free_text else Reason.NOISE
            return Transcript((), self.name, Rejection(free_text, reason))
        best = max(
            (each for each in hypotheses if _text(each) == shares[0].text), key=lambda each: each.log_probability
        )
        log_total = log_sum([each.log_probability for each in texts])
        scores = _score(weighed, log_total, best, found.free, prepared, free=best == as_text)
        verdict = self._acceptance.judge(scores, shares[0].text, free_text, prepared)
        named = scores | {"confidence": self._acceptance.confidence(scores)}
        heard_freely = verdict is not None and found.free_ended and free_text
        freely = language.interpret(free_text, context) if heard_freely else ()
        if verdict is not None and verdict.reason in (Reason.OUT_OF_GRAMMAR, Reason.NOISE):
            return Transcript((), self.name, verdict, named, freely=freely)
        return Transcript(weighed.likeliest, self.name, verdict, named, weighed.likeliest_meanings(), freely)

    def _search(
        self, prepared: Prepared, language: SpokenLanguage, context: Context, wanted: Callable[[], bool]
    ) -> Found:
        """What the beams find."""
        constraints = self._background.submit(self._ready, language, context).result()
        try:
            return search(
                self._network,
                prepared.samples,
                constraints,
                width=WIDTH,
                free_width=FREE_WIDTH,
                margin=MARGIN,
                most_tokens=_TOKENS_AT_LEAST + math.ceil(_TOKENS_PER_S * len(prepared.samples) / SAMPLE_RATE_HZ),
                background=self._background,
                kind=rough,
                wanted=wanted,
            )
        finally:
            for constraint in constraints:
                constraint.rest()
            self._heard += 1
            if self._heard % _GIVE_BACK_EVERY == 0:
                self._background.submit(give_back)

    def _ready(self, language: SpokenLanguage, context: Context) -> list[Constraint]:
        """The constraints of the beams: what fits the question, and everything. Runs in the background's one thread."""
        grammars = dict.fromkeys((language.constraint(context), language.constraint(Context())))
        return [self._constraint(grammar) for grammar in grammars]

    def _constraint(self, grammar: str) -> Constraint:
        constraint = self._constraints.pop(grammar, None) or Constraint(self._vocabulary, grammar)
        while len(self._constraints) >= _GRAMMARS_KEPT:
            del self._constraints[next(iter(self._constraints))]
        self._constraints[grammar] = constraint  # last: of those kept, the first was used the longest ago
        return constraint


def _all(found: Found) -> Sequence[Hypothesis]:
    """The hypotheses of all beams, each once: with what the beam found of it that found most.

    What a beam finished before it had found its best, and far below that, is left out: to ask what it means takes as
    long as a step of the decoder.
    """
    best: dict[tuple[int, ...], Hypothesis] = {}
    for each in (
        each for beam in found.constrained for each in beam if each.log_probability >= beam[0].log_probability - MARGIN
    ):
        known = best.get(each.tokens)
        if known is None or each.log_probability > known.log_probability:
            best[each.tokens] = each
    return list(best.values())


def _tells_more(
    found: Found, free_text: str, hypotheses: Sequence[Hypothesis], language: SpokenLanguage, context: Context
) -> bool:
    """Whether the free text counts beside the others: none of them says it, and the language takes it so.

    The language understands more than its constraint lets through, and the beam may have lost the right text early.
    """
    best = max((each.log_probability for each in hypotheses), default=-math.inf)
    if not found.free_ended or found.free.log_probability < best - MARGIN:
        return False
    said = _plain(free_text)
    if not said or any(_plain(_text(each)) == said for each in hypotheses):
        return False
    meanings = language.interpret(free_text, context)
    return bool(meanings) and language.takes_freely(meanings[0])


def _plain(text: str) -> str:
    """Without what the constraint swallows: capitals, commas, a stop at the end."""
    return _MARKS.sub("", text.casefold()).strip()


def _text(hypothesis: Hypothesis) -> str:
    return hypothesis.prefix.text.decode("utf-8", "replace").strip()


def _by_text(hypotheses: Iterable[Hypothesis]) -> list[Alternative]:
    """One alternative a text: the model cuts and writes a text in many ways, and their probabilities add up."""
    logs: dict[str, list[float]] = {}
    for each in hypotheses:
        logs.setdefault(_text(each), []).append(each.log_probability)
    return [Alternative(text, log_sum(many)) for text, many in logs.items()]


def _score(
    weighed: Weighed, log_total: float, best: Hypothesis, greedy: Hypothesis, prepared: Prepared, *, free: bool
) -> dict[str, float]:
    """The scores that ``hearing.toml`` weighs and explains. ``free`` : the best is the ``greedy`` text."""
    log_probability = max(log_total, -60.0) / math.sqrt(len(best.tokens) + 1)
    return {
        "log_odds": min(log_odds(weighed.shares), 10.0),
        "log_odds_alike": min(_log_odds_alike(weighed.shares), 10.0),
        "log_odds_alone": max(min(weighed.log_odds_alone, 10.0), -10.0),
        "log_prior": weighed.log_prior,
        "log_probability": log_probability,
        "log_ratio": max(min(log_total - greedy.log_probability, 0.0), -30.0),
        "free": float(free),
        "free_log_probability": log_probability if free else 0.0,
        "snr_db": prepared.snr_db,
    }


def _log_odds_alike(shares: Sequence[Alternative]) -> float:
    """Log of the first share against those that differ from it only in teens and tens; infinite without such."""
    alike = [each.log_probability for each in shares[1:] if sounds_alike(shares[0].text, each.text)]
    return shares[0].log_probability - log_sum(alike)
