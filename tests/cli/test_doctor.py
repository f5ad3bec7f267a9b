"""The doctor tries each part for real, goes on after a failure, and says what to do."""

from __future__ import annotations

import json
import sys

import pytest
from typer.testing import CliRunner

from voicefit.audio import devices
from voicefit.cli import build
from voicefit.cli.doctor import Component, DoctorDocument, examine, parts
from voicefit.errors import BadInput, Missing


def lost() -> tuple[str, str]:
    raise Missing("a microphone", "plug one in")


def broken() -> tuple[str, str]:
    raise BadInput("settings.toml: not TOML")


def test_one_missing_part_does_not_hide_the_others() -> None:
    document = examine(
        [
            Component("microphone", True, lost),
            Component("settings", True, broken),
            Component("voice", True, lambda: ("espeak", "")),
            Component("second recogniser", False, lost),
        ]
    )
    assert [check.present for check in document.checks] == [False, False, True, False]
    assert document.checks[0].remedy == "plug one in" and "not TOML" in document.checks[1].detail
    assert not document.ready


def test_what_is_not_needed_does_not_make_it_unready() -> None:
    assert examine(
        [Component("voice", True, lambda: ("espeak", "")), Component("second recogniser", False, lost)]
    ).ready


def test_the_parts_that_need_no_device_are_really_here() -> None:
    document = examine([part for part in parts() if part.name not in ("PortAudio", "microphone", "speaker")])
    assert document.ready, document
    assert {check.part for check in document.checks} >= {"recogniser", "voice detector", "voice", "journal", "settings"}


def bound_to(monkeypatch: pytest.MonkeyPatch, binding: str) -> None:
    """The children that have the sound devices find this in the place of the binding."""
    script = (
        "import sys, tests.audio.fakes; from voicefit.audio import worker_portaudio\n"
        f"sys.modules['sounddevice'] = {binding}; sys.exit(worker_portaudio.main())"
    )
    monkeypatch.setattr(devices, "COMMAND", (sys.executable, "-c", script))


@pytest.mark.parametrize("as_json", [True, False])
def test_without_devices_it_exits_3_and_names_the_remedy(
    monkeypatch: pytest.MonkeyPatch, tmp_path: object, as_json: bool
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    bound_to(monkeypatch, "tests.audio.fakes.FakePortAudio()")
    ended = CliRunner().invoke(build(), ["doctor", *(["--json"] if as_json else [])])
    assert ended.exit_code == 3
    if as_json:
        document = DoctorDocument.model_validate(json.loads(ended.stdout))
        missing = {check.part for check in document.checks if not check.present}
        assert missing == {"microphone", "speaker"} and not document.ready
    else:
        assert "MISSING  microphone" in ended.stdout and "plug one in" in ended.stdout
        assert "present  recogniser" in ended.stdout and "Not ready" in ended.stdout


def test_without_portaudio_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    bound_to(monkeypatch, "None")
    document = examine([part for part in parts() if part.name in ("PortAudio", "microphone", "speaker")])
    assert all("libportaudio2" in check.remedy for check in document.checks) and not document.ready
