"""The benchmark of copied homes, a short run: nothing lost, nothing mixed, every branch told."""

from __future__ import annotations

from benchmarks.forks import forks


def test_copies_that_go_on_apart_are_kept_whole_and_apart() -> None:
    figures = forks(8, seed=3)
    assert figures["lost"] == figures["mixed"] == 0, figures
    assert figures["told"] == figures["branched"] > 0, figures
    assert figures["confirmed"] > 50
