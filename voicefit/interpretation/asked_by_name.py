"""What is asked by its bare name behind what was seen: "..., torque plus o ring plus hose", "..., turns and sealant";
and what was told is asked again: "what was I told about the torque".

How it works. The words at the end of a text that are names of what can be asked, two or more and nothing else, each
call its command (``asked_as`` of the command). Behind a pause any of them may begin; without one, no name that an end
may have as well, for "flat face o ring torque" says which ring. What is asked again has a name, a word of telling
or "again", and besides only words that carry nothing; what one told oneself is on record.

Duty: this cut. It must not know what a command does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from voicefit.interpretation.tokens import word_set
from voicefit.records import Command

Names = Mapping[tuple[str, ...], str]  # words -> command
_JOINTS = frozenset({"plus", "and", "also", "with", "then", "the", "its"})
_TELLS = word_set("told tell said say saying remind mention mentioned again repeat answered gave")
_BESIDE = word_set(
    "what what's whats which how was were is are did do you i we me us have had been it that this about on of for to a "
    "the its bit thing something once more please just earlier before first now and so can could would be one sorry "
    "ago minute moment while with answer figure value then ok okay needs takes time last"
)
_ONE_TOLD = re.compile(
    r"(?<!was )(?<!were )\b(i|we)(['’]ve| have| had| just)* (say|said|tell|told|mention|mentioned|gave)\b"
)
_FEWEST = 2
_WORD = re.compile(r"[a-z']+|\d+", re.IGNORECASE)  # a number is no name
_PAUSE = re.compile(r"[,;.!?]\s*$")


def behind(text: str, names: Names, of_ends: frozenset[str]) -> tuple[str, tuple[Command, ...]]:
    """The text before them, and what they call; the whole text and nothing where none end it.

    ``of_ends`` : commands whose names are those of what an end has, too.
    """
    words = list(_WORD.finditer(text))
    said = [word.group().casefold() for word in words]
    for start in range(1, len(words)):
        head = text[: words[start].start()]
        paused = bool(_PAUSE.search(head))
        found = _all(said[start:], names)
        if len(found) < _FEWEST or said[start] in _JOINTS or (not paused and found[0][1] in of_ends):
            continue
        calls = {name: Command(name, heard) for heard, name in reversed(found)}
        return head.rstrip(" ,;"), tuple(reversed(calls.values()))
    return text, ()


def again(text: str, names: Names) -> Command | None:
    """What a text asks to be told again, and nothing else."""
    said = [word.group().casefold() for word in _WORD.finditer(text)]
    if _TELLS.isdisjoint(said) or _ONE_TOLD.search(text.casefold()):
        return None
    for at in range(len(said)):
        end = next((at + n for n in (3, 2, 1) if tuple(said[at : at + n]) in names and at + n <= len(said)), 0)
        if end and (_TELLS | _BESIDE).issuperset(said[:at] + said[end:]):
            return Command(names[tuple(said[at:end])], text) if len(said) > end - at else None
    return None


def alone(text: str, names: Names) -> tuple[Command, ...]:
    """What a text calls that is such a name and nothing else: "mate"."""
    name = names.get(tuple(word.group().casefold() for word in _WORD.finditer(text)))
    return () if name is None else (Command(name, text),)


def _all(words: Sequence[str], names: Names) -> list[tuple[str, str]]:
    """Each name with its command, where the words are such names and nothing else; else none."""
    found: list[tuple[str, str]] = []
    at = 0
    while at < len(words):
        if words[at] in _JOINTS:
            at += 1
            continue
        longest = next((n for n in (3, 2, 1) if tuple(words[at : at + n]) in names and at + n <= len(words)), 0)
        if not longest:
            return []
        found.append((" ".join(words[at : at + longest]), names[tuple(words[at : at + longest])]))
        at += longest
    return found
