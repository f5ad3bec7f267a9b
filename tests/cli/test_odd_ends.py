"""The program with a screen that takes nothing, a keyboard of few letters, a shared journal without its driver."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.talking import Child
from voicefit.journal.history import sessions_of
from voicefit.journal.store import open_store, outbox_location

COMMAND = [sys.executable, "-c", "from voicefit.cli import main; main()"]
SAID = "thirty-seven degrees\noutside nine sixteenths\nstop\n"


def kept(store: Path | str) -> list[list[str]]:
    """What is on record as heard, job by job."""
    opened = open_store(store)
    try:
        return [list(job.pieces[0].heard) for session in sessions_of(opened.contents()) for job in session.jobs]
    finally:
        opened.close()


@pytest.mark.parametrize("options", [(), ("--plain",)], ids=" ".join)
def test_a_screen_of_few_letters_shows_what_it_can(home: Path, tmp_path: Path, options: tuple[str, ...]) -> None:
    command = [*COMMAND, "talk", "--typed", "--store", str(tmp_path / "a.sqlite"), *options]
    ran = subprocess.run(
        command, input=SAID.encode(), capture_output=True, env=os.environ | {"PYTHONIOENCODING": "ascii"}
    )
    assert ran.returncode == 0 and b"Traceback" not in ran.stderr
    assert b"All is kept" in ran.stdout and b"nine-sixteenths" in ran.stdout.lower()
    assert kept(tmp_path / "a.sqlite") == [["thirty-seven degrees", "outside nine sixteenths"]]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is always full")
def test_a_screen_that_is_full_ends_no_session(home: Path, tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        command = [*COMMAND, "talk", "--typed", "--store", str(tmp_path / "a.sqlite")]
        ran = subprocess.run(command, input=SAID.encode(), stdout=full, stderr=subprocess.PIPE)
    assert ran.returncode == 0 and ran.stderr.decode().strip() == (
        "voicefit: the screen takes nothing: [Errno 28] No space left on device"
    )
    assert len(kept(tmp_path / "a.sqlite")[0]) == 2


@pytest.mark.parametrize(
    "typed",
    [
        *("15.123456789 mm", "outside 15.123456789 mm", "outside 1 000 mm", "outside 1000 mm"),
        *("outside 1 500 mm", "outside 500 mm", "pitch 19 mm", "dash 8 200 mm"),
    ],
)
def test_a_typed_number_is_taken_whole_or_not_at_all(talk: Callable, typed: str) -> None:
    (answer,) = talk(typed)
    assert answer["rejected"] and answer["readings"] == []


def test_a_length_in_groups_of_three_is_one_number(talk: Callable) -> None:
    """As ISO 80000-1 parts them."""
    for typed in ("hose length 1 200 mm", "1 200 mm"):
        (answer,) = talk(typed, "start over")[:1]
        assert [(each["measurand"], each["value"]) for each in answer["readings"]] == [("length", 1200.0)]


def test_without_the_driver_of_a_shared_journal_that_is_said_and_all_is_kept_here(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = "postgresql+psycopg://shop@127.0.0.1:1/journal"
    (tmp_path / "psycopg.py").write_text("raise ModuleNotFoundError('No module named psycopg')\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
    session = Child("--store", shop)
    said = [session.greeting["reply"], session.say("outside nine sixteenths")["reply"]]
    while "The shared journal is away. All is kept here" not in " ".join(said):  # it is found out beside the talk
        assert len(said) < 200, said
        said.append(session.say("repeat")["reply"])
    session.say("eighteen pitch")
    told = session.stop()
    assert "the PostgreSQL driver" in told and "pip install 'voicefit[postgres]'" in told
    assert kept(outbox_location(shop)) == [["outside nine sixteenths", "eighteen pitch"]]
