"""One turn: what one event does to the session, gathered until it is complete.

What is said falls into three: sentences in their order; asides, which are left out where the reply has grown past one
breath; and the question, which comes last whatever was said after it.

Duty: to be the only hand that changes record, focus and settings, and to put the effects in their order: entries
before the words that confirm them. It must not decide what to say.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Unpack

from voicefit.dialogue import entries
from voicefit.dialogue.record import applied
from voicefit.dialogue.spoken import SPEAKABLE, aloud, said_on
from voicefit.dialogue.state import (
    TRANSITIONS,
    Changes,
    Checking,
    Deed,
    Last,
    Listing,
    Mode,
    State,
)
from voicefit.records import Append, Check, Do, Effect, Rejection, Say, Stop, Tone

if TYPE_CHECKING:
    from voicefit.dialogue.functions import Does
    from voicefit.dialogue.knowledge import Knowledge
    from voicefit.dialogue.record import Job, Piece
    from voicefit.dialogue.snapshot import Belief


LONGEST_WORDS = 25  # of a reply that asides, and a second check, are still part of
LONGEST_WITH_NAME = 30  # and of one that still names what is likely beside the first caution


class Turn:
    """A turn in the making. Functions read ``record``, ``focus``, ``settings`` and call the methods below."""

    def __init__(
        self, knowledge: Knowledge, state: State, functions: Mapping[str, Does], *, voiding: bool = False
    ) -> None:
        self.knowledge = knowledge
        self.functions = functions
        self.before = state
        self.record = state.record
        self.focus = state.focus
        self.settings = state.settings
        self.number = state.record.turn + 1
        self.heard = ""
        self.rejected: list[Rejection] = []
        self.cautions: list[str] = []
        self.did: list[str] = []  # ids of the functions that were called
        self.answered: frozenset[str] = frozenset()  # checks that readings of this turn answer
        self.new_readings: list[int] = []  # numbers of the readings taken in this turn
        self.report = False  # the identification is to be reported when the items are done
        self.among_others = False  # what is done was said beside other things
        self.unanswered = False  # what was said was meant as an answer to the check, and is none
        self.asked = False  # the open question was put into words in this turn
        self.alarmed = False  # somebody may be hurt: nothing is asked
        self.keep_reply = False  # "repeat" goes on to repeat what was said before this turn
        self._voiding = voiding  # the first entry is to void a turn that was not written as a whole
        self._entries: list[Append] = []
        self._others: list[Do | Tone] = []
        self._sentences: list[str] = []
        self._asides: dict[str, int] = {}  # of the sentences, those that a reply of more words leaves out
        self._names: set[str] = set()  # of those, the ones that name what leads: left out, it is named next time
        self._question = ""  # said last
        self._more = False  # a list goes on: said last
        self._stop = False

    # ---- what is now -----------------------------------------------------------------------------------

    @property
    def now(self) -> State:
        """The state so far."""
        return State(self.record, self.focus, self.settings, self.before.last)

    @property
    def job(self) -> Job:
        return self.record.work.job

    @property
    def piece(self) -> Piece:
        return self.record.work.piece

    @property
    def belief(self) -> Belief:
        return self.knowledge.believe(*self.now.in_hand)

    @property
    def concluded(self) -> str | None:
        """Id of the end that the checks were said to conclude."""
        return self.record.concluded.get(self.piece.number)

    def prompt(self) -> str:
        """The open check in words, or nothing."""
        check = self.focus.check or self.belief.advice.check
        return "" if check is None else self.knowledge.prompt(check)

    def times_asked(self, check: Check) -> int:
        """How often a check was asked about the piece in hand."""
        return self.focus.asked.count(self._key(check))

    def note_asked(self, checks: Sequence[Check]) -> None:
        """They were asked, or not answered, once more."""
        self.look(asked=(*self.focus.asked, *map(self._key, checks)))

    def _key(self, check: Check) -> tuple[int, str, str]:
        return self.piece.number, check.id, str(sorted(check.slots.items(), key=str))

    # ---- what it does ----------------------------------------------------------------------------------

    def log(self, entry: entries.Entry) -> None:
        """Put an entry on record; it becomes durable before anything of this turn is spoken."""
        if self._voiding:
            self._voiding = False
            self._append(entries.Void())
        self._append(entry)

    def _append(self, entry: entries.Entry) -> None:
        changes: dict[str, Any] = {"turn": self.number}
        if entry.job is None:
            changes["job"] = self.job.number
        if isinstance(entry, entries.Opening) and not entry.number:
            changes["number"] = self.record.pieces_made + 1
        append = entries.appended(entry.model_copy(update=changes))
        self.record = applied(self.record, append)
        self._entries.append(append)

    def look(self, **changes: Unpack[Changes]) -> None:
        """Change the focus, its mode aside."""
        self.focus = replace(self.focus, **changes)

    def turn_to(self, mode: Mode) -> None:
        """Change the mode. Raises ``ValueError`` for a transition that :data:`state.TRANSITIONS` does not have."""
        before = type(self.focus.mode)
        if type(mode) not in TRANSITIONS[before]:
            raise ValueError(f"no way from {before.__name__} to {type(mode).__name__}")
        self.focus = replace(self.focus, mode=mode)

    def settle(self) -> None:
        """Leave the open question; what it was asked over goes on."""
        self.focus = replace(self.focus, mode=self.focus.begun)

    def leave(self, **changes: Unpack[Changes]) -> None:
        """Leave whatever is open, question, lesson, list, spelling or correction; change the focus otherwise."""
        self.focus = replace(self.focus, mode=Checking(), listing=None)
        self.look(**changes)

    def say(self, reply: str, /, **slots: str) -> None:
        """Add a reply of ``grammar/replies.toml`` to what is said; a slot that is written, not words, is spelled."""
        slots = {name: text if SPEAKABLE.fullmatch(text) else aloud(text) for name, text in slots.items()}
        self.speak(self.knowledge.wording.reply(reply, slots, short=self.settings.short))

    def speak(self, text: str) -> None:
        """Add words that are already a sentence."""
        text = text.strip()
        if text and text not in self._sentences:  # nothing is said twice
            self._sentences.append(text)

    def has_said(self, reply: str, /, **slots: str) -> bool:
        """Whether a reply is said in this turn already."""
        return self.knowledge.wording.reply(reply, slots, short=self.settings.short).strip() in self._sentences

    def add(self, reply: str, /, **slots: str) -> None:
        """Add a reply that is left out where there is more than a breath to say."""
        before = len(self._sentences)
        self.say(reply, **slots)
        self._asides |= dict.fromkeys(self._sentences[before:], LONGEST_WORDS)

    def name(self, reply: str, /, longest: int = LONGEST_WORDS, **slots: str) -> None:
        """Add a reply that names what leads: an aside that is said with the next reply where this one, being of more
        words than ``longest``, leaves it out."""
        before = len(self._sentences)
        self.say(reply, **slots)
        self._asides |= dict.fromkeys(self._sentences[before:], longest)
        self._names |= set(self._sentences[before:])

    def ask(self, reply: str, /, **slots: str) -> None:
        """The question, said last; a later one takes its place."""
        before = len(self._sentences)
        self.say(reply, **slots)
        if len(self._sentences) > before:
            self._question = self._sentences.pop()

    def say_list(self, items: tuple[str, ...], reply: str, slot: str, **slots: str) -> None:
        """Say the first items of a list in a reply, as many as fit into a breath; "more" reads on."""
        said = [*self._sentences, self._question, *slots.values()]
        breath = Listing(items, (0,)).breath(0, sum(len(each.split()) for each in said))
        listing = Listing(items, (0,), len(breath))
        self.say(reply, **{slot: "; ".join(breath)}, **slots)
        self.look(listing=None if listing.done else listing)
        self._more = not listing.done

    def has_told(self, name: str) -> bool:
        """Whether this job has had it."""
        return (self.job.number, name) in self.record.told

    def caution(self, name: str, *, again: bool = False) -> None:
        """Say a caution unless this job has had it; ``again`` : it was asked for, or matters each time."""
        if not again and self.has_told(name):
            return
        text = self.knowledge.wording.cautions[name]
        self.log(entries.Told(caution=name))
        self.cautions.append(text)
        self.speak(text)

    def do(self, deed: Deed, argument: str = "") -> None:
        self._others.append(Do(deed.value, argument))

    def tone(self, name: str) -> None:
        self._others.append(Tone(name))

    def silent(self, why: str) -> None:
        """Say nothing, by name."""
        self.do(Deed.SILENT, why)

    def set(self, name: str, value: Any) -> None:
        """Change a setting, and have it kept."""
        self.settings = self.settings.changed(name, value)
        self.do(Deed.SET, f"{name}={value}")

    def stop(self) -> None:
        self._stop = True

    # ---- the outcome -----------------------------------------------------------------------------------

    def unask(self) -> None:
        """Take back the question of this turn."""
        self._question = ""

    @property
    def said(self) -> bool:
        return bool(self._sentences or self._question)

    @property
    def says_nothing_new(self) -> bool:
        """Whether all of it was said in the last reply."""
        return all(sentence in self.before.last.reply for sentence in self._sentences)

    @property
    def asks(self) -> bool:
        """Whether the reply ends in a question."""
        return bool(self._question)

    @property
    def ends(self) -> bool:
        """Whether the session ends with this turn."""
        return self._stop

    @property
    def acted(self) -> bool:
        """Whether the edge is asked for anything, so that the event has an answer without words."""
        return bool(self._others)

    def has_room_for(self, text: str) -> bool:
        """Whether a question still goes into one breath with what must be said."""
        must = [each for each in self._sentences if self._asides.get(each) != LONGEST_WORDS]
        return sum(len(each.split()) for each in [*must, text]) <= LONGEST_WORDS

    @property
    def reply(self) -> str:
        return said_on(self._in_a_breath())

    def _in_a_breath(self) -> list[str]:
        """What is said, without as many asides as make it too long; the last go first."""
        sentences = list(self._sentences)
        if self._more and self.focus.listing is not None:
            sentences.append(self.knowledge.wording.reply("help-more", {}))
        if self._question:
            sentences.append(self._question)
        while words := sum(len(each.split()) for each in sentences):
            aside = next((each for each in reversed(sentences) if self._asides.get(each, words) < words), None)
            if aside is None:
                break
            sentences.remove(aside)
        return sentences

    def outcome(self) -> tuple[State, tuple[Effect, ...]]:
        """The state after the turn and its effects: entries, deeds and tones, then the words, then the end."""
        said = self._in_a_breath()
        reply = said_on(said)
        if not self._names <= set(said):
            self.look(lead=None)
        effects: list[Effect] = [*self._entries, *self._others]
        if reply:
            effects.append(Say(reply))
        if self._stop:
            effects.append(Stop())
        spoken = self.before.last.spoken if self.keep_reply or not reply else reply
        last = Last(self.heard, tuple(self.rejected), tuple(self.cautions), tuple(self.did), reply, spoken)
        return State(self.record, self.focus, self.settings, last), tuple(effects)
