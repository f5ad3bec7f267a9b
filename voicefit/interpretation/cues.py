"""What a reading is by the words in it, where no phrase takes them: "you can feel it dip down in the middle".

How it works. ``grammar/cues.toml`` has, for each value of what can be seen or felt, lines of words that stand together
(``wordgroups``), word order free: ``clear`` ones say it by themselves, ``asked`` ones where it was asked for. Of the
lines that are found in the words,

- one whose words are a part of another's gives way to it: "ring" to "ring ... groove";
- what comes after a "not" is denied; before one, it is nothing, but where the "not" denies another value of the same;
- all must say one value of one thing: of what was asked, else of the thing that most words speak of.

Such a reading is a guess. It is asked about, but where it answers what was asked, nothing is denied, and hardly a word
is left that could say otherwise. Nothing is guessed where a word could turn the meaning (``blocks``), or a number is no
part of a line.

Duty: this guess. It must not decide whether to guess (:mod:`voicefit.interpretation.guessing`).
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass, field
from itertools import pairwise

from voicefit.interpretation.wordgroups import WordGroups, begins_as, is_number
from voicefit.records import Context, Measurand, Option, Reading

_LEFT = 1  # so many words beside one group that speaks may be unknown; one more for each further group

_LEFT_UNASKED = 3  # likewise for each group but one, where it was not asked for: beyond that, nothing is guessed


@dataclass(frozen=True, slots=True)
class Cue:
    """``values`` : what it may be, of ``measurand``. ``asked`` : only where that was asked for."""

    measurand: Measurand
    values: tuple[str, ...]
    line: WordGroups
    asked: bool


@dataclass(frozen=True, slots=True)
class CueWords:
    """The words that decide about guesses: they stop one, deny, or make it doubtful."""

    turns: frozenset[str] = frozenset()  # they stop a guess, and keep a part from being passed over
    blocks: frozenset[str] = frozenset()  # they stop a guess alone
    denies: frozenset[str] = frozenset()
    knows: frozenset[str] = frozenset()  # with a denial they say that one does not know
    doubts: frozenset[str] = frozenset()
    things: tuple[str, ...] = ()  # a part of a sentence that names one is not passed over
    doubted: float = 1.0  # how certain it is then
    bystanders: frozenset[str] = frozenset()  # things that want no number beside what was taken


@dataclass(frozen=True, slots=True)
class Cues:
    lines: tuple[Cue, ...] = ()
    words: CueWords = field(default_factory=CueWords)


@dataclass(frozen=True, slots=True)
class Guess:
    """A reading, and how many groups of words speak for it; the reading says whether it must be asked about."""

    reading: Reading
    groups: int
    answers: bool


@dataclass(frozen=True, slots=True)
class _Hit:
    cue: Cue
    places: frozenset[int]
    speaking: frozenset[int]  # all words of its groups
    denied: bool

    @property
    def says(self) -> tuple[Measurand, tuple[str, ...], bool]:
        return self.cue.measurand, self.cue.values, self.denied


def tells_nothing(words: Sequence[str], cues: Cues, *, numbers: Set[str]) -> bool:
    """Whether a part of a sentence may be passed over: nothing in it is of the trade, counts, denies or turns."""
    own = cues.words
    telling = own.turns | own.denies | own.doubts
    return not any(
        word in telling or begins_as(word, own.things) or is_number(words, at, numbers) for at, word in enumerate(words)
    )


def guess(
    heard: str, words: Sequence[str], cues: Cues, context: Context, *, numbers: Set[str], carries_nothing: Set[str]
) -> Guess | None:
    """What the words point at, or ``None``. ``numbers`` : the words of numbers; ``carries_nothing`` : words that may be
    passed over."""
    at = range(len(words))
    stops = cues.words.blocks | cues.words.turns
    nots = frozenset(place for place in at if words[place] in cues.words.denies)
    if nots and any(word in cues.words.knows for word in words):
        return None
    if ("will", "not") in pairwise(words):
        return None  # "it won't go in": that nobody gets it there
    counted = frozenset(place for place in at if is_number(words, place, numbers))
    hits = []
    for cue in cues.lines:
        if cue.asked and cue.measurand not in context.expected:
            continue
        found = cue.line.find(words)
        if found is None:
            continue
        outside = nots - found.places
        if len(outside) <= 1:
            hits.append(_Hit(cue, found.places, found.all_places, any(place < max(found.places) for place in outside)))
    found_first = hits
    hits = [hit for hit in hits if not any(_gives_way(hit, other, nots) for other in hits)]
    asked = [hit for hit in hits if hit.cue.measurand in context.expected]
    chosen = _of_one_thing(asked or hits)
    if chosen is None or not _all_denials_placed(chosen, nots, hits):
        return None
    if any(hit.says[:2] == chosen.says[:2] and hit.denied != chosen.denied for hit in found_first):
        return None  # "the washer is not copper" denies its kind
    groups = max(len(hit.cue.line.groups) for hit in hits if hit.says == chosen.says)
    speaks = frozenset().union(*(hit.speaking for hit in hits if hit.says == chosen.says))
    if not counted <= speaks or any(words[place] in stops for place in at if place not in speaks):
        return None
    doubtful = any(word in cues.words.doubts for word in words)
    passed = carries_nothing | cues.words.doubts | cues.words.denies
    left = [place for place in at if place not in speaks and words[place] not in passed]
    if not asked and len(left) > _LEFT_UNASKED * (groups - 1):
        return None  # it may be about anything
    rivals = any(hit.cue.measurand is chosen.cue.measurand and hit.says != chosen.says for hit in hits)
    sure = bool(asked) and not nots - speaks and not rivals and len(left) < _LEFT + groups
    options = tuple(Option(chosen.cue.measurand, value, negated=chosen.denied) for value in chosen.cue.values)
    if doubtful:
        options = tuple(option.doubted(cues.words.doubted) for option in options)
    return Guess(Reading(heard, options, guessed=not sure), groups, bool(asked))


def _gives_way(hit: _Hit, other: _Hit, nots: frozenset[int]) -> bool:
    """Whether another line has these words and more, or is denied by the "not" that is a word of this one: "nothing
    like a nose" is no nose, and tells nothing of "nothing"."""
    if hit.says != other.says and hit.places < other.speaking:
        return True
    same = hit.cue.measurand is other.cue.measurand
    return same and other.denied and bool(hit.places & nots) and hit.says != other.says


