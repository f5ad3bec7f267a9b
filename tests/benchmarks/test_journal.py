"""The journal's benchmark runs, and would show a loss. In a process of its own: it forks."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parent.parent.parent


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *command], capture_output=True, text=True, check=False, cwd=TOP)


def test_it_runs(tmp_path: Path) -> None:
    options = ("--kills", "6", "--appends", "5", "--sessions", "3", "--folder", str(tmp_path), "--json")
    ran = run("-m", "benchmarks", "journal", *options)
    assert ran.returncode == 0, ran.stderr
    figures = json.loads(ran.stdout)
    assert figures["kills"]["kills"] == 6 and figures["kills"]["lost"] == 0
    assert set(figures["append_ms"]) == {"line file", "sqlite"}
    assert figures["read"]["records"] == 150
    assert list(tmp_path.iterdir()) == []


FORGETFUL = """
import sys
from pathlib import Path
from benchmarks import journal

whole = journal.open_store

class Forgetful:
    def __init__(self, location):
        self.store = whole(location)
    def contents(self):
        found = self.store.contents()
        return type(found)(found.records[:-3], found.damage)
    def __getattr__(self, name):
        return getattr(self.store, name)

journal.open_store = Forgetful
print(journal.kills(6, 1, Path(sys.argv[1]))["lost"])
"""


def test_a_store_that_forgets_its_last_records_is_found_out(tmp_path: Path) -> None:
    ran = run("-c", FORGETFUL, str(tmp_path))
    assert ran.returncode == 0, ran.stderr
    assert int(ran.stdout) > 0
