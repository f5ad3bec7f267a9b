"""One registry: an entry has a function, a function has an entry; each phrase is understood, answered and helped."""

from __future__ import annotations

import re
import tomllib
from contextlib import suppress
from pathlib import Path

import pytest

from tests.dialogue.talk import Talk, knowledge_of_the_project
from tests.scenarios.playing import event_of
from voicefit.dialogue import Knowledge, session
from voicefit.dialogue.functions import FUNCTIONS, collected
from voicefit.dialogue.functions.hoses import FLUIDS
from voicefit.dialogue.registry import FILE, Function, parse
from voicefit.dialogue.turn import Turn
from voicefit.errors import BadGrammar
from voicefit.records import Command

SLOTS = {
    "series": "british taper",
    "number": "one",
    "reading": "eighteen pitch",
    "name": "alpha bravo one two",
    "term": "seat",
    "measured": "pitch",
}
PHRASES = [
    (function, phrase) for function in knowledge_of_the_project().registry.functions for phrase in function.phrases
]
WITH_WORDS = [(function, phrase) for function, phrase in PHRASES if {"{term}", "{measured}"} & set(phrase.split())]
# What must have happened for a function to have something to work on; the others work at any time.
IDENTIFIED = "male, outside nine sixteenths, eighteen pitch, thirty seven degrees, it sticks out"


def _representatives(function: Function) -> list[str]:
    """Of the phrases with the same slots the first, for all of them make the same command (``PHRASES`` are held to
    that by ``test_phrase_calls_its_function``, here and in the tests of the interpretation)."""
    by_slots: dict[tuple[str, ...], str] = {}
    for phrase in function.phrases:
        by_slots.setdefault(tuple(re.findall(r"\{\w+\}", phrase)), phrase)
    return list(by_slots.values())


# Its first phrase in every state, one of each other kind in the state in which most can go wrong.
IN_STATES = [
    (function, phrase, before)
    for function in knowledge_of_the_project().registry.functions
    for phrase in _representatives(function)
    for before in ("", "nineteen pitch", IDENTIFIED)
    if before == IDENTIFIED or phrase == function.phrases[0]
]


def test_every_entry_has_a_function_and_every_function_an_entry(knowledge: Knowledge) -> None:
    assert set(FUNCTIONS) == {function.id for function in knowledge.registry.functions}


@pytest.mark.parametrize(("function", "phrase"), WITH_WORDS, ids=[f"{f.id}: {p}" for f, p in WITH_WORDS])
def test_phrase_calls_its_function(knowledge: Knowledge, function: Function, phrase: str) -> None:
    """Those with a word of the trade in them; of all others the tests of the interpretation have it."""
    best = knowledge.language.interpret(phrase.format(**SLOTS))[0]
    (item,) = best.items
    assert isinstance(item, Command)
    assert item.name == function.id
    if "reading" in function.slots and "{reading}" in phrase:
        assert item.readings
    elif "{" in phrase:
        assert item.argument


@pytest.mark.parametrize(
    ("function", "phrase", "before"), IN_STATES, ids=[f"{f.id}: {p}: {b[:8]}" for f, p, b in IN_STATES]
)
def test_function_answers_in_any_state(knowledge: Knowledge, function: Function, phrase: str, before: str) -> None:
    talk = Talk(knowledge)
    if before:
        talk.say(before)
    reply = talk.say(phrase.format(**SLOTS))
    assert reply or talk.deeds, "neither words nor a deed"
    assert talk.replayed().record == talk.session.record


WORK = tomllib.loads(Path(__file__).with_name("functions.toml").read_text(encoding="utf-8"))


