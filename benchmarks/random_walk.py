"""One random walk through sessions, with what must always be true checked after each event.

Duty: draw events, hold the invariants, count what was reached. How long it walks is :mod:`benchmarks.dialogue`'s.
"""

from __future__ import annotations

import json
import math
import random
import re
from collections import Counter
from dataclasses import dataclass, field

from benchmarks.said_at_random import NONSENSE, PAIRS, READINGS, TROUBLES
from voicefit.dialogue import Knowledge, Session
from voicefit.dialogue.asking import offered
from voicefit.dialogue.entries import KINDS, OfTheWork
from voicefit.dialogue.record import OnRecord
from voicefit.dialogue.state import MOST_ITEMS, Choosing
from voicefit.dialogue.turn import Turn
from voicefit.interpretation.spelling import say_number
from voicefit.quantities import Quantity
from voicefit.recognition.shares import weigh
from voicefit.records import (
    Alternative,
    Append,
    Chosen,
    Do,
    Effect,
    Event,
    Heard,
    NoteDone,
    Option,
    Quiet,
    Reading,
    Reason,
    Refused,
    Rejection,
    Say,
    Stop,
    Trouble,
)

PROMPT_WORDS = 12
SESSION_STEPS = 60  # a session is left for a new one after about so many events


class Broken(AssertionError):
    """An invariant does not hold."""


