"""What the pages say is so: commands, options, targets, rooms, version, links. What they show is written by tools."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from PIL import Image

import voicefit
from tools import pictures, readme
from voicefit.cli import build

TOP = Path(__file__).resolve().parent.parent
README = (TOP / "README.md").read_text("utf-8")
DOCS = TOP / "docs"
PAGES = [*TOP.glob("*.md"), *(TOP / "docs").glob("*.md"), TOP / "data" / "README.md"]
PROGRAM = typer.main.get_command(build())
COMMANDS = PROGRAM.commands  # type: ignore[attr-defined]  # it is a group


def options_of(command: str) -> set[str]:
    found = {name for parameter in COMMANDS[command].params for name in (*parameter.opts, *parameter.secondary_opts)}
    return {*found, "--help"} | {
        name for sub in getattr(COMMANDS[command], "commands", {}).values() for name in sub_options(sub)
    }


def sub_options(command: typer.core.TyperCommand) -> set[str]:
    return {name for parameter in command.params for name in parameter.opts}


def test_the_readme_shows_what_its_commands_print() -> None:
    assert readme.refreshed(README) == README, "run python -m tools.readme"


def test_the_pictures_show_what_the_program_shows() -> None:
    again = "run python -m tools.pictures"
    assert pictures.words_of((DOCS / "screen.svg").read_text("utf-8")) == pictures.words_of(pictures.screen()), again
    with Image.open(DOCS / "slip.png") as picture:
        assert picture.info[pictures.CARRIED] == pictures.slip_text(), again


def test_every_command_is_in_the_table_and_every_row_is_a_command() -> None:
    table = README[README.index("| command | does |") :].split("\n\n")[0]
    rows = [row.split("|")[1] for row in table.splitlines()[2:]]
    assert sorted(name for row in rows for name in re.findall(r"`voicefit ([a-z-]+)", row)) == sorted(COMMANDS)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(TOP).as_posix())
def test_commands_on_the_pages_exist_with_their_options(page: Path) -> None:
    for used in re.findall(r"(?:^|[`$ ]|bin/)voicefit ([^`\n]*)", page.read_text("utf-8")):
        command, *rest = used.split()
        if command not in COMMANDS:
            assert not re.fullmatch(r"[a-z]+(-[a-z]+)+", command), f"{page.name}: voicefit {used}"
            continue
        for option in (word.strip(".,:;)").partition("=")[0] for word in rest if word.startswith("--")):
            assert option in options_of(command), f"{page.name}: voicefit {command} has no {option}"


def test_the_install_lines_name_what_is_there() -> None:
    for target in re.findall(r"(?:^ {4}|`)make ([a-z]+)", README, re.MULTILINE):
        planned = subprocess.run(["make", "--dry-run", target], cwd=TOP, capture_output=True, text=True, check=False)
        assert planned.returncode == 0, planned.stderr


def test_an_installed_wheel_answers_without_the_tree(tmp_path: Path) -> None:
    """``pip install .`` makes a wheel and installs it; what it needs of grammar/ and data/ is in it."""
    assert "`pip install .`" in README
    pip, built = [sys.executable, "-m", "pip", "--disable-pip-version-check"], tmp_path / "built"
    alone = ["--no-build-isolation"] if importlib.util.find_spec("hatchling") else []
    ran([*pip, "wheel", "--quiet", "--no-deps", *alone, "--wheel-dir", str(built), str(TOP)])
    (wheel,) = built.glob("voicefit-*.whl")
    ran([*pip, "install", "--quiet", "--no-deps", "--no-index", "--target", str(tmp_path / "site"), str(wheel)])
    code = "import voicefit, voicefit.cli; print(voicefit.__file__); voicefit.cli.main()"
    env = {**os.environ, "PYTHONPATH": str(tmp_path / "site")}
    printed = ran(
        [sys.executable, "-P", "-c", code, "ask", "male, three quarters outside, sixteen pitch"], tmp_path, env
    )
    assert printed.startswith(str(tmp_path / "site")) and "3/4-16 UNF" in printed


def ran(command: list[str], cwd: Path = TOP, env: dict[str, str] | None = None) -> str:
    ended = subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr
    return ended.stdout


def test_the_benchmarks_that_the_pages_name_exist() -> None:
    for page in PAGES:
        for name in re.findall(r"python -m benchmarks ([a-z]+)", page.read_text("utf-8")):
            assert (TOP / "benchmarks" / f"{name}.py").is_file(), f"{page.name}: benchmarks has no {name}"


def test_links_and_pictures_lead_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\((?!https?:)([^)#]+)", page.read_text("utf-8")):
            assert (page.parent / target).is_file(), f"{page.name}: {target}"
    for name in re.findall(r"`([A-Za-z/]+\.(?:md|toml|py|csv|txt))`", README):
        assert (TOP / name).is_file(), name


def test_each_picture_has_its_words() -> None:
    pictures = [words for page in PAGES for words in re.findall(r"!\[([^\]]*)\]\(", page.read_text("utf-8"))]
    assert pictures and all(len(words.split()) >= 8 for words in pictures), pictures


def rooms() -> set[str]:
    """Those of the package, and the packages beside it."""
    package = TOP / "voicefit"
    beside = {f.parent.name for f in TOP.glob("*/__init__.py")} - {"voicefit", "tests"}
    return beside | {f.stem if f.suffix else f.name for f in package.iterdir() if not f.name.startswith("_")}


def test_the_map_names_every_room_and_no_other() -> None:
    page = (TOP / "DEVELOPERS.md").read_text("utf-8")
    table = page[page.index("| room | duty |") :].split("\n\n")[0]
    named = {
        name.rstrip("/").removesuffix(".py")
        for row in table.splitlines()[2:]
        for name in re.findall(r"`([a-z_/.]+)`", row.split("|")[1])
    }
    assert named >= rooms(), f"the map lacks {sorted(rooms() - named)}"
    elsewhere = {name for name in named - rooms() if not (TOP / name).exists()}
    assert not elsewhere, f"the map names what is not there: {sorted(elsewhere)}"


def test_the_version_stands_in_one_place_and_the_changelog_has_it() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False).stdout.split()
    written = f'"{voicefit.__version__}"'
    holders = [
        name
        for name in tracked
        if name.endswith((".py", ".toml", ".cfg")) and written in (TOP / name).read_text("utf-8", errors="replace")
    ]
    assert holders in ([], ["voicefit/__init__.py"])  # none: this is no checkout
    log = (TOP / "CHANGELOG.md").read_text("utf-8")
    versions = re.findall(r"^## \[([^\]]+)\]", log, re.MULTILINE)
    assert versions[0] == "Unreleased" and versions[1] == voicefit.__version__


def test_hosted_ci_calls_what_everybody_calls() -> None:
    workflow = (TOP / ".github" / "workflows" / "ci.yml").read_text("utf-8")
    assert "make test" in workflow
    for used in re.findall(r"run: voicefit ([a-z]+)", workflow):
        assert used in COMMANDS