def _of_one_thing(hits: Sequence[_Hit]) -> _Hit | None:
    """The hit that stands for all: of the one thing that most words speak of, one value that is so, else one that is
    not so."""
    spoken: dict[Measurand, int] = {}
    for hit in hits:
        spoken[hit.cue.measurand] = max(spoken.get(hit.cue.measurand, 0), len(hit.places))
    most = [measurand for measurand, count in spoken.items() if count == max(spoken.values())]
    if len(most) != 1:
        return None
    of_it = [hit for hit in hits if hit.cue.measurand is most[0]]
    said = [hit for hit in of_it if not hit.denied] or of_it
    longest = max(len(hit.cue.line.groups) for hit in said)
    said = [hit for hit in said if longest == 1 or len(hit.cue.line.groups) > 1]  # a word alone says less
    narrow = min(said, key=lambda hit: len(hit.cue.values))
    said = [
        hit if set(narrow.cue.values) - set(hit.cue.values) else narrow for hit in said
    ]  # a male, or a male or a stud
    if len({hit.says for hit in said}) != 1:
        return None
    if any(hit.denied and hit.cue.values == said[0].cue.values for hit in of_it) and not said[0].denied:
        return None
    return said[0]


def _all_denials_placed(chosen: _Hit, nots: frozenset[int], hits: Sequence[_Hit]) -> bool:
    """Whether each "not" is a part of what was found, or denies it or another value of the same."""
    of_it = [hit for hit in hits if hit.cue.measurand is chosen.cue.measurand]
    placed = frozenset().union(*(hit.places for hit in of_it)) & nots
    return len(nots - placed) == 0 or (len(nots - placed) == 1 and any(hit.denied for hit in of_it))
