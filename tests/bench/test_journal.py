"""The journal's benchmark runs, and would show a loss."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from voicefit.bench import journal


def test_it_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    options = ["--kills", "6", "--appends", "5", "--sessions", "3", "--folder", str(tmp_path), "--json"]
    assert journal.main(options) == 0
    figures = json.loads(capsys.readouterr().out)
    assert figures["kills"]["kills"] == 6 and figures["kills"]["lost"] == 0
    assert set(figures["append_ms"]) == {"line file", "sqlite"}
    assert figures["read"]["records"] == 150
    assert list(tmp_path.iterdir()) == []


def test_a_store_that_says_before_it_writes_is_found_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Only what is durable may be said: a store that forgets its last records loses what was said.
    whole = journal.open_store

    class Forgetful:
        def __init__(self, location: Path) -> None:
            self.store = whole(location)

        def contents(self) -> object:
            found = self.store.contents()
            return type(found)(found.records[:-3], found.damage)

        def close(self) -> None:
            self.store.close()

        def __getattr__(self, name: str) -> object:
            return getattr(self.store, name)

    monkeypatch.setattr(journal, "open_store", Forgetful)
    assert journal.kills(6, 1, tmp_path)["lost"] > 0
