"""Beam search held to several constraints at once, and once to none.

Duty: the likeliest token sequences under each constraint and the likeliest free one, sharing decoder rows between
beams that hold the same tokens. It must not know languages, meanings or thresholds: what two texts have in common it
is told. A beam that fills with ways of writing one reading loses the rivals that tell how sure the reading is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import Abandoned
from voicefit.recognition.constraint import Ids, Prefix
from voicefit.recognition.network import Floats, Memory
from voicefit.recognition.protocol import always
from voicefit.recognition.vocabulary import END


class Stepper(Protocol):
    """The part of the network that the search needs."""

    def listen(self, samples: Floats) -> tuple[Floats, Memory]: ...

    def step(self, tokens: NDArray[np.int64], memory: Memory) -> tuple[Floats, Memory]: ...


class Walk(Protocol):
    """A constraint: which tokens may follow, and where that leads."""

    def allowed(self, prefix: Prefix) -> Ids: ...

    def follow(self, prefix: Prefix, token: int) -> Prefix: ...


NOTHING_YET = Prefix()
WAYS = 3  # hypotheses of one kind (commas, figures or words) kept in a beam
_OPTIONS = 2  # times the width: continuations looked at, so that those of a full kind leave no gaps


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """Tokens without start and end, their log-probability under the model, and where the constraint stands."""

    tokens: tuple[int, ...] = ()
    log_probability: float = 0.0
    prefix: Prefix = NOTHING_YET


@dataclass(slots=True)
class _Beam:
    walk: Walk | None  # none: free
    width: int
    margin: float
    kind: Callable[[bytes], Hashable]
    active: list[Hypothesis]
    finished: list[Hypothesis]

    def extend(self, scores: Floats, row_of: dict[tuple[int, ...], int]) -> None:
        """Replace each hypothesis by its best continuations; what ended moves to ``finished``.

        Cuts and capitals that come to the same text go on as one, the likeliest, with the probability of all.
        """
        active: dict[Hashable, Hypothesis] = {}
        ways: Counter[Hashable] = Counter()
        for score, index, token in self._options(scores, row_of):
            parent = self.active[index]
            if token == END:
                self.finished.append(Hypothesis(parent.tokens, score, parent.prefix))
            elif len(active) < self.width:
                tokens = (*parent.tokens, token)
                if self.walk is None:
                    active[tokens] = Hypothesis(tokens, score, parent.prefix)
                    continue
                prefix = self.walk.follow(parent.prefix, token)
                if same := active.get(prefix):
                    total = float(np.logaddexp(same.log_probability, score))
                    active[prefix] = Hypothesis(same.tokens, total, prefix)
                    continue
                kind = self.kind(prefix.text)
                ways[kind] += 1
                if ways[kind] <= WAYS:
                    active[prefix] = Hypothesis(tokens, score, prefix)
        self.finished.sort(key=lambda hypothesis: -hypothesis.log_probability)
        floor = self._floor()
        self.active = [hypothesis for hypothesis in active.values() if hypothesis.log_probability > floor]

    def _options(self, scores: Floats, row_of: dict[tuple[int, ...], int]) -> list[tuple[float, int, int]]:
        """The likeliest continuations, best first: log-probability, which hypothesis, which token."""
        options: list[tuple[float, int, int]] = []
        for index, hypothesis in enumerate(self.active):
            row = scores[row_of[hypothesis.tokens]]
            allowed = self.walk.allowed(hypothesis.prefix) if self.walk else None
            found = row if allowed is None else row[allowed]
            count = min(_OPTIONS * self.width + 1, len(found))  # one more: the end token takes no place
            best = np.argpartition(-found, count - 1)[:count] if count else np.empty(0, np.int64)
            for place in best:
                token = int(place) if allowed is None else int(allowed[place])
                options.append((hypothesis.log_probability + float(found[place]), index, token))
        options.sort(reverse=True)
        return options

    def _floor(self) -> float:
        """No hypothesis below this can matter any more."""
        if not self.finished:
            return -np.inf
        floor = self.finished[0].log_probability - self.margin
        best: dict[Hashable, float] = {}  # of each kind, in falling order
        for hypothesis in self.finished:
            best.setdefault(self.kind(hypothesis.prefix.text), hypothesis.log_probability)
        if len(best) >= self.width:
            floor = max(floor, list(best.values())[self.width - 1])
        return float(floor)


def _outdone(free: Hypothesis, beams: Sequence[_Beam]) -> bool:
    """Whether a constrained text is whole and likelier than the free one can become, and no other is still sought."""
    best = max((beam.finished[0].log_probability for beam in beams if beam.finished), default=-np.inf)
    return free.log_probability < best and not any(beam.active for beam in beams)


def _prepare(beams: Sequence[_Beam]) -> None:
    for beam in beams:
        for hypothesis in beam.active:
            if beam.walk:
                beam.walk.allowed(hypothesis.prefix)


@dataclass(frozen=True, slots=True)
class Found:
    """Finished hypotheses of each constrained beam, best first (empty: nothing fitted), and the free one's best;
    ``free_ended``: that is whole."""

    constrained: tuple[tuple[Hypothesis, ...], ...]
    free: Hypothesis
    free_ended: bool = True


def search(
    network: Stepper,
    samples: Floats,
    walks: Sequence[Walk],
    *,
    width: int,
    free_width: int,
    margin: float,
    most_tokens: int,
    background: Executor,
    kind: Callable[[bytes], Hashable] = bytes,
    wanted: Callable[[], bool] = always,
) -> Found:
    """Decode under every one of ``walks`` and freely, all in the same decoder calls.

    Parameters
    ----------
    samples : shape (n,), 16 kHz
    width, free_width : hypotheses kept per constrained beam and in the free one
    margin : nats below its best finished hypothesis at which a beam stops looking
    most_tokens : length at which the search ends whatever is still open
    background : works out what the constraints allow next while the decoder runs; both leave Python's lock
    kind : of a text; texts of one kind say the same, and few of them are kept
    wanted : looked at before each decoder call

    Returns
    -------
    Found; a free hypothesis that never ended, or was outdone before, comes with the score it had.

    Raises ``Abandoned`` when it is wanted no longer.
    """
    beams = [_Beam(walk, width, margin, kind, [Hypothesis()], []) for walk in walks]
    free = _Beam(None, free_width, margin, kind, [Hypothesis()], [])
    begun = background.submit(_prepare, beams)
    scores, memory = network.listen(samples)
    rows: dict[tuple[int, ...], int] = {(): 0}
    unfinished = Hypothesis(log_probability=-np.inf)
    for _ in range(most_tokens):
        begun.result()
        if not wanted():
            raise Abandoned("it is wanted no longer")
        for beam in (*beams, free):
            beam.extend(scores, rows)
        if free.finished:
            free.active = []  # its first end is the greedy text, and that is enough
        elif free.active:
            unfinished = free.active[0]
            if _outdone(unfinished, beams):
                free.active = []
        row_tokens = list(dict.fromkeys(hypothesis.tokens for beam in (*beams, free) for hypothesis in beam.active))
        if not row_tokens:
            break
        parents = np.array([rows[tokens[:-1]] for tokens in row_tokens], np.int64)
        begun = background.submit(_prepare, beams)
        scores, memory = network.step(np.array([tokens[-1] for tokens in row_tokens], np.int64), memory.keep(parents))
        rows = {tokens: row for row, tokens in enumerate(row_tokens)}
    best_free = free.finished[0] if free.finished else unfinished
    return Found(tuple(tuple(beam.finished) for beam in beams), best_free, bool(free.finished))
