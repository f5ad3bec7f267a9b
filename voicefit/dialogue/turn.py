"""One turn: what one event does to the session, gathered until it is complete.

Duty: to be the only hand that changes record, focus and settings, and to put the effects in their order: entries
before the words that confirm them. It must not decide what to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from voicefit.dialogue.deeds import Deed
from voicefit.dialogue.record import NEW_PIECES, VOID, applied
from voicefit.dialogue.spoken import SPEAKABLE, aloud
from voicefit.dialogue.state import Last, Listing, State
from voicefit.records import Append, Do, Effect, Rejection, Say, Stop, Tone

if TYPE_CHECKING:
    from voicefit.dialogue.belief import Belief
    from voicefit.dialogue.functions import Does
    from voicefit.dialogue.knowledge import Knowledge
    from voicefit.dialogue.record import Job, Piece


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
        self.new_readings: list[int] = []  # numbers of the readings taken in this turn
        self.report = False  # the identification is to be reported when the items are done
        self.asked = False  # the open question was put into words in this turn
        self.keep_reply = False  # "repeat" goes on to repeat what was said before this turn
        self._voiding = voiding  # the first entry is to void a turn that was not written as a whole
        self._entries: list[Append] = []
        self._others: list[Do | Tone] = []
        self._sentences: list[str] = []
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
        return self.knowledge.believe(self.piece)

    @property
    def concluded(self) -> str | None:
        """Id of the end that the piece in hand was said to be."""
        return self.record.concluded.get(self.piece.number)

    def prompt(self) -> str:
        """The open check in words, or nothing."""
        check = self.belief.advice.check
        return "" if check is None else self.knowledge.prompt(check)

    # ---- what it does ----------------------------------------------------------------------------------

    def log(self, kind: str, **data: Any) -> None:
        """Put an entry on record; it becomes durable before anything of this turn is spoken."""
        if self._voiding:
            self._voiding = False
            self._append(VOID, {})
        self._append(kind, data)

    def _append(self, kind: str, data: Mapping[str, Any]) -> None:
        if kind in NEW_PIECES:
            data = {"number": self.record.pieces_made + 1, **data}
        entry = Append(kind, {"job": self.job.number, **data, "turn": self.number})
        self.record = applied(self.record, entry)
        self._entries.append(entry)

    def look(self, **changes: Any) -> None:
        """Change the focus."""
        self.focus = replace(self.focus, **changes)

    def leave(self, **changes: Any) -> None:
        """Leave whatever question, lesson, list, spelling or correction is open; change the focus otherwise."""
        self.look(question=None, lesson=None, listing=None, spelling=None, correcting=False, **changes)

    def say(self, reply: str, /, **slots: str) -> None:
        """Add a reply of ``grammar/replies.toml`` to what is said; a slot that is written, not words, is spelled."""
        slots = {name: text if SPEAKABLE.fullmatch(text) else aloud(text) for name, text in slots.items()}
        self.speak(self.knowledge.wording.reply(reply, slots, short=self.settings.short))

    def speak(self, text: str) -> None:
        """Add words that are already a sentence."""
        text = text.strip()
        if text and text not in self._sentences[-1:]:  # nothing is said twice in a row
            self._sentences.append(text)

    def say_list(self, items: tuple[str, ...], reply: str, slot: str, **slots: str) -> None:
        """Say the first items of a list in a reply; "more" reads on."""
        listing = Listing(items, (0,))
        self.say(reply, **{slot: "; ".join(listing.breath(0))}, **slots)
        self.look(listing=None if listing.done else listing)
        self._more = not listing.done

    def caution(self, name: str, *, again: bool = False) -> None:
        """Say a caution unless this job has had it; ``again`` : it was asked for, or matters each time."""
        if not again and (self.job.number, name) in self.record.told:
            return
        text = self.knowledge.wording.cautions[name]
        self.log("told", caution=name)
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

    @property
    def said(self) -> bool:
        return bool(self._sentences)

    @property
    def ends(self) -> bool:
        """Whether the session ends with this turn."""
        return self._stop

    @property
    def acted(self) -> bool:
        """Whether the edge is asked for anything, so that the event has an answer without words."""
        return bool(self._others)

    @property
    def reply(self) -> str:
        return " ".join(self._sentences)

    def close(self) -> None:
        """Say last what the person may do next about a list that goes on."""
        if self._more and self.focus.listing is not None:
            self.say("help-more")

    def outcome(self) -> tuple[State, tuple[Effect, ...]]:
        """The state after the turn and its effects: entries, deeds and tones, then the words, then the end."""
        self.close()
        reply = self.reply
        effects: list[Effect] = [*self._entries, *self._others]
        if reply:
            effects.append(Say(reply))
        if self._stop:
            effects.append(Stop())
        spoken = self.before.last.spoken if self.keep_reply or not reply else reply
        last = Last(self.heard, tuple(self.rejected), tuple(self.cautions), reply, spoken)
        return State(self.record, self.focus, self.settings, last), tuple(effects)
