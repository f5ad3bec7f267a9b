"""Kept sound: private, listed, removable, and nothing outside its folder."""

from __future__ import annotations

import os
import stat
import time
from pathlib import Path

import numpy as np
import pytest

from voicefit.errors import BadAudio, BadInput
from voicefit.journal.notes import SPEECH, NoteShelf

SESSION = "0123456789abcdef" * 2
TONE = np.sin(np.arange(24_000) * 2 * np.pi * 440 / 16_000).astype(np.float32) * np.float32(0.5)


def test_kept_read_back_and_private(tmp_path: Path) -> None:
    shelf = NoteShelf(tmp_path / "notes")
    assert shelf.sounds() == []
    name = shelf.keep(SESSION, 2, TONE)
    assert name == "01234567-2-note-1.flac"
    assert shelf.keep(SESSION, 2, TONE) == "01234567-2-note-2.flac"
    assert np.abs(shelf.samples(name) - TONE).max() < 2 / 32768
    assert stat.S_IMODE((tmp_path / "notes").stat().st_mode) == 0o700
    assert {stat.S_IMODE(p.stat().st_mode) for p in (tmp_path / "notes").iterdir()} == {0o600}
    assert [(s.job, s.kind, s.number, s.seconds) for s in shelf.sounds()] == [(2, "note", 1, 1.5), (2, "note", 2, 1.5)]


def test_a_removed_note_gives_its_number_to_no_other_while_a_later_one_is_kept(tmp_path: Path) -> None:
    shelf = NoteShelf(tmp_path)
    first, second = shelf.keep(SESSION, 1, TONE), shelf.keep(SESSION, 1, TONE)
    shelf.remove(first)
    assert shelf.keep(SESSION, 1, TONE) not in (first, second)
    with pytest.raises(BadInput, match="no such note"):
        shelf.remove(first)


def test_prune(tmp_path: Path) -> None:
    shelf = NoteShelf(tmp_path)
    old = shelf.keep(SESSION, 1, TONE)
    other = shelf.keep("f" * 32, 1, TONE)
    new = shelf.keep(SESSION, 2, TONE, SPEECH)
    ten_days_ago = time.time() - 10 * 86_400
    os.utime(tmp_path / old, (ten_days_ago, ten_days_ago))
    (tmp_path / "mine.flac").write_bytes(b"not ours")
    assert shelf.prune(older_than_days=9) == [old]
    assert shelf.prune(session=SESSION, job=1) == []
    assert shelf.prune(session=SESSION) == [new]
    assert shelf.prune() == [other]
    assert [p.name for p in tmp_path.iterdir()] == ["mine.flac"]


def test_a_damaged_note_is_listed_and_removable(tmp_path: Path) -> None:
    shelf = NoteShelf(tmp_path)
    name = shelf.keep(SESSION, 1, TONE)
    (tmp_path / name).write_bytes(b"\x00" * 50)
    assert [s.seconds for s in shelf.sounds()] == [0.0]
    with pytest.raises(BadAudio):
        shelf.samples(name)
    shelf.remove(name)
    assert shelf.sounds() == []


@pytest.mark.parametrize("name", ["../secret.flac", "/etc/passwd", "", "01234567-1-note-1.flac/..", "mine.flac"])
def test_names_lead_nowhere_else(name: str, tmp_path: Path) -> None:
    (tmp_path / "secret.flac").write_bytes(b"x")
    shelf = NoteShelf(tmp_path / "notes")
    shelf.keep(SESSION, 1, TONE)
    with pytest.raises(BadInput, match="no such note"):
        shelf.remove(name)
    assert (tmp_path / "secret.flac").exists()


def test_nothing_to_keep(tmp_path: Path) -> None:
    with pytest.raises(BadAudio, match="no sound came"):
        NoteShelf(tmp_path / "notes").keep(SESSION, 1, TONE[:0])
    with pytest.raises(BadInput, match="kept sound is a note or speech"):
        NoteShelf(tmp_path / "notes").keep(SESSION, 1, TONE, "song")
    assert not (tmp_path / "notes").exists()
