"""The notation of alarms: words that stand together, in whatever order."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.interpretation.wordgroups import read_line
from voicefit.records import Command, Context


def test_a_line_finds_its_words_in_any_order_each_for_one_group() -> None:
    line = read_line("oil|fluid eye|eyes|lid* !not")
    assert line.is_in(["oil", "in", "the", "eye"]) and line.is_in(["lids", "full", "of", "oil"])
    assert not line.is_in(["oil", "oil"]) and not line.is_in(["oil", "not", "in", "the", "eye"])


def test_a_word_with_a_dollar_is_the_last() -> None:
    line = read_line("engine on$")
    assert line.is_in(["engine", "is", "on"]) and not line.is_in(["on", "the", "engine", "bay"])


@pytest.mark.parametrize(
    ("text", "command"),
    [
        ("can i block it with my hand", "hand-on-leak"),
        ("should i put my finger over it", "hand-on-leak"),
        ("it's leaking badly, can i hold a rag on it", "hand-on-leak"),
        ("could i use my glove to stop the jet", "hand-on-leak"),
        ("it starts two threads and stops, good enough", "binds"),
        ("it's got two threads in and jammed solid", "binds"),
        ("it binds after a turn", "binds"),
        ("can i just crank it down", "force"),
        ("may i hammer it", "force"),
        ("he wants it forced, yes or no", "force"),
        ("can i warm it up with a blowlamp", "heat"),
        ("thread is stripped, use it once more", "damaged"),
        ("is it ok to reuse a bent fitting", "damaged"),
        ("can i tighten it to twice the torque", "over-torque"),
        ("two bolts will do for now", "makeshift"),
        ("the o ring is missing, run it till morning", "makeshift"),
        ("is it safe to plug it with a bolt", "makeshift"),
        ("can i mix b s p t and n p t with lots of sealant", "mixing"),
        ("british taper into american port okay or not", "mixing"),
        ("will it hold with a forty five on a thirty seven", "mixing"),
        ("bucket's up on a jack, no props", "danger"),
        ("his foot is pinned under the block", "trapped"),
        ("a flange fell on my toes", "struck"),
        ("Gaz is under the bucket, is that alright", "danger"),
        ("Wilma's under the loader", "danger"),
        ("Gaz has the key, he's starting it", "danger"),
        ("Baz is starting it up", "danger"),
        ("the machine moved on its own", "danger"),
        ("the digger rolled by itself", "danger"),
        ("there's still forty bar on it", "danger"),
        ("there's sixty bar left in the line", "danger"),
        ("I undid it and there's thirty bar on it", "danger"),
    ],
)
def test_a_dangerous_act_or_state_is_heard_and_nothing_else(language: Language, text: str, command: str) -> None:
    assert [getattr(item, "name", item) for item in language.interpret(text, Context())[0].items] == [command]


@pytest.mark.parametrize(
    "text",
    [
        "can i feel the cone with my finger",
        "my hands are greasy, can i hold the gauge with my glove",
        "can i put it on by hand",
        "can i put it on the hammer line",
        "the fitting was forced in by somebody",
        "i look with a torch, male",
        "can it take the heat",
        "the heat shield is in the way",
        "it is hand tight after two turns",
        "how many turns from finger tight",
        "the gauge binds after two threads",
        "two threads are showing",
        "a male, three quarters, sixteen threads, sticks out",
        "the thread is damaged",
        "the old one is cracked, order a new one",
        "no o ring on it",
        "order two bolts for tomorrow",
        "the two bolts are forty apart",
        "can i double check it",
        "is it british or american",
        "can it be thirty seven or forty five",
        "can i go from british to metric with an adapter",
        "will it hold three hundred bar",
        "the loader is on the jack stands, boom is down",
        "it got stuck in the hose",
        "the ring is caught in the groove",
        "i dropped the caliper",
        "the label is under the bucket",
        "the fitting's under the bucket",
        "it's under the boom",
        "I started it by hand",
        "he started the thread by hand",
        "the nut moved on its own",
        "there's forty bar on the gauge",
        "hose for forty bar",
        "the hose is still two hundred bar",
    ],
)
def test_the_same_words_of_something_harmless_ring_nothing(language: Language, text: str) -> None:
    rings = {"hand-on-leak", "binds", "force", "heat", "damaged", "over-torque", "makeshift", "mixing", "trapped"}
    rings |= {"struck", "danger", "injected"}
    named = {item.name for item in language.interpret(text, Context())[0].items if isinstance(item, Command)}
    assert named.isdisjoint(rings)
