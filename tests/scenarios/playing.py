"""Plays a scenario file: a whole session as data.

title, kind: what it shows; ``kind`` is one of KINDS.
[settings]: the user's settings, where they are not the usual ones.
end: the end that the technician holds, one of ``ends.toml``, which has what is said to each check.
[answers]: by id of a check, what is said to it instead.
[[turn]]: one event and what must follow. The event is one of

* ``say``: a sentence
* ``alternatives``: [text, share] pairs, as a recogniser hears them
* ``event``: "quiet 20", "refused noise", "trouble microphone", "back microphone", "note 4.2", "chosen voice NAME"
* ``until``: "identified": answer what is asked until it is, MOST_CHECKS times at most; "asked": until the check named
  by ``check`` is asked

and what follows is any of

* ``reply``: exactly what is spoken; ``says``, ``never``: words that are, and are not, in it
* ``written``: kinds of what is appended, in their order, read-backs and cautions left out; "nothing" for none
* ``does``: what the edge is asked for
* ``leads``, ``identified``, ``check``, ``readings``, ``job``, ``piece``, ``stopped``, ``asleep``, ``concluded``: the
  state after the turn; readings as "outside_diameter 19/32 in"
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge, Settings
from voicefit.quantities import Quantity
from voicefit.records import Chosen, Event, NoteDone, Option, Quiet, Reason, Refused, Rejection, Trouble

FOLDER = Path(__file__).parent
KINDS = (
    "straight", "corrected", "doubted", "interrupted", "refused", "resumed", "taught", "by touch", "several ends",
    "abandoned", "undone", "decided", "manners", "explained", "settings", "safety", "used", "hose",
)  # fmt: skip
MOST_CHECKS = 16
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
        _perform(talk, turn, scenario, protocol)
        problems = list(_problems(talk, turn))
        assert not problems, "\n".join([f"turn {number}: {'; '.join(problems)}", *protocol])
    return talk


def _perform(talk: Talk, turn: dict[str, Any], scenario: dict[str, Any], protocol: list[str]) -> None:
    if "until" in turn:
        for _ in range(MOST_CHECKS):
            if talk.snapshot.advice.identified if turn["until"] == "identified" else talk.check == turn["check"]:
                return
            assert talk.check is not None, "\n".join(["no check is asked", *protocol])
            _say(talk, _answer(talk, scenario), protocol)
        return
    if "say" in turn:
        _say(talk, turn["say"], protocol)
    elif "alternatives" in turn:
        talk.hear(*((text, share) for text, share in turn["alternatives"]))
        protocol += [f"  heard: {turn['alternatives']}", f"  reply: {talk.reply}"]
    else:
        talk.handle(event_of(turn["event"]))
        protocol += [f"  event: {turn['event']}", f"  reply: {talk.reply}"]


def _answer(talk: Talk, scenario: dict[str, Any]) -> str:
    """What the technician says to the check that was prompted."""
    check = talk.session.state.focus.check
    assert check is not None
    end = ends()[scenario["end"]]
    said = {**end["say"], **scenario.get("answers", {})}
    if check.yes is not None and check.slots and check.measurand.value in end["truth"]:
        value = check.yes.value
        assert isinstance(value, Quantity)
        fits = f"{value.value} {value.unit.value}" == end["truth"][check.measurand.value]
        return "yes" if fits != check.yes.negated else "no"
    return str(said.get(check.id, "can't tell"))


@lru_cache(maxsize=1)
def ends() -> dict[str, Any]:
    return load(FOLDER / "ends.toml")


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
