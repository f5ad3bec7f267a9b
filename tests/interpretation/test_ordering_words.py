"""How many, which end, what is missing: the commands of an order in other words than the grammar's own list shows.

The wordings are what a person of the trade says (common practice, no source).
"""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.records import Command, Context

SAID = {
    ("quantity", "2"): (
        "two of them please",
        "can I order two of those",
        "order me two of these",
        "put two on the slip",
    ),
    ("quantity", "3"): ("better make it three", "I'll take three of them", "quantity three", "three off please"),
    ("quantity", "4"): (
        "we need four of those",
        "get me four of them on the list",
        "four of the hoses",
        "order four more",
    ),
    ("quantity", None): ("a couple of those", "order a pair of them", "I need a couple of them"),
    ("how-many", None): (
        "how many is that now",
        "how many did I order",
        "how many of those have I got",
        "what quantity is that",
    ),
    ("what-is-missing", None): (
        "what's still missing for the hose",
        "what don't you have yet, for the hose",
        "what else do you need for the hose",
        "is the hose complete",
        "anything missing from the slip",
        "what haven't you got yet",
        "have you got everything for the hose",
    ),
    ("same-end", None): (
        "other end is the same",
        "the other end's the same",
        "same both ends",
        "same as the first",
        "end three is the same as end one",
        "both ends are identical",
        "the far end has the same nut",
        "same fitting on the other end",
    ),
    ("go-back-to", None): (
        "go back to the first end",
        "back to the flange",
        "take me back to the other end",
        "it's the flange I'm asking about",
        "I meant the nut, not the hose",
    ),
    ("hose", None): ("go back to the hose", "back to the hose", "now the hose", "what about the hose"),
    ("other-end", None): ("next fitting", "on to the next fitting", "next end please", "now the far end"),
    ("new-job", None): ("on to the next job", "next job"),
    ("no-tube", None): (
        "there's no tube",
        "no tube on it",
        "can't see any tube",
        "no tube, it's a hose",
        "I can't get at the tube",
        "it has no tube",
    ),
    ("one-elbow", None): (
        "just the one elbow",
        "it's only got the one elbow, first end is straight",
        "there is one elbow only",
    ),
}


@pytest.mark.parametrize(
    ("name", "argument", "text"),
    [(name, argument, text) for (name, argument), texts in SAID.items() for text in texts],
    ids=lambda value: value,
)
def test_calls(language: Language, name: str, argument: str | None, text: str) -> None:
    commands = [item for item in language.interpret(text, Context())[0].items if isinstance(item, Command)]
    assert [(command.name, command.argument) for command in commands] == [(name, argument)]


@pytest.mark.parametrize(
    "text", ["straight on both ends", "male one end, female the other", "we have two of those here"]
)
def test_what_tells_nothing_of_an_order_stays_an_aside(language: Language, text: str) -> None:
    (item,) = language.interpret(text, Context())[0].items
    assert isinstance(item, Command) and item.name == "aside"
