"""Random sessions keep the invariants. The long walk is ``python -m benchmarks dialogue``."""

from __future__ import annotations

import random

import pytest

from benchmarks.dialogue import walk
from benchmarks.random_walk import Broken, Walk
from voicefit.dialogue import Knowledge
from voicefit.records import Append, Quiet, Say, Stop

STEPS = 500


@pytest.mark.parametrize("seed", [1, 2])
def test_random_sessions_keep_the_invariants(knowledge: Knowledge, seed: int) -> None:
    seen = walk(knowledge, STEPS, seed)
    assert seen["Heard"] > STEPS / 2
    assert all(seen[what] for what in ("undo checked", "replays", "failed writes", "Refused", "Trouble"))


def test_the_walk_notices_what_is_broken(knowledge: Knowledge) -> None:
    walking = Walk(knowledge, random.Random(1))
    with pytest.raises(Broken, match="no answer"):
        walking._answered(Quiet(1), ())
    with pytest.raises(Broken, match="cannot be spoken"):
        walking._answered(Quiet(1), (Say("19 pitch"),))
    with pytest.raises(Broken, match="out of order"):
        walking._ordered((Say("a"), Append("note", {}), Stop()))
