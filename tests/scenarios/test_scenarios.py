"""Every scenario plays as written; the journal of each replays to the same record; each asserts all that it must."""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from tests.scenarios.playing import EVENTS, KINDS, REPLIES, STATES, WRITTEN, files, load, play

FILES = files()


@cache
def played(path: Path) -> Talk:
    return play(knowledge_of_the_project(), load(path))


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_plays_as_written(path: Path) -> None:
    talk = played(path)
    assert talk.replayed().record == talk.session.record


def test_every_function_is_called_in_a_scenario() -> None:
    called = set().union(*(played(path).called for path in FILES))
    assert not {function.id for function in knowledge_of_the_project().registry.functions} - called


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
