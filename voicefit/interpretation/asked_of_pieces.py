"""What is asked by its bare name, of pieces of the job: "seal on end one and torque on end two", "torque both, hose".

How it works. The text is nothing but names of what can be asked (``asked_as`` of the commands), names of pieces, and
small words: then it asks, and none of it is a reading. A piece named first is asked all that follows; one named behind
is asked what stands before it. A ring is also what an end has: by itself it is asked for only where a question mark, a
"what", or the name of a figure stands with it.

Duty: this cut. It must not know what a command does, nor what pieces there are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from voicefit.interpretation.asked_by_name import Names
from voicefit.interpretation.pieces import BOTH, NUMBERS, OTHER, PIECE
from voicefit.interpretation.tokens import word_set
from voicefit.records import Command

_WORD = re.compile(r"[a-z0-9]+", re.IGNORECASE)
_SHORT = (("what's", "what is"), ("what've", "what have"), ("whats", "what is"), ("o-ring", "o ring"))
_LEADS = word_set(
    "what which is are the and also so then now plus please give me tell its a ok okay need want about how"
)
_ASKS = word_set("what which about")
_AT = word_set("on for of at in to from")
_PIECES = word_set("end piece side fitting number connector")
_ORDERED = word_set("first second third fourth fifth sixth")
_OTHERS, _BOTHS = word_set("other far opposite"), word_set("both each")
_KINDS = word_set("swivel nut female male stud port flange banjo bolts")
_OF_A_KIND = word_set("end one bolts bolt side fitting nut")
_SIZE, _FOR = "size", "for"  # "seal size", "turns for end one": no end is said to have those
_TURNS, _SEALANT, _READ, _WHERE = "turns", "sealant", "what-do-you-have", "where-are-we"
_BACK = {("back",): _READ, ("it", "back"): _READ, ("them", "back"): _READ}  # behind "both", and not by itself
_LONGEST = 5  # words of a name


@dataclass(frozen=True, slots=True)
class _Place:
    heard: str
    argument: str


@dataclass(frozen=True, slots=True)
class _Topic:
    heard: str
    command: str


def asked(text: str, names: Names, of_ends: frozenset[str]) -> tuple[Command, ...]:
    """What a text asks that asks and does nothing else, each behind a command that names its piece; nothing where it
    says anything else. ``of_ends`` : commands whose names are those of what an end has, too."""
    plain = text.casefold()
    for short, full in _SHORT:
        plain = plain.replace(short, full)
    words = _WORD.findall(plain)
    if ("back", "to") in pairwise(words):
        return ()  # a way to go
    found = _parts(words, {**names, **_BACK}) if words else None
    if not found:
        return ()
    topics = [part for part in found if isinstance(part, _Topic)]
    places = [part for part in found if isinstance(part, _Place)]
    if not topics and len(places) == 1 and words[:2] == ["what", "about"]:
        return Command(PIECE, places[0].heard, argument=places[0].argument), Command(_WHERE, text)
    if not topics or len(topics) + len(places) < 2:  # by itself it is a phrase of its own
        return ()
    if any((topic.heard,) in _BACK for topic in topics) and not places:
        return ()
    asks = text.rstrip().endswith("?") or not _ASKS.isdisjoint(words)
    said = {topic.heard for topic in topics}
    asks = asks or any(topic.command not in of_ends and topic.heard != _TURNS for topic in topics)
    asks = asks or any(_SIZE in topic.heard.split() for topic in topics) or (bool(places) and _FOR in words)
    if not asks and not {_TURNS, _SEALANT} <= said:
        return ()
    return _commands(found)


def _commands(found: Sequence[_Place | _Topic]) -> tuple[Command, ...]:
    """The questions behind the piece that they are of, those of one piece together, so that it is named with all."""
    of: dict[_Place | None, list[_Topic]] = {}
    places = {part.argument: part for part in reversed(found) if isinstance(part, _Place)}
    waiting: list[_Topic] = []
    place: _Place | None = None
    for part in found:
        if isinstance(part, _Topic):
            waiting.append(part)
            continue
        here = places[part.argument]
        of.setdefault(place if isinstance(found[0], _Place) else here, []).extend(waiting)
        place, waiting = here, []
    of.setdefault(place, []).extend(waiting)
    items: list[Command] = []
    for named, topics in of.items():
        if topics:
            items += [] if named is None else [Command(PIECE, named.heard, argument=named.argument)]
            items += [Command(topic.command, topic.heard) for topic in topics]
    return tuple(items)


def _parts(words: Sequence[str], names: Names) -> list[_Place | _Topic] | None:
    """The names in their order; ``None`` where a word belongs to none of them."""
    found: list[_Place | _Topic] = []
    at = 0
    while at < len(words):
        place, end = _place(words, at, behind=at > 0 and words[at - 1] in _AT)
        longest = min(_LONGEST, len(words) - at)
        topic = next((n for n in range(longest, 0, -1) if tuple(words[at : at + n]) in names), 0)
        if place is not None and not topic:
            found.append(place)
            at = end
        elif topic:
            heard = words[at : at + topic]
            found.append(_Topic(" ".join(heard), names[tuple(heard)]))
            at += topic
            if "all" in heard or "everything" in heard:
                found.append(_Place("both", BOTH))
        elif words[at] in _LEADS or words[at] in _AT:
            at += 1
        else:
            return None
    return found


def _place(words: Sequence[str], at: int, *, behind: bool) -> tuple[_Place | None, int]:
    """The name of a piece that begins there, and where it ends. ``behind`` : an "on" or "for" leads to it."""
    start = at
    if words[at] == "the" and at + 1 < len(words):
        at += 1
    word, after = words[at], words[at + 1] if at + 1 < len(words) else ""
    argument, end = "", at + 1
    if word in _PIECES and after in NUMBERS:
        argument, end = NUMBERS[after], at + 2
    elif word in _ORDERED:
        argument, end = NUMBERS[word], at + 1 + (after in _PIECES or after == "one")
    elif word in NUMBERS and (behind or (at != start and words[start - 1 : start] and words[start - 1] in _AT)):
        argument = NUMBERS[word]
    elif word in _OTHERS and (after in _PIECES or after == "one"):
        argument, end = OTHER, at + 2
    elif word in _BOTHS:
        argument = BOTH
        end += after in {"ends", "sides", "pieces"} or (after == "of" and 2 * (words[at + 2 : at + 3] == ["them"]))
    elif word in _KINDS and (behind or (start and words[start - 1] in _AT)):
        argument, end = word, at + 1 + (after in _OF_A_KIND)
    if not argument or (argument not in _KINDS and end < len(words) and words[end] in _PIECES - {"number"}):
        return None, start
    return _Place(" ".join(words[at:end]), argument), end
