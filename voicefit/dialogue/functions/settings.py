"""Settings by voice. Each is kept by the edge and said back."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.functions import Does
from voicefit.dialogue.turn import Turn
from voicefit.records import Chosen, Command

STEPS = {
    "quieter": ("volume", -15),
    "louder": ("volume", +15),
    "slower": ("words_per_minute", -20),
    "faster": ("words_per_minute", +20),
    "higher-voice": ("pitch", +10),
    "deeper-voice": ("pitch", -10),
}
CHOICES = {
    "short-answers": ("replies", "short"),
    "full-answers": ("replies", "full"),
    "use-inches": ("length_unit", "in"),
    "use-millimeters": ("length_unit", "mm"),
    "fraction-caliper": ("instrument", "fraction"),
    "dial-caliper": ("instrument", "dial"),
    "digital-caliper": ("instrument", "digital"),
}
NEXT = {"another-voice": "voice", "another-microphone": "microphone", "another-speaker": "speaker"}


def step(turn: Turn, command: Command) -> None:
    name, by = STEPS[command.name]
    turn.keep_reply = True
    value = getattr(turn.settings.stepped(name, by), name)
    if value == getattr(turn.settings, name):
        turn.say("at-limit")
        return
    turn.set(name, value)
    turn.say(command.name)


def choose(turn: Turn, command: Command) -> None:
    name, value = CHOICES[command.name]
    turn.set(name, value)
    turn.say(command.name)


def take_next(turn: Turn, command: Command) -> None:
    """The names of voices and devices are known to the edge only; it answers with a ``Chosen`` event."""
    turn.tone("working")
    turn.do(Deed.NEXT, NEXT[command.name])


def chosen(turn: Turn, event: Chosen) -> None:
    wording = turn.knowledge.wording
    if not event.name:
        turn.say("chosen-none", what=wording.plain(event.what))
        return
    turn.set(event.what, event.name)
    turn.say(f"chosen-{event.what}", name=event.name)


def read_settings(turn: Turn, command: Command) -> None:
    wording, now = turn.knowledge.wording, turn.settings
    names = (
        ("replies", now.replies),
        ("listening", now.listening),
        ("length_unit", now.length_unit or "none"),
        ("instrument", now.instrument or "none"),
        ("barge_in", "yes" if now.barge_in else "no"),
        ("keep_speech", "yes" if now.keep_speech else "no"),
    )
    lines = [wording.plain(f"{name}.{value}") for name, value in names]
    lines += [
        wording.phrase("setting-number", name=wording.plain(name), value=wording.count(getattr(now, name)))
        for name in ("volume", "words_per_minute", "pitch")
    ]
    lines += [
        wording.phrase("setting-name", name=wording.plain(name), value=getattr(now, name) or wording.plain("usual"))
        for name in ("voice", "microphone", "speaker", "attention_word")
    ]
    turn.say_list(tuple(lines), "listed", "items")


TABLE: Mapping[str, Does] = (
    dict.fromkeys(STEPS, step)
    | dict.fromkeys(CHOICES, choose)
    | dict.fromkeys(NEXT, take_next)
    | {"settings": read_settings}
)