@dataclass(slots=True)
class Walk:
    """One walk. ``journal`` is what a store would hold of the session in hand."""

    knowledge: Knowledge
    rng: random.Random
    session: Session = field(init=False)
    journal: list[Append] = field(init=False)
    seen: Counter[str] = field(default_factory=Counter)
    said_values: set[str] = field(init=False)

    def __post_init__(self) -> None:
        self._open()

    def _open(self) -> None:
        self.session, self.journal = Session(self.knowledge), []
        self.said_values = set()

    def step(self) -> None:
        """One random event, and all that must be true after it."""
        if self.rng.random() < 1 / SESSION_STEPS:
            self._open()
        event = self._event()
        state = self.session.state
        effects = self.session.handle(event)
        self._answered(event, effects)
        self._ordered(effects)
        self._only_what_was_said(event)
        self._conclusion_is_safe(effects)
        self._alternatives_differ()
        self._heard_back(effects)
        self._one_breath(effects)
        entries = [effect for effect in effects if isinstance(effect, Append)]
        if entries and self.rng.random() < 0.03:
            self._write_fails(entries, state.record)
            return  # the turn is as if it had not been said: there is nothing of it to undo
        self.journal += entries
        if self.rng.random() < 0.3:
            self._undo_is_exact(entries, state.record)
        if self.rng.random() < 0.05:
            self._replays()
        if any(isinstance(effect, Stop) for effect in effects):
            self._replays()
            self._open()

    # ---- events ----------------------------------------------------------------------------------------

    def _event(self) -> Event:
        kind = self.rng.random()
        if kind < 0.45:
            return self._heard((self.rng.choice(READINGS), 1.0))
        if kind < 0.75:
            return self._heard((self._phrase(), 1.0))
        if kind < 0.83:
            first, second = self.rng.choice(PAIRS)
            share = self.rng.uniform(0.5, 0.99)
            return self._heard((first, share), (second, 1 - share))
        if kind < 0.87:
            return self._heard((self.rng.choice(NONSENSE), 1.0))
        if kind < 0.91:
            return Refused(Rejection("", self.rng.choice(list(Reason))))
        if kind < 0.94:
            return Quiet(self.rng.uniform(5, 200))
        if kind < 0.97:
            return Trouble(self.rng.choice(TROUBLES), back=self.rng.random() < 0.5)
        if kind < 0.985:
            return NoteDone(f"note-{self.rng.randrange(1000)}", self.rng.uniform(0.5, 60))
        name = self.rng.choice(("", "second one", "USB 2.0 (hw:1,0)"))
        return Chosen(self.rng.choice(("voice", "microphone", "speaker")), name)

    def _phrase(self) -> str:
        function = self.rng.choice(self.knowledge.registry.functions)
        if function.id == "stop" and self.rng.random() < 0.8:
            return "repeat"
        phrase = self.rng.choice(function.phrases)
        return phrase.format(
            series=self.rng.choice(("jic", "british taper", "face seal", "code sixty one")),
            number=self.rng.choice(("one", "two", "three")),
            reading=self.rng.choice(READINGS[:12]),
            term=self.rng.choice(tuple(self.knowledge.glossary.means)).replace("-", " "),
            measured=self.rng.choice(("pitch", "diameter", "tube", "seat")),
            name=self.rng.choice(("alpha bravo one two", "loader seven", "zulu twenty one")),
        )

    def _heard(self, *texts: tuple[str, float]) -> Heard:
        heard = [Alternative(text, math.log(share)) for text, share in texts]
        return Heard(weigh(heard, self.knowledge.language, self.session.context()).likeliest_meanings())

    # ---- invariants ------------------------------------------------------------------------------------

    def _answered(self, event: Event, effects: tuple[Effect, ...]) -> None:
        """Every event gets an answer or a named silence."""
        self.seen[type(event).__name__] += 1
        if not any(isinstance(effect, Say | Do) for effect in effects):
            raise Broken(f"{event} has no answer: {effects}")
        for effect in effects:
            if isinstance(effect, Say):
                self.seen["said"] += 1
                if not effect.text or any(sign.isdigit() or sign in "{}<>_/°" for sign in effect.text):
                    raise Broken(f"cannot be spoken: {effect.text!r}")

    def _ordered(self, effects: tuple[Effect, ...]) -> None:
        """All entries come before the words; the end comes last."""
        ranks = [
            0 if isinstance(e, Append) else 2 if isinstance(e, Say) else 3 if isinstance(e, Stop) else 1
            for e in effects
        ]
        if ranks != sorted(ranks):
            raise Broken(f"out of order: {effects}")

    def _only_what_was_said(self, event: Event) -> None:
        """No reading is on record that was not said in this session: its words, or the yes or no to a check."""
        if isinstance(event, Heard):
            for meaning in event.meanings:
                for item in meaning.items:
                    readings = (item,) if isinstance(item, Reading) else getattr(item, "readings", ())
                    self.said_values |= {reading.heard for reading in readings}
                    self.said_values.add(getattr(item, "heard", ""))
        for job in self.session.record.work.jobs:
            for piece in job.pieces:
                for kept in piece.readings:
                    if kept.reading.heard not in self.said_values:
                        raise Broken(f"never said: {kept.reading.heard!r}")

    def _conclusion_is_safe(self, effects: tuple[Effect, ...]) -> None:
        """A conclusion is spoken only when the advice says so and every reading was read back as it is taken."""
        if not any(
            isinstance(effect, Append) and effect.kind == "concluded" and effect.data["end"] for effect in effects
        ):
            return
        self.seen["concluded"] += 1
        snapshot = self.session.snapshot()
        if not snapshot.advice.identified:
            raise Broken("concluded without being identified")
        for kept, taken in zip(self.session.record.work.piece.readings, snapshot.readings, strict=True):
            option = self.session.record.read_back.get(kept.number)
            if option is None or kept.reading.options[option] != taken.option:
                raise Broken(f"concluded, and not read back as taken: {kept.reading.heard!r}")

    def _heard_back(self, effects: tuple[Effect, ...]) -> None:
        """No value passes unheard: each reading that goes on record is read back in the same reply, in the words of the
        value that it is taken as; and what is read back is in the words that are spoken."""
        entries = [effect for effect in effects if isinstance(effect, Append)]
        spoken = " ".join(effect.text for effect in effects if isinstance(effect, Say)).casefold()
        back = {entry.data["number"]: entry.data["option"] for entry in entries if entry.kind == "read_back"}
        for entry in entries:
            if entry.kind == "reading" and entry.data["number"] not in back and self._is_current(entry.data["number"]):
                raise Broken(f"taken, and not read back: {entry.data['reading']['heard']!r}")
        for kept in self.session.record.work.piece.readings:
            if kept.number not in back:
                continue
            option = kept.reading.options[back[kept.number]]
            self.seen["heard back"] += 1
            if not self._is_said(option, spoken):
                raise Broken(f"read back on record, and not in what is said: {option} in {spoken!r}")

    def _is_current(self, number: int) -> bool:
        """Whether the reading is still on the piece in hand after the turn."""
        return any(kept.number == number for kept in self.session.record.work.piece.readings)

    def _is_said(self, option: Option, spoken: str) -> bool:
        """Whether a reading is in the words, alone or as a part of a designation: "M eighteen by one and a half"."""
        wording = self.knowledge.wording
        if any(
            say(option, careful=c).casefold() in spoken
            for say in (wording.reading, wording.amount)
            for c in (False, True)
        ):
            return True  # the amount alone, where nobody said on which side it was measured
        part = say_number(option.value.value) if isinstance(option.value, Quantity) else wording.letters(option)
        return part.casefold() in spoken or wording.value(option).casefold() in spoken

    def _one_breath(self, effects: tuple[Effect, ...]) -> None:
        """A list has three items at most, a sentence no more words than a breath holds, a prompt twelve."""
        for effect in effects:
            if not isinstance(effect, Say):
                continue
            for sentence in re.split(r"(?<=[.?!]) ", effect.text):
                if sentence.count(";") >= MOST_ITEMS:
                    raise Broken(f"more than {MOST_ITEMS} items: {sentence!r}")
                words = len(sentence.split())
                self.seen["longest sentence"] = max(self.seen["longest sentence"], words)
        check = self.session.state.focus.check
        if check is not None and len(self.knowledge.prompt(check).split()) > PROMPT_WORDS:
            raise Broken(f"a prompt of more than {PROMPT_WORDS} words: {self.knowledge.prompt(check)!r}")

    def _alternatives_differ(self) -> None:
        """Two alternatives that are offered never sound the same."""
        question = self.session.state.focus.question
        if not isinstance(question, Choosing):
            return
        first, second = offered(Turn(self.knowledge, self.session.state, {}), question)
        if first.casefold() == second.casefold():
            raise Broken(f"two alternatives sound the same: {first!r}")
        self.seen["offered"] += 1

    def _undo_is_exact(self, entries: list[Append], before: OnRecord) -> None:
        """A turn that changed the work can be taken back to exactly the work before it."""
        if (
            not any(issubclass(KINDS[entry.kind], OfTheWork) for entry in entries)
            or self.session.record.turn == before.turn
            or self.session.record.work == before.work  # another piece was asked about, and left again
        ):
            return
        probe = Session(self.knowledge, None, self.session.record)
        probe.handle(Heard(self.knowledge.language.interpret("undo")))
        if probe.record.work != before.work:
            raise Broken("undo is not exact")
        self.seen["undo checked"] += 1

    def _write_fails(self, entries: list[Append], before: OnRecord) -> None:
        """A part of the entries is durable, then the store fails: the turn is as if it had not been said."""
        self.journal += entries[: self.rng.randrange(len(entries))]
        self.session.handle(Trouble("store"))
        if self.session.record != before:
            raise Broken("a turn that was not written is on record")
        said = self.session.handle(Trouble("store", back=True))  # may ask on, with its caution
        self.journal += [effect for effect in said if isinstance(effect, Append)]
        self.seen["failed writes"] += 1

    def _replays(self) -> None:
        """The journal, as JSON, replays to the same record, also where its last turn was not written as a whole."""
        entries = list(self.journal)
        if self.session.voiding:
            entries.append(Append("void", {"turn": self.session.record.turn + 1}))
        plain = [Append(entry.kind, json.loads(json.dumps(entry.data))) for entry in entries]
        if Session.replay(self.knowledge, plain).record != self.session.record:
            raise Broken("the journal does not replay to the same record")
        self.seen["replays"] += 1
