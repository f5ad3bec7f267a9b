"""Settings by voice last: each is said, done, kept in the user's file, and holds after a restart."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Deed, Knowledge, Settings
from voicefit.quantities import Quantity
from voicefit.records import Chosen, Do, Event, Reading
from voicefit.settings import load_settings, save_settings

SPOKEN: dict[str, tuple[str | Event, str, object]] = {
    "replies": ("short answers", "replies", "short"),
    "length_unit": ("use millimeters", "length_unit", "mm"),
    "length_unit inches": ("i measure in inches", "length_unit", "in"),
    "instrument fraction": ("fraction caliper", "instrument", "fraction"),
    "instrument dial": ("dial caliper", "instrument", "dial"),
    "instrument": ("digital caliper", "instrument", "digital"),
    "words_per_minute": ("slower", "words_per_minute", 145),
    "pitch": ("deeper voice", "pitch", 40),
    "volume": ("quieter", "volume", 85),
    "listening": ("use the attention word", "listening", "attention"),
    "listening push": ("push to talk", "listening", "push"),
    "attention_word": ("another attention word", "attention_word", "hello bench"),
    "barge_in": ("headset on", "barge_in", True),
    "keep_speech": ("keep audio", "keep_speech", True),
    "voice": (Chosen("voice", "English (Lancaster)"), "voice", "English (Lancaster)"),
    "microphone": (Chosen("microphone", "Headset Mono, USB"), "microphone", "Headset Mono, USB"),
    "speaker": (Chosen("speaker", "Bench box"), "speaker", "Bench box"),
}


def test_every_setting_can_be_made_by_voice() -> None:
    assert {name.split()[0] for name in SPOKEN} == {field.name for field in fields(Settings)}


@pytest.mark.parametrize("setting", SPOKEN)
def test_a_setting_by_voice_outlasts_the_session(knowledge: Knowledge, setting: str, tmp_path: Path) -> None:
    said, name, value = SPOKEN[setting]
    file = tmp_path / "settings.toml"
    first = Talk(knowledge)
    reply = first.say(said) if isinstance(said, str) else first.handle(said)
    assert reply, "a setting is said back"
    assert f"set {name}={value}" in first.deeds
    assert any(isinstance(effect, Do) and effect.name == Deed.SET for effect in first.effects)
    assert getattr(first.session.settings, name) == value
    save_settings(first.session.settings, file)
    again = Talk(knowledge, load_settings(file))
    assert getattr(again.session.settings, name) == value
    if name == "listening":
        again.say("hello gauge")  # else what is said is not for the session
    assert again.say("settings") or again.deeds == ["silent not_addressed"]


def test_a_length_without_a_unit_is_first_taken_in_the_unit_chosen(knowledge: Knowledge) -> None:
    for unit in ("in", "mm"):
        context = Talk(knowledge, Settings(length_unit=unit)).session.context()
        reading = knowledge.language.interpret("length sixty", context)[0].items[0]
        assert isinstance(reading, Reading)
        assert isinstance(reading.options[0].value, Quantity)
        assert reading.options[0].value.unit == unit, reading


def test_a_device_is_told_by_name_never_by_number(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    for what in ("voice", "microphone", "speaker"):
        talk.say(f"another {what}")
        assert talk.deeds == [f"next {what}"]
        assert "Headset" in talk.handle(Chosen(what, "Headset Mono"))
        assert "no other" in talk.handle(Chosen(what, ""))
