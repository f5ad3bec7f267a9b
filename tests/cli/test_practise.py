"""The command practise: a made-up piece, its findings, the verdict, the next piece; and nothing is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Ran

Run = Callable[..., Ran]


def told(ran: Ran) -> list[str]:
    return [line.removeprefix("Practice: ") for line in ran.out.splitlines() if line.startswith("Practice: ")]


def found(line: str) -> str:
    return line.removeprefix("You find: ").removesuffix(".")


@pytest.mark.usefixtures("home")
def test_who_says_what_is_found_is_told_that_it_is_right(voicefit: Run, tmp_path: Path) -> None:
    said = ["male"]
    for _ in range(14):
        lines = told(
            voicefit("practise", "--typed", "--plain", "--end", "flare37/8/male", stdin="\n".join(said) + "\n")
        )
        if not lines[-1].startswith("You find: "):
            break
        said.append(found(lines[-1]))
    assert lines[0].startswith("This is practice, nothing is kept. In your hand is a made-up piece: male.")
    assert lines[-1].startswith("That is the piece.")
    assert any("point seven four" in words for words in said)  # 3/4-16 UNF, a little worn
    assert not list(tmp_path.rglob("*.sqlite"))


@pytest.mark.usefixtures("home")
def test_another_piece_after_start_over(voicefit: Run) -> None:
    lines = told(voicefit("practise", "--typed", "--plain", "--end", "orb/6/stud", stdin="stud\nstart over\n"))
    assert lines[1].startswith("You find: ") and lines[2].startswith("In your hand is a made-up piece: stud.")


@pytest.mark.usefixtures("home")
def test_who_stops_is_told_again_that_nothing_is_kept(voicefit: Run) -> None:
    lines = told(voicefit("practise", "--typed", "--plain", stdin="male\nstop\n"))
    assert lines[-1] == "That was practice, though: none of it is kept."


@pytest.mark.usefixtures("home")
def test_without_an_end_a_piece_is_drawn(voicefit: Run) -> None:
    ran = voicefit("practise", "--typed", "--plain", stdin="")
    assert ran.code == 0 and len(told(ran)) == 1


@pytest.mark.usefixtures("home")
def test_an_end_that_is_not_there_is_named(voicefit: Run) -> None:
    ran = voicefit("practise", "--typed", "--end", "flare37/9/male", stdin="")
    assert ran.code == 2 and "flare37/9/male: no such end" in ran.err
