"""Privacy: no sound is kept unless asked for; what is kept is the user's, listed and removable; nothing listens."""

from __future__ import annotations

import contextlib
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.cli.talking import Child, replies
from voicefit.audio.files import read_audio, to_int16, write_wav
from voicefit.dialogue import Settings
from voicefit.journal.history import sessions_of
from voicefit.journal.store import open_store
from voicefit.recognition import ENGINES, SpokenLanguage
from voicefit.records import SAMPLE_RATE_HZ, Alternative, Context, Transcript, Utterance
from voicefit.resources import data_folder
from voicefit.settings import load_settings, save_settings


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    """A real voice saying one sentence, three times, with a pause after each."""
    sentence = read_audio(data_folder() / "demo" / "sentence.flac")
    pause = np.zeros(4 * SAMPLE_RATE_HZ, np.float32)
    path = tmp_path / "said.wav"
    write_wav(path, to_int16(np.concatenate([sentence, pause] * 3)), SAMPLE_RATE_HZ)
    return path


class Given:
    """An engine that hears the next line in each utterance, in one that goes on the same as before."""

    name = "given"

    def __init__(self, *lines: str) -> None:
        self._lines = iter(lines)
        self._of: dict[float, str] = {}  # by where the utterance begins

    def recognise(
        self, utterance: Utterance, language: SpokenLanguage, context: Context, wanted: object = None
    ) -> Transcript:
        text = self._of.get(utterance.start_s) or next(self._lines)
        self._of[utterance.start_s] = text
        alternatives = (Alternative(text, 0.0),)
        return Transcript(alternatives, meanings=language.interpret(text, context))

    def expect(self, language: SpokenLanguage, context: Context) -> None:
        pass


@pytest.fixture
def heard(voicefit: Callable, home: Path, recording: Path, tmp_path: Path) -> Callable[..., list[dict[str, Any]]]:
    """A session from the recording; what is understood of each utterance is given."""

    def run(*lines: str) -> list[dict[str, Any]]:
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(ENGINES, "neural", lambda model, shift: Given(*lines))
            ran = voicefit("talk", "--from", str(recording), "--json", "--to", str(tmp_path / "replies.wav"))
        assert ran.code == 0, ran.err
        return ran.documents

    return run


def kept_files(home: Path) -> list[str]:
    return sorted(path.name for path in (home / "notes").glob("*"))


def test_no_sound_is_kept_unless_asked_for(heard: Callable, home: Path, voicefit: Callable) -> None:
    heard("outside nine sixteenths", "eighteen pitch", "order slip")
    assert kept_files(home) == []
    assert not [path for path in home.rglob("*") if path.suffix in (".flac", ".wav")]
    assert voicefit("jobs", "sounds", "--json").document == []


def test_speech_is_kept_beside_the_job_where_that_was_turned_on(
    heard: Callable, home: Path, voicefit: Callable, recording: Path
) -> None:
    save_settings(Settings(keep_speech=True))
    heard("outside nine sixteenths", "new job", "outside one inch")
    sounds = voicefit("jobs", "sounds", "--json").document
    assert [(each["job"], each["kind"], each["number"]) for each in sounds] == [
        (1, "speech", 1),
        (1, "speech", 2),
        (2, "speech", 1),
    ]
    assert {stat.S_IMODE((home / "notes" / each["name"]).stat().st_mode) for each in sounds} == {0o600}
    assert stat.S_IMODE((home / "notes").stat().st_mode) == 0o700
    (session,) = sessions_of(open_store(home / "journal.sqlite").contents())
    named = [record.data["name"] for record in session.records if record.kind == "speech"]
    assert sorted(named) == kept_files(home), "the record names what was kept"
    said, kept = read_audio(recording), read_audio(home / "notes" / named[0])
    assert np.abs(kept).max() > 0.01 and np.isin(np.round(kept[:200], 4), np.round(said, 4)).all(), "what was said"
    job = session.jobs[0].id
    assert named[0] in voicefit("jobs", "show", job).out
    gone = voicefit("jobs", "prune", job, "--json").document["removed"]
    assert sorted(gone) == sorted(named[:2]) and kept_files(home) == [named[2]]


def test_keeping_is_turned_on_and_off_by_voice(heard: Callable, talk: Callable, home: Path) -> None:
    heard("keep what i say", "outside one inch", "stop keeping")
    assert len(kept_files(home)) == 2, "from the sentence that turned it on to the one before it was turned off"
    talk("keep what i say")
    assert load_settings().keep_speech, "until it is turned off"
    talk("stop keeping")
    assert not load_settings().keep_speech


def test_a_note_is_listed_and_removed_by_voice(heard: Callable, talk: Callable, home: Path) -> None:
    heard("outside nine sixteenths", "note")  # the third sentence is the note
    (name,) = kept_files(home)
    assert "-1-note-1" in name
    answers = talk("go back to job one", "what is kept", "remove the note", "yes", "what is kept")
    assert "one note" in answers[1]["reply"].lower()
    assert "for good" in answers[2]["reply"] and "removed" in answers[3]["reply"]
    assert kept_files(home) == []
    assert "one note" not in answers[4]["reply"].lower()


def test_a_typed_session_says_why_it_takes_no_note(voicefit: Callable, home: Path) -> None:
    ran = voicefit("talk", "--typed", "--json", stdin="outside one inch\nnote\nwhat is kept\n")
    said = [answer["reply"] for answer in ran.documents]
    assert len(said) == 4, "the greeting, and one answer a line"
    assert said[2].endswith("The note could not be kept or played.")
    assert "a typed session has none" in ran.err


def test_all_sound_of_a_job_is_removed_by_voice(heard: Callable, talk: Callable, home: Path) -> None:
    save_settings(Settings(keep_speech=True))
    heard("outside nine sixteenths", "new job", "outside one inch")
    answers = talk("go back to job one", "remove all audio", "yes", "go back to job two")
    assert "removed" in answers[2]["reply"], replies(answers)
    assert [name for name in kept_files(home) if "-1-speech" in name] == []
    assert len(kept_files(home)) == 1, "another job's stays"


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="sockets are read from Linux's /proc")
def test_nothing_listens_on_the_network(home: Path) -> None:
    child = Child()
    try:
        child.say("outside nine sixteenths")
        own = set()
        for handle in Path(f"/proc/{child.process.pid}/fd").iterdir():
            with contextlib.suppress(OSError):
                own.add(str(handle.readlink()))
        listening = set()
        for table in ("tcp", "tcp6", "udp", "udp6"):
            for line in Path(f"/proc/net/{table}").read_text().splitlines()[1:]:
                cells = line.split()
                if table.startswith("udp") or cells[3] == "0A":
                    listening.add(f"socket:[{cells[9]}]")
        assert own, "the process is looked at"
        assert own & listening == set()
    finally:
        child.kill()
