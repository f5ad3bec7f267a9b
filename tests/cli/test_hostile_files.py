"""Files and places that are not as they should be: a clear error that names them, and nothing hangs."""

from __future__ import annotations

import csv
import io
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.ordering.slip_csv import cell
from voicefit.resources import data_folder
from voicefit.settings import own_tables

Run = Callable[..., object]
SPOKEN = str(data_folder() / "demo" / "sentence.flac")


@pytest.mark.parametrize(
    "arguments", [["hear"], ["talk", "--from"], ["stock", "import"], ["jobs", "list", "--store"]], ids=" ".join
)
def test_a_pipe_that_nobody_writes_to_does_not_hang(
    voicefit: Run, home: Path, tmp_path: Path, arguments: list[str]
) -> None:
    pipe = tmp_path / "list.sqlite"
    os.mkfifo(pipe)
    ran = voicefit(*arguments, str(pipe))
    assert ran.code == 2 and str(pipe) in ran.err and ("pipe" in ran.err or "not a file" in ran.err)


def test_settings_that_are_a_pipe_or_name_nobodys_folder(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('[catalogue]\nfolder = "~nobody-at-all/tables"\n')
    with pytest.raises(BadInput, match=r"settings.toml.*~nobody-at-all/tables: there is no such user's folder"):
        own_tables(path)
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(BadInput, match="is a pipe"):
        own_tables(path)


def test_a_store_in_nobodys_folder(voicefit: Run, home: Path) -> None:
    ran = voicefit("jobs", "list", "--store", "~nobody-at-all/a.sqlite")
    assert ran.code == 2 and "there is no such user's folder" in ran.err


def test_what_is_said_before_the_word_counts(voicefit: Run, talk: Callable, home: Path, tmp_path: Path) -> None:
    store = str(tmp_path / "a.sqlite")
    talk("nineteen pitch", "stop", options=("--store", store))
    after, before = voicefit("jobs", "list", "--store", store), voicefit("jobs", "--store", store, "list")
    assert after.code == before.code == 0 and before.out == after.out
    assert voicefit("jobs", "--store", store, "--json", "list").document


TOO_LONG = "x" * 300  # the system refuses to look for such a name, as it does in a folder that one may not enter


@pytest.mark.parametrize(
    "arguments",
    [
        ["jobs", "list", "--store", f"{TOO_LONG}.sqlite"],
        ["talk", "--typed", "--store", f"{TOO_LONG}.journal"],
        ["talk", "--from", f"{TOO_LONG}.wav"],
        ["talk", "--from", SPOKEN, "--to", f"{TOO_LONG}.wav"],
        ["hear", f"{TOO_LONG}.wav"],
        ["replay", f"{TOO_LONG}.txt"],
        ["stock", "import", f"{TOO_LONG}.csv"],
        ["--catalogue", TOO_LONG, "ask", "flat"],
        ["talk", "--typed", "--glance", "--address", TOO_LONG],
    ],
    ids=lambda arguments: " ".join(arguments).replace(TOO_LONG, "X"),
)
def test_what_the_system_refuses_is_one_line_that_names_it(voicefit: Run, home: Path, arguments: list[str]) -> None:
    ran = voicefit(*arguments)
    assert ran.code == 2 and TOO_LONG in ran.err and ran.err.count("\n") == 1


def test_the_doctor_says_which_part_the_system_refuses(
    voicefit: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from voicefit.cli.doctor import examine, parts

    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / TOO_LONG))
    (journal,) = examine([part for part in parts() if part.name == "journal"]).checks
    assert not journal.present and TOO_LONG in journal.detail


@pytest.fixture
def loose_umask():
    before = os.umask(0)
    yield
    os.umask(before)


def test_what_is_written_of_a_session_is_private(voicefit: Run, home: Path, tmp_path: Path, loose_umask: None) -> None:
    answers, left_out = tmp_path / "answers.wav", tmp_path / "left-out.csv"
    assert voicefit("talk", "--from", SPOKEN, "--to", str(answers)).code == 0
    assert stat.S_IMODE(answers.stat().st_mode) == 0o600
    listed = tmp_path / "list.csv"
    listed.write_text('designation,bin\nJIC female swivel -6,A1\n"=1+1",B2\n"\t@SUM(A1)",B3\n')
    ran = voicefit("stock", "import", str(listed), "--unmatched", str(left_out))
    assert ran.code == 0, ran.err
    assert stat.S_IMODE(left_out.stat().st_mode) == 0o600
    _, *rows = csv.reader(io.StringIO(left_out.read_text()))
    assert len(rows) == 2 and not any(text.lstrip().startswith(("=", "@")) for row in rows for text in row)


@pytest.mark.parametrize("text", ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1", "-6 JIC"])
def test_no_cell_begins_as_a_formula(text: str) -> None:
    assert cell(text) == "'" + text


@pytest.mark.parametrize("text", ["", "-40", "+3.5", "-0,5", "M22 x 1.5", "3/8-18", "a=b"])
def test_a_cell_that_is_none_stays_as_it_is(text: str) -> None:
    assert cell(text) == text
