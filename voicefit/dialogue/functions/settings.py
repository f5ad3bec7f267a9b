"""Settings by voice, each kept by the edge and said back; and what is acted on: sleep, pause, attention word."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import asking, identification
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.notes import say_so_far
from voicefit.dialogue.functions.readings import ask_value
from voicefit.dialogue.functions.reasons import say_step
from voicefit.dialogue.settings import ATTENTION_WORDS
from voicefit.dialogue.state import Attention, Checking, Choosing, Confirming, Correcting, Deed, Explaining, Spelling
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
    "push-to-talk": ("listening", "push"),
    "open-listening": ("listening", "open"),
    "headset-on": ("barge_in", True),
    "headset-off": ("barge_in", False),
    "keep-sound": ("keep_speech", True),
    "keep-no-sound": ("keep_speech", False),
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


def sleep(turn: Turn, command: Command) -> None:
    turn.look(attention=Attention.ASLEEP)
    turn.do(Deed.LISTEN, "asleep")
    turn.say("asleep")


def wake_up(turn: Turn, command: Command) -> None:
    if turn.focus.attention is not Attention.ASLEEP:
        turn.say("already-awake")
        return
    turn.look(attention=Attention.OPEN)
    turn.do(Deed.LISTEN, "awake")
    turn.say("awake")
    go_on(turn)


def pause(turn: Turn, command: Command) -> None:
    turn.look(attention=Attention.PAUSED)
    turn.keep_reply = True
    turn.do(Deed.HUSH)
    turn.say("paused")


_TENDED = frozenset({"burnt", "hurt", "struck"})  # a burn, a cut or a blow: whoever goes on has seen to it


def resume(turn: Turn, command: Command) -> None:
    injury = turn.focus.injury
    if injury is not None and injury.caution in _TENDED:
        turn.look(injury=None)  # the work goes on; an injection stays open
    turn.say("resumed")
    go_on(turn)


def go_on(turn: Turn) -> None:
    """Say what is open, if anything is."""
    match turn.focus.mode:
        case Confirming() | Choosing():
            asking.ask_again(turn)
        case Spelling():
            say_so_far(turn)
        case Explaining():
            say_step(turn)
        case Correcting():
            ask_value(turn)
        case Checking():
            identification.ask(turn, on_request=True)


def attention(turn: Turn, command: Command) -> None:
    """The attention word by itself: what follows next is listened to."""
    turn.look(attention=Attention.ATTENDING)
    turn.do(Deed.LISTEN, "attending")
    turn.tone("listening")


def attention_on(turn: Turn, command: Command) -> None:
    turn.set("listening", "attention")
    turn.say("attention-on", word=turn.settings.attention_word)


def next_attention_word(turn: Turn, command: Command) -> None:
    at = ATTENTION_WORDS.index(turn.settings.attention_word)
    turn.set("attention_word", ATTENTION_WORDS[(at + 1) % len(ATTENTION_WORDS)])
    turn.say("attention-word", word=turn.settings.attention_word)


TABLE: Mapping[str, Does] = (
    dict.fromkeys(STEPS, step)
    | dict.fromkeys(CHOICES, choose)
    | dict.fromkeys(NEXT, take_next)
    | {"settings": read_settings}
) | {
    "sleep": sleep,
    "wake-up": wake_up,
    "pause": pause,
    "resume": resume,
    "attention": attention,
    "attention-on": attention_on,
    "next-attention-word": next_attention_word,
}
