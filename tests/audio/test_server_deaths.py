"""A real sound server is killed under a live session and comes back, a few times; the benchmark does it fifty times."""

from __future__ import annotations

from benchmarks.sound_deaths import trials


def test_the_session_tells_the_loss_and_is_neither_deaf_nor_mute_afterwards() -> None:
    done = trials(2, seed=7)
    assert all(each.heard and each.answered for each in done), done
    assert all(each.back_s < float("inf") and each.told_s < float("inf") for each in done), done
    assert max(each.error_bytes for each in done) < 10_000, done
