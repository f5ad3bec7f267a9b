"""Plays a scenario file: a whole session as data.

title, kind          what it shows; kind is one of KINDS
[settings]           the user's settings, where they are not the usual ones
[answers]            what the technician says to a check, by the check's id
[[turn]]             one event and what must follow; one of
  say                a sentence
  alternatives       [text, share] pairs, as a recogniser hears them
  event              "quiet 20", "refused noise", "trouble microphone", "back microphone", "note 4.2",
                     "chosen voice NAME"
  until              "identified": say the answers until it is, at most MOST_CHECKS times
and any of
  reply              exactly what is spoken
  says, never        words that are, and are not, in what is spoken
  written            kinds of what is appended, in their order; "nothing" for none. Read-backs are left out
  does               what the edge is asked for
  leads, identified, check, readings, job, piece, stopped, asleep, concluded
                     the state after the turn; readings as "outside_diameter 19/32 in"
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Settings
from voicefit.quantities import Quantity
from voicefit.records import Chosen, Event, NoteDone, Option, Quiet, Reason, Refused, Rejection, Trouble

FOLDER = Path(__file__).parent
KINDS = (
    "straight", "corrected", "doubted", "interrupted", "refused", "resumed", "taught", "by touch", "several ends",
    "abandoned", "undone", "explained", "settings", "safety", "used", "hose",
)  # fmt: skip
MOST_CHECKS = 14
REPLIES = ("reply", "says", "never")
STATES = ("leads", "identified", "check", "readings", "job", "piece", "stopped", "asleep", "concluded")
WRITTEN = ("written",)
EVENTS = ("say", "alternatives", "event", "until")
ASIDE = ("read_back", "told")


def files() -> list[Path]:
    return sorted(FOLDER.glob("*/*.toml"))


def load(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def play(knowledge: Knowledge, scenario: dict[str, Any]) -> Talk:
    """Play it; raises ``AssertionError`` with the place and the whole talk where something else follows."""
    talk = Talk(knowledge, Settings(**scenario.get("settings", {})))
    protocol: list[str] = []
    for number, turn in enumerate(scenario["turn"], 1):
        _perform(talk, turn, scenario.get("answers", {}), protocol)
        problems = list(_problems(talk, turn))
        assert not problems, "\n".join([f"turn {number}: {'; '.join(problems)}", *protocol])
    return talk


def _perform(talk: Talk, turn: dict[str, Any], answers: dict[str, str], protocol: list[str]) -> None:
    if "until" in turn:
        for _ in range(MOST_CHECKS):
            if talk.snapshot.advice.identified:
                return
            assert talk.check in answers, "\n".join([f"no answer for the check {talk.check!r}", *protocol])
            _say(talk, answers[str(talk.check)], protocol)
        return
    if "say" in turn:
        _say(talk, turn["say"], protocol)
    elif "alternatives" in turn:
        talk.hear(*((text, share) for text, share in turn["alternatives"]))
        protocol += [f"  heard: {turn['alternatives']}", f"  reply: {talk.reply}"]
    else:
        talk.handle(event_of(turn["event"]))
        protocol += [f"  event: {turn['event']}", f"  reply: {talk.reply}"]


def _say(talk: Talk, text: str, protocol: list[str]) -> None:
    talk.say(text)
    protocol += [f"  said:  {text}", f"  reply: {talk.reply}"]


def event_of(text: str) -> Event:
    kind, _, rest = text.partition(" ")
    if kind == "quiet":
        return Quiet(float(rest))
    if kind == "refused":
        return Refused(Rejection("", Reason(rest)))
    if kind in ("trouble", "back"):
        return Trouble(rest, back=kind == "back")
    if kind == "note":
        return NoteDone("a-note", float(rest))
    assert kind == "chosen", f"unknown event {text!r}"
    what, _, name = rest.partition(" ")
    return Chosen(what, name)


def _problems(talk: Talk, turn: dict[str, Any]) -> list[str]:
    unknown = set(turn) - {*EVENTS, *REPLIES, *STATES, *WRITTEN, "does"}
    assert not unknown, f"unknown keys {sorted(unknown)}"
    found = []
    snapshot, reply = talk.snapshot, talk.reply
    if "reply" in turn and reply != turn["reply"]:
        found.append(f"reply is {reply!r}, not {turn['reply']!r}")
    found += [f"{words!r} is not said in {reply!r}" for words in turn.get("says", ()) if words not in reply]
    found += [f"{words!r} is said in {reply!r}" for words in turn.get("never", ()) if words in reply]
    state = {
        "leads": talk.leader,
        "identified": snapshot.advice.identified,
        "check": talk.check,
        "readings": [reading_words(taken.option) for taken in snapshot.readings],
        "job": snapshot.job,
        "piece": snapshot.piece,
        "stopped": talk.stopped,
        "asleep": talk.session.asleep,
        "concluded": snapshot.concluded,
        "written": [kind for kind in talk.kinds if kind not in ASIDE],
        "does": talk.deeds,
    }
    for name, value in turn.items():
        if name in state:
            wanted = [] if name == "written" and value == "nothing" else value
            if state[name] != wanted:
                found.append(f"{name} is {state[name]!r}, not {wanted!r}")
    return found


def reading_words(option: Option) -> str:
    value = option.value
    words = f"{value.value} {value.unit.value}" if isinstance(value, Quantity) else str(value)
    return f"{option.measurand.value} {'not ' if option.negated else ''}{words}"
