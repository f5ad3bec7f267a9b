"""The house holds: layers, types and style, by the tools that every developer runs."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent
PACKAGE = TOP / "voicefit"


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


def test_no_file_is_longer_than_one_sitting() -> None:
    long = [path for path in PACKAGE.rglob("*.py") if len(path.read_text("utf-8").splitlines()) > 300]
    assert not long


def test_one_name_is_one_thing() -> None:
    """No two classes of the package have the same name, those aside that their own file alone knows."""
    places = defaultdict(list)
    for path in PACKAGE.rglob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(path.relative_to(TOP).as_posix())
    assert not {name: found for name, found in places.items() if len(found) > 1}
