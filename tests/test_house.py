"""The house holds: layers, types and style, by the tools that every developer runs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        ["lint-imports", "--no-cache"],
        ["ruff", "check", "--no-cache", "."],
        ["ruff", "format", "--no-cache", "--check", "."],
        ["mypy"],
    ],
    ids=lambda command: " ".join(command),
)
def test_house_rules(command: list[str]) -> None:
    ended = subprocess.run([str(BIN / command[0]), *command[1:]], cwd=TOP, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout + ended.stderr
