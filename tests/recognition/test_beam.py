"""The search on a tiny made-up model: what is likeliest, under a constraint and free."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from numpy.typing import NDArray

from voicefit.errors import Abandoned
from voicefit.recognition.beam import Found, search
from voicefit.recognition.constraint import Ids, Prefix
from voicefit.recognition.network import Floats, Memory
from voicefit.recognition.vocabulary import END

VOCABULARY = 8
SOUND = np.zeros(1600, np.float32)


class Markov:
    """The next token depends on the last one only; its number rides in the memory, so that lost rows show."""

    def __init__(self, seed: int = 3) -> None:
        logits = np.random.default_rng(seed).normal(scale=2, size=(VOCABULARY, VOCABULARY)).astype(np.float32)
        logits[:, :END] = -30
        self.logs = logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
        self.calls = 0
        self.most_rows = 0

    def listen(self, samples: Floats) -> tuple[Floats, Memory]:
        return self.logs[1:2], Memory({}, (np.full((1, 1, 1, 1), 1, np.float32),))

    def step(self, tokens: NDArray[np.int64], memory: Memory) -> tuple[Floats, Memory]:
        before = memory.text[0][:, 0, :, 0]
        assert len(before) == len(tokens)
        self.calls += 1
        self.most_rows = max(self.most_rows, len(tokens))
        grown = np.concatenate([before, tokens[:, np.newaxis]], axis=1)
        return self.logs[tokens], Memory({}, (grown[:, np.newaxis, :, np.newaxis].astype(np.float32),))


class Only:
    """Texts of the given tokens, of any length above ``least``."""

    def __init__(self, tokens: set[int], least: int = 1) -> None:
        self.tokens, self.least = sorted(tokens), least

    def allowed(self, prefix: Prefix) -> Ids:
        ends = [END] if len(prefix.text) >= self.least else []
        return np.array(ends + self.tokens, np.int32)

    def follow(self, prefix: Prefix, token: int) -> Prefix:
        return Prefix(prefix.text + bytes([token]))


def likeliest(model: Markov, tokens: set[int], least: int, most: int) -> tuple[float, tuple[int, ...]]:
    """By trying all."""
    best = (-np.inf, ())
    open_: list[tuple[float, tuple[int, ...]]] = [(0.0, ())]
    for _ in range(most + 1):
        longer = []
        for score, text in open_:
            last = text[-1] if text else 1
            if len(text) >= least:
                best = max(best, (score + float(model.logs[last, END]), text))
            longer += [(score + float(model.logs[last, token]), (*text, token)) for token in tokens]
        open_ = longer
    return best


def run(model: Markov, *walks: Only, width: int = 6, kind: Callable[[bytes], Hashable] = bytes) -> Found:
    with ThreadPoolExecutor(1) as pool:
        return search(
            model, SOUND, walks, width=width, free_width=2, margin=50.0, most_tokens=8, background=pool, kind=kind
        )


def test_each_beam_finds_the_likeliest_of_its_language() -> None:
    for seed in range(6):
        model = Markov(seed)
        tight, loose = Only({3, 4}, least=2), Only({3, 4, 5}, least=1)
        found = run(model, tight, loose)
        for beam, (tokens, least) in zip(found.constrained, (({3, 4}, 2), ({3, 4, 5}, 1)), strict=True):
            score, text = likeliest(model, tokens, least, 4)
            assert beam[0].log_probability >= score - 1e-4
            if beam[0].tokens == text:
                assert abs(beam[0].log_probability - score) < 1e-4
            assert all(set(each.tokens) <= tokens and len(each.tokens) >= least for each in beam)


def test_a_search_that_is_wanted_no_longer_is_given_up_before_its_next_step() -> None:
    model = Markov()
    answers = [True, True, False]
    with ThreadPoolExecutor(1) as pool, pytest.raises(Abandoned):
        search(
            model,
            SOUND,
            [Only({3, 4, 5})],
            width=6,
            free_width=2,
            margin=50.0,
            most_tokens=8,
            background=pool,
            wanted=lambda: answers.pop(0),
        )
    assert model.calls == 2 and answers == []


def test_finished_hypotheses_are_sorted_and_different() -> None:
    beam = run(Markov(), Only({3, 4, 5})).constrained[0]
    logs = [each.log_probability for each in beam]
    assert logs == sorted(logs, reverse=True)
    assert len({each.tokens for each in beam}) == len(beam) >= 6


class Same(Markov):
    """Begins with 3 or 4 most likely and 5 seldom; whatever follows is likely."""

    def __init__(self) -> None:
        super().__init__()
        probabilities = np.full((VOCABULARY, VOCABULARY), 1e-6)
        probabilities[1, 3:6] = 0.49, 0.49, 0.02
        probabilities[3:, END], probabilities[3:, 6:] = 0.3, 0.35
        self.logs = np.log(probabilities / probabilities.sum(axis=1, keepdims=True)).astype(np.float32)


def test_ways_to_write_one_thing_do_not_crowd_out_its_rival() -> None:
    """3 and 4 begin one thing, 5 another; 6 and 7 are only ways of writing."""

    def begins(text: bytes) -> Hashable:
        return text[:1] == b"\x05"

    walk = Only({3, 4, 5, 6, 7})
    crowded = run(Same(), walk, width=4).constrained[0]
    assert not any(begins(each.prefix.text) for each in crowded[:8])
    roomy = run(Same(), walk, width=4, kind=begins).constrained[0]
    assert {begins(each.prefix.text) for each in roomy} == {True, False}
    assert not begins(roomy[0].prefix.text)


class Fold(Only):
    """3 and 4 write the same letter."""

    def follow(self, prefix: Prefix, token: int) -> Prefix:
        return Prefix(prefix.text + bytes([3 if token == 4 else token]))


def test_cuts_that_come_to_the_same_text_go_on_as_one_with_the_probability_of_both() -> None:
    beam = run(Same(), Fold({3, 4, 5})).constrained[0]
    assert len({each.prefix.text for each in beam}) == len(beam)
    assert beam[0].prefix.text == b"\x03"
    logs = Same().logs
    assert abs(beam[0].log_probability - (np.logaddexp(logs[1, 3], logs[1, 4]) + logs[3, END])) < 1e-4


class Rambling(Markov):
    """Freely it says 6 or 7 for ever, a little less likely each time; 3 is said once."""

    def __init__(self) -> None:
        super().__init__()
        probabilities = np.full((VOCABULARY, VOCABULARY), 1e-6)
        probabilities[1, [3, 6, 7]] = 0.2, 0.4, 0.4
        probabilities[3, END] = 0.9
        probabilities[[6, 7], [6, 7]], probabilities[[1, 6, 7], END] = 0.5, 1e-9
        self.logs = np.log(probabilities / probabilities.sum(axis=1, keepdims=True)).astype(np.float32)
        self.logs[6:, [6, 7]] += np.log(np.float32(0.5))


def test_a_free_text_is_let_go_once_it_is_outdone() -> None:
    model = Rambling()
    found = run(model, Only({3}), width=1)
    assert model.calls < 8
    assert found.constrained[0][0].tokens == (3,)
    assert found.free.tokens[0] in (6, 7) and np.isfinite(found.free.log_probability)


def test_free_is_at_least_as_likely_as_any_constraint() -> None:
    for seed in range(6):
        found = run(Markov(seed), Only({3, 4}), width=2)
        assert found.free.log_probability >= found.constrained[0][0].log_probability - 2.0


def test_beams_that_hold_the_same_tokens_share_rows() -> None:
    alone, twice = Markov(), Markov()
    run(alone, Only({3, 4, 5}))
    run(twice, Only({3, 4, 5}), Only({3, 4, 5}))
    assert twice.most_rows == alone.most_rows


def test_a_constraint_that_nothing_fits_comes_back_empty() -> None:
    found = run(Markov(), Only({3}, least=99))
    assert found.constrained == ((),)
    assert np.isfinite(found.free.log_probability)