def differs(knowledge: Knowledge, name: str) -> list[str]:
    """In what a function did something else than its entry of ``functions.toml`` says."""
    entry, talk = WORK[name], Talk(knowledge)
    for said in entry.get("before", ()):
        if said[0] == "@":
            talk.handle(event_of(said[1:]))
        elif said[0] == "!":
            first, share, second, other = re.fullmatch(r"!(.+) (0\.\d+) (.+) (0\.\d+)", said).groups()  # type: ignore[union-attr]  # the table has it so
            talk.hear((first, float(share)), (second, float(other)))
        else:
            talk.say(said)
    reply = talk.say(entry["say"])
    written = [kind for kind in talk.kinds if kind not in ("told", "read_back")]
    spoken = all(each in reply for each in re.split(r"(?<=[.?]) ", entry["says"]))
    found = [] if spoken and bool(reply) == bool(entry["says"]) else [f"says {reply!r}, not {entry['says']!r}"]
    for what, now in (("does", talk.deeds), ("written", written)):
        if now != entry.get(what, []):
            found.append(f"{what} {now}, not {entry.get(what, [])}")
    return found


def test_every_function_has_an_entry_of_what_it_does(knowledge: Knowledge) -> None:
    assert set(WORK) == {function.id for function in knowledge.registry.functions}


@pytest.mark.parametrize("name", WORK)
def test_function_does_its_work(knowledge: Knowledge, name: str) -> None:
    assert not differs(knowledge, name)


def nothing(turn: Turn, command: Command) -> None:
    """A handler that does nothing."""


@pytest.mark.parametrize("name", WORK)
def test_a_handler_that_does_nothing_is_noticed(
    knowledge: Knowledge, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session, "FUNCTIONS", {**FUNCTIONS, name: nothing})
    assert differs(knowledge, name)


# Each has one other's handler, one that stands next to it or farther off in the list by turns; two names that share a
# handler are no such pair.
ANOTHERS = [
    (name, other)
    for at, name in enumerate(WORK)
    for other in [[*WORK][(at + (1, 7, 31)[at % 3]) % len(WORK)]]
    if FUNCTIONS[other] is not FUNCTIONS[name]
]


@pytest.mark.parametrize(("name", "other"), ANOTHERS)
def test_a_handler_that_does_the_work_of_another_is_noticed(
    knowledge: Knowledge, name: str, other: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session, "FUNCTIONS", {**FUNCTIONS, name: FUNCTIONS[other]})
    with suppress(KeyError, ValueError):  # it wants another argument: noticed as well
        assert differs(knowledge, name)


def test_every_help_line_is_read_out(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    heard = talk.say("help")
    for _ in range(len(knowledge.registry.functions)):
        heard += " " + talk.say("more")
        if "That was all." in heard:
            break
    for function in knowledge.registry.functions:
        assert function.help in heard


def test_help_names_first_what_makes_sense_now(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say(IDENTIFIED)
    talk.say("help")
    assert talk.say("more").startswith("What fits names what it mates with.")


def test_fluids_are_those_of_the_table(knowledge: Knowledge) -> None:
    assert set(FLUIDS) == set(knowledge.aftercare.ordering.fluids)


def test_two_functions_of_one_name_are_an_error() -> None:
    with pytest.raises(ValueError, match="two functions"):
        collected({"a": FUNCTIONS["yes"]}, {"a": FUNCTIONS["no"]})


ENTRY = '[[command]]\nid = "{id}"\ngroup = "g"\nphrases = {phrases}\nhelp = "{help}"\n'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (ENTRY.format(id="a", phrases='["Upper case"]', help="Help."), "lower-case"),
        (ENTRY.format(id="a", phrases='["a {thing}"]', help="Help."), "unknown slot"),
        (ENTRY.format(id="a", phrases="[]", help="Help."), "phrases"),
        (ENTRY.format(id="a", phrases='["a"]', help="Press 1."), "cannot be spoken"),
        (ENTRY.format(id="a", phrases='["a"]', help="Help.") * 2, "is taken by"),
        (ENTRY.format(id="a", phrases='["a"]', help="Help.") + 'when = ["never"]\n', "unknown situation"),
        ("[[command]\n", "TOML"),
    ],
)
def test_a_wrong_entry_is_named(text: str, says: str) -> None:
    with pytest.raises(BadGrammar, match=says):
        parse({FILE: text})
