"""Running the program in this process, as a user would type it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from voicefit.cli import build
from voicefit.journal import store as places


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        """Stdout as exactly one JSON document."""
        return json.loads(self.out)

    @property
    def documents(self) -> list[Any]:
        """Stdout as one JSON document a line."""
        return [json.loads(line) for line in self.out.splitlines()]


@pytest.fixture(scope="session", autouse=True)
def _settings_of_nobody(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The settings of whoever runs the tests decide nothing."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("config")))
        yield


@pytest.fixture(scope="session")
def voicefit() -> Callable[..., Ran]:
    program, runner = build(), CliRunner()

    def run(*arguments: str, stdin: str | bytes = "") -> Ran:
        result = runner.invoke(program, list(arguments), input=stdin)
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception  # a traceback is never an answer
        return Ran(result.exit_code, result.stdout, result.stderr)

    return run


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's own empty folders."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return places.default_folder()


@pytest.fixture
def talk(voicefit: Callable, home: Path) -> Callable[..., list[dict[str, Any]]]:
    """A typed session: lines in, one answer a line out; what it begins with only where it is asked for."""

    def run(*lines: str, options: tuple[str, ...] = (), greeting: bool = False) -> list[dict[str, Any]]:
        ran = voicefit("talk", "--typed", "--json", *options, stdin="".join(f"{line}\n" for line in lines))
        assert ran.code == 0, ran.err
        first, *answers = ran.documents
        assert first["heard"] == "" and len(answers) == len(lines)
        return [first, *answers] if greeting else answers

    return run
