"""What all tests share: from the same texts the same is built, so each process of the tests builds it once.

Nothing changes a ``Knowledge`` ("built once and shared between sessions"), and another text, one of a user's own
tables among them, builds another.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

import pytest

from voicefit.dialogue import Knowledge

# They begin first, so that no process is left with one of them when the others have ended.
_LONGEST = ("/training/", "test_walk.py", "test_practice.py", "test_house.py", "test_together.py", "/journal/")

_build = Knowledge.build
_Texts = tuple[tuple[str, str], ...]


@lru_cache(maxsize=3)
def _built(data: _Texts, grammar: _Texts, classifier: Any) -> Knowledge:
    return _build(dict(data), dict(grammar), classifier)


def _built_once(data: Mapping[str, str], grammar: Mapping[str, str], classifier: Any = None) -> Knowledge:
    return _built(tuple(data.items()), tuple(grammar.items()), classifier)


def pytest_configure(config: pytest.Config) -> None:
    pytest.MonkeyPatch().setattr(Knowledge, "build", staticmethod(_built_once))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: not any(each in item.nodeid for each in _LONGEST))


@pytest.fixture(autouse=True)
def _what_was_built_of_own_tables_may_go() -> Iterator[None]:
    """The program means to keep what it opened until it ends; the tests open many."""
    yield
    gc.unfreeze()
