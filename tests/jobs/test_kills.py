"""A whole session killed between its effects: what was confirmed aloud is on record, and the session goes on."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent.parent


@pytest.mark.parametrize("name", ["a.sqlite", "a.journal"])
def test_killed_between_the_effects(name: str) -> None:
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        command = [sys.executable, "-m", "tests.jobs.kill_at_each_effect", name, folder]
        ended = subprocess.run(command, capture_output=True, text=True, check=False, cwd=TOP)
    assert ended.returncode == 0, ended.stderr
    assert int(ended.stdout) > 15
