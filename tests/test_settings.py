"""Settings last: written whole, for the user alone, with what the user wrote kept; and wrong ones are named."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from voicefit.dialogue.settings import Settings
from voicefit.errors import BadInput
from voicefit.settings import (
    HearingProfile,
    load_hearing,
    load_settings,
    own_tables,
    save_hearing,
    save_settings,
    settings_file,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "voicefit" / "settings.toml"


def written(path: Path, text: str) -> Path:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_without_a_file_the_defaults_hold(path: Path) -> None:
    assert load_settings(path) == Settings()
    assert load_hearing(path) == HearingProfile()
    assert not path.exists()


def test_what_was_saved_comes_back_for_the_user_alone(path: Path) -> None:
    settings = Settings(words_per_minute=140, voice="en-gb", barge_in=True, microphone="Workshop headset “left”")
    profile = HearingProfile("Workshop headset", -21.5, -48.0, -60.0, True, 9, 10)
    save_settings(settings, path)
    save_hearing(profile, path)
    assert load_settings(path) == settings
    assert load_hearing(path) == profile
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [file.name for file in path.parent.iterdir()] == ["settings.toml"]  # no draft is left


def test_a_value_put_back_to_its_default_leaves_the_file(path: Path) -> None:
    save_settings(Settings(pitch=60), path)
    save_settings(Settings(), path)
    assert "pitch" not in path.read_text(encoding="utf-8")


def test_comments_and_unknown_keys_are_kept_and_unknown_keys_reported(path: Path) -> None:
    written(path, "# bench two\nodd = 1\n[session]\npitch = 40 # deeper\nloudness = 3\n[hearing]\n")
    reports: list[str] = []
    assert load_settings(path, reports.append).pitch == 40
    assert len(reports) == 2 and "'odd'" in reports[0] and "'loudness' in [session]" in reports[1]
    save_settings(Settings(pitch=45), path)
    text = path.read_text(encoding="utf-8")
    assert "# bench two" in text and "odd = 1" in text and "loudness = 3" in text and "pitch = 45 # deeper" in text


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ('[session]\nwords_per_minute = "quick"', "words_per_minute in [session]"),
        ("[session]\nwords_per_minute = 1000", "words_per_minute: 1000 is not between 80 and 400"),
        ('[session]\nreplies = "endless"', "replies: 'endless' is none of"),
        ("[session]\nbarge_in = 7", "barge_in in [session]"),
        ("session = 3", "session must be a table"),
        ("[session", "not TOML"),
    ],
)
def test_a_wrong_file_is_named_with_its_key_and_not_overwritten(path: Path, text: str, named: str) -> None:
    written(path, text)
    with pytest.raises(BadInput) as caught:
        load_settings(path)
    assert str(path) in str(caught.value) and named in str(caught.value)
    if "TOML" in named:
        with pytest.raises(BadInput, match="not TOML"):
            save_settings(Settings(pitch=40), path)
        assert path.read_text(encoding="utf-8") == text


def test_levels_that_cannot_be_are_named(path: Path) -> None:
    for value in ("nan", "12.0", "-900.0"):
        written(path, f"[hearing]\nlevel_dbfs = {value}\n")
        with pytest.raises(BadInput, match="level_dbfs"):
            load_hearing(path)


def test_bytes_that_are_no_text_are_named(path: Path) -> None:
    path.parent.mkdir()
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadInput, match="not UTF-8"):
        load_settings(path)


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(BadInput, match=r"could not be written|Not a directory"):
        save_settings(Settings(pitch=40), tmp_path / "file" / "settings.toml")


def test_the_usual_place_is_the_users_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert settings_file().name == "settings.toml" and settings_file().parent.name == "voicefit"


def test_the_folder_of_own_tables(path: Path) -> None:
    assert own_tables(path) is None
    written(path, '[catalogue]\nfolder = "tables"\n')
    with pytest.raises(BadInput, match=r"settings\.toml: setting folder in \[catalogue\]: .*tables is not a folder"):
        own_tables(path)
    (path.parent / "tables").mkdir()
    assert own_tables(path) == path.parent / "tables"
    reports: list[str] = []
    load_settings(path, reports.append)
    assert not reports
    written(path, "[catalogue]\nfolder = 3\n")
    with pytest.raises(BadInput, match=r"setting folder in \[catalogue\]"):
        own_tables(path)
