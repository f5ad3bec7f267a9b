"""A session with the hands that perform its effects.

Effects are performed in their order; a record is durable before the reply that confirms it is spoken, and when it
cannot be made durable that reply is not spoken but the trouble is. Whatever else fails at the edge is a trouble too,
told after the rest was done: here, and nowhere else, a failure of an effect becomes an event. A sentence over which the
session itself fails counts as not said, and that is told: who lies under a machine must not be left in silence.

Duty: hand events to the session and perform what follows. It must not listen, and must not decide what is taken.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterable
from copy import copy
from dataclasses import dataclass, replace
from pathlib import Path

from voicefit.dialogue import Deed, Knowledge, Session, Settings, Snapshot
from voicefit.errors import VoicefitError
from voicefit.records import (
    Append,
    Do,
    Event,
    Heard,
    Say,
    Stop,
    Tone,
    Trouble,
)


@dataclass(slots=True)
class Hands:
    """What performs the effects. Whatever is not given does nothing."""

    append: Callable[[Append], None] = lambda effect: None
    say: Callable[[str], None] = lambda text: None
    tone: Callable[[str], None] = lambda name: None
    do: Callable[[Do], None] = lambda effect: None
    tell: Callable[[str], None] = lambda detail: None  # in full, beside the few words that are spoken; must not fail


class Conversation:
    """One session with the hands that perform its effects."""

    def __init__(
        self,
        knowledge: Knowledge,
        settings: Settings | None = None,
        hands: Hands | None = None,
        entries: Iterable[Append] = (),
    ) -> None:
        """``entries`` : what is on record already, of a session that goes on."""
        self.knowledge = knowledge
        self.session = Session.replay(knowledge, entries, settings or Settings())
        self.hands = hands or Hands()
        self.stopped = False

    def take(self, event: Event) -> Snapshot:
        """Hand one event to the session and perform what follows."""
        before = copy(self.session)
        try:
            effects = self.session.handle(event)
            snapshot = self.session.snapshot()
        except Exception as error:  # a fault of ours
            if isinstance(event, Trouble):
                raise
            self.session = before
            return self._told(sentence_failed(error, event.at_s))
        troubles: list[Trouble] = []
        for effect in effects:
            try:
                self._perform(effect)
            except Exception as error:  # whatever it is that fails at the edge, the session goes on
                trouble = Trouble(_what_failed(effect), _in_words(error), at_s=event.at_s)
                if isinstance(event, Trouble) and event.what == trouble.what:
                    continue  # it was just told of
                if isinstance(effect, Append):
                    # Not durable: what would have confirmed it aloud must not be said.
                    return replace(self._told(trouble), heard=snapshot.heard)
                troubles.append(trouble)
        for trouble in troubles:
            snapshot = joined(snapshot, self._told(trouble))
        return snapshot

    def _told(self, trouble: Trouble) -> Snapshot:
        self.hands.tell(trouble.detail)
        return self.take(trouble)

    def foresee(self, event: Event) -> tuple[str, ...]:
        """The sentences that would answer an event now. Nothing is done; what was worked out is ready when it comes."""
        return tuple(effect.text for effect in copy(self.session).handle(event) if isinstance(effect, Say))

    def _perform(self, effect: Append | Say | Tone | Do | Stop) -> None:
        match effect:
            case Append():
                self.hands.append(effect)
            case Say(text):
                self.hands.say(text)
            case Tone(name):
                self.hands.tone(name)
            case Do():
                self.hands.do(effect)
            case Stop():
                self.stopped = True

    # ---- what comes in ------------------------------------------------------------------------------------

    def take_text(self, text: str) -> Snapshot:
        """Take an utterance that a person typed, as :meth:`event_of_text` makes an event of it."""
        return self.take(self.event_of_text(text))

    def event_of_text(self, text: str, *, typed: bool = True) -> Heard | Trouble:
        """An utterance as text; what is no text in it is replaced and refused by the language.

        ``typed`` : by a person, and meant for the session even while it sleeps; else a transcript of what was said.
        """
        text = text.encode("utf-8", "replace").decode("utf-8")
        try:
            return Heard(self.knowledge.language.interpret(text, self.session.context()), typed=typed)
        except Exception as error:  # a fault of ours
            return sentence_failed(error)


_FAILED_DEEDS = {
    Deed.SET: "settings",
    Deed.NEXT: "settings",
    Deed.RECORD: "note",
    Deed.PLAY: "note",
    Deed.REMOVE: "note",
    Deed.SLIP: "slip",
}


def _what_failed(effect: Append | Say | Tone | Do | Stop) -> str:
    """The trouble's name, as the dialogue knows it."""
    match effect:
        case Append():
            return "store"
        case Do(name):
            return _FAILED_DEEDS.get(Deed(name), "speaker")
        case _:
            return "speaker"


def sentence_failed(error: Exception, at_s: float = 0.0) -> Trouble:
    """What is told of a sentence over which the tool itself failed; in full: of what kind, and where in the code."""
    where = traceback.extract_tb(error.__traceback__)[-1:]
    return Trouble(
        "sentence", "; ".join([_in_words(error), *(f"{Path(f.filename).name}:{f.lineno}" for f in where)]), at_s=at_s
    )


def _in_words(error: Exception) -> str:
    return str(error) if isinstance(error, VoicefitError) else f"{type(error).__name__}: {error}"


def joined(first: Snapshot, later: Snapshot) -> Snapshot:
    """The state after the second event, with what was heard, refused and said in both."""
    return replace(
        later,
        heard=first.heard,
        rejected=(*first.rejected, *later.rejected),
        cautions=(*first.cautions, *later.cautions),
        did=(*first.did, *later.did),
        reply=" ".join(reply for reply in (first.reply, later.reply) if reply),
    )
