"""Every scenario plays as written; the journal of each replays to the same record; each asserts all that it must."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tests.dialogue.talk import knowledge_of_the_project
from tests.scenarios.playing import EVENTS, KINDS, REPLIES, STATES, WRITTEN, files, load, play

FILES = files()


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_plays_as_written(path: Path) -> None:
    talk = play(knowledge_of_the_project(), load(path))
    assert talk.replayed().record == talk.session.record


def test_forty_sessions_of_every_kind() -> None:
    kinds = Counter(load(path)["kind"] for path in FILES)
    assert len(FILES) >= 40
    assert set(kinds) == set(KINDS)


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_asserts_replies_state_and_what_is_written(path: Path) -> None:
    turns = load(path)["turn"]
    for expected in (REPLIES, STATES, WRITTEN):
        assert any(set(turn) & set(expected) for turn in turns), f"{path} asserts none of {expected}"
    assert all(len(set(turn) & set(EVENTS)) == 1 for turn in turns)
