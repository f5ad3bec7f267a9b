"""What is acted on: sleep, pause, the attention word, the pedal, the headset."""

from __future__ import annotations

from collections.abc import Mapping

from voicefit.dialogue import asking, identification
from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.functions import Does
from voicefit.dialogue.functions.naming import say_so_far
from voicefit.dialogue.functions.readings import ask_value
from voicefit.dialogue.functions.teaching import say_step
from voicefit.dialogue.settings import ATTENTION_WORDS
from voicefit.dialogue.turn import Turn
from voicefit.records import Command


def sleep(turn: Turn, command: Command) -> None:
    turn.look(asleep=True)
    turn.do(Deed.LISTEN, "asleep")
    turn.say("asleep")


def wake_up(turn: Turn, command: Command) -> None:
    if not turn.focus.asleep:
        turn.say("already-awake")
        return
    turn.look(asleep=False)
    turn.do(Deed.LISTEN, "awake")
    turn.say("awake")
    go_on(turn)


def pause(turn: Turn, command: Command) -> None:
    turn.look(paused=True)
    turn.keep_reply = True
    turn.do(Deed.HUSH)
    turn.say("paused")


def resume(turn: Turn, command: Command) -> None:
    turn.say("resumed")
    go_on(turn)


def go_on(turn: Turn) -> None:
    """Say what is open, if anything is."""
    if turn.focus.question is not None:
        asking.ask_again(turn)
    elif turn.focus.spelling is not None:
        say_so_far(turn)
    elif turn.focus.lesson is not None:
        say_step(turn)
    elif turn.focus.correcting:
        ask_value(turn)
    else:
        identification.ask(turn)


def attention(turn: Turn, command: Command) -> None:
    """The attention word by itself: what follows next is listened to."""
    turn.look(attending=True)
    turn.do(Deed.LISTEN, "attending")
    turn.tone("listening")


def attention_on(turn: Turn, command: Command) -> None:
    turn.set("listening", "attention")
    turn.say("attention-on", word=turn.settings.attention_word)


def next_attention_word(turn: Turn, command: Command) -> None:
    at = ATTENTION_WORDS.index(turn.settings.attention_word)
    turn.set("attention_word", ATTENTION_WORDS[(at + 1) % len(ATTENTION_WORDS)])
    turn.say("attention-word", word=turn.settings.attention_word)


def push_to_talk(turn: Turn, command: Command) -> None:
    turn.set("listening", "push")
    turn.say("push-to-talk")


def open_listening(turn: Turn, command: Command) -> None:
    turn.set("listening", "open")
    turn.say("open-listening")


def headset_on(turn: Turn, command: Command) -> None:
    turn.set("barge_in", True)
    turn.say("headset-on")


def headset_off(turn: Turn, command: Command) -> None:
    turn.set("barge_in", False)
    turn.say("headset-off")


TABLE: Mapping[str, Does] = {
    "sleep": sleep,
    "wake-up": wake_up,
    "pause": pause,
    "resume": resume,
    "attention": attention,
    "attention-on": attention_on,
    "next-attention-word": next_attention_word,
    "push-to-talk": push_to_talk,
    "open-listening": open_listening,
    "headset-on": headset_on,
    "headset-off": headset_off,
}
