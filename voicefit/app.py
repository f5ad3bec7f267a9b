"""The only loop: takes events from the edges, hands them to the session, performs its effects.

Duty: wire the rooms together. It must not understand, match or word anything. Effects are performed in their order;
a record is durable before the reply that confirms it is spoken, and when it cannot be made durable that reply is
not spoken but the trouble is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from copy import copy
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from voicefit.catalogue.load import digest_of
from voicefit.dialogue import Knowledge, Session, Settings, Snapshot
from voicefit.errors import BadInput, StoreError
from voicefit.ordering.whole import check_tables
from voicefit.records import (
    Append,
    Do,
    Event,
    Heard,
    Meaning,
    Reason,
    Refused,
    Rejection,
    Say,
    Stop,
    Tone,
    Transcript,
    Trouble,
)
from voicefit.resources import grammar_folder, read_data, read_texts

if TYPE_CHECKING:
    from voicefit.recognition.protocol import Recogniser
    from voicefit.records import Utterance

# The share of one meaning from which the session asks about it, and the share below which it never takes it unasked:
# see ``ASK_SHARE`` and ``CLEAR`` of the dialogue.
ASK_FROM, ASK_AT_MOST = 0.6, 0.8

GRAMMAR_SUFFIXES = (".toml", ".lark", ".txt")


def open_knowledge(own: Path | None = None) -> Knowledge:
    """The catalogue, the language and the matcher, from the files that came with the tool and the user's own folder.

    Raises ``BadTable`` or ``BadGrammar`` naming file, row and column, ``BadInput`` where ``own`` is no folder of them.
    """
    data = read_data(own)
    if own is not None:
        check_tables(data)  # all that is wrong in the user's tables is told now, before the first job
    return Knowledge.build(data, read_texts(grammar_folder(), *GRAMMAR_SUFFIXES))


def grammar_digest() -> str:
    """SHA-256 over the files of ``grammar/``, hexadecimal: names this language in a record."""
    return digest_of(read_texts(grammar_folder(), *GRAMMAR_SUFFIXES))


@dataclass(slots=True)
class Hands:
    """What performs the effects. Whatever is not given does nothing."""

    append: Callable[[Append], None] = lambda effect: None
    say: Callable[[str], None] = lambda text: None
    tone: Callable[[str], None] = lambda name: None
    do: Callable[[Do], None] = lambda effect: None


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
        effects = self.session.handle(event)
        snapshot = self.session.snapshot()
        for effect in effects:
            try:
                self._perform(effect)
            except StoreError as error:
                # Not durable: what would have confirmed it aloud must not be said.
                if not (isinstance(event, Trouble) and event.what == "store"):
                    return self.take(Trouble("store", str(error), at_s=event.at_s))
        return snapshot

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

    def take_text(self, text: str, *, typed: bool = True) -> Snapshot:
        """An utterance as text; what is no text in it is replaced and refused by the language.

        ``typed`` : by a person, and meant for the session even while it sleeps; else a transcript of what was said.
        """
        text = text.encode("utf-8", "replace").decode("utf-8")
        return self.take(Heard(self.knowledge.language.interpret(text, self.session.context()), typed=typed))

    def take_utterance(self, recogniser: Recogniser, utterance: Utterance) -> Snapshot:
        """A stretch of speech: recognised under what was just asked; one that was cut for its length is refused."""
        if utterance.cut:
            return self.take(Refused(Rejection("", Reason.TOO_LONG), utterance.start_s + utterance.duration_s))
        context = self.session.context()
        transcript = recogniser.recognise(utterance, self.knowledge.language, context)
        return self.take(self.event_of(transcript, utterance.start_s + utterance.duration_s))

    def event_of(self, transcript: Transcript, at_s: float) -> Heard | Refused:
        """What a transcript means under the present context, or why it was refused.

        What the recogniser refused only for want of confidence is not thrown away: it goes to the session with so
        much doubt beside it that it can be asked about ("..., right?") but not be taken.
        """
        rejection = transcript.rejection
        confidence = transcript.scores.get("confidence", 1.0)
        if rejection is not None:
            if rejection.reason is not Reason.LOW_CONFIDENCE or confidence < ASK_FROM or not transcript.alternatives:
                return Refused(rejection, at_s)
            confidence = min(confidence, ASK_AT_MOST)
        meanings = self.knowledge.language.merge(transcript.alternatives, self.session.context())
        if rejection is None:
            return Heard(meanings, at_s)
        doubt = Meaning(transcript.text, (rejection,), math.log(1 - confidence))
        return Heard((*(replace(m, log_weight=m.log_weight + math.log(confidence)) for m in meanings), doubt), at_s)


def lines_of(path: Path) -> list[str]:
    """The utterances of a text script, one a line; blank lines and lines that begin with ``#`` are left out.

    Raises ``BadInput`` naming the file and the line where it is no UTF-8 text.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise BadInput(f"{path}: {error.strerror}") from None
    return list(utterances_in(raw.splitlines(), str(path)))


def utterances_in(lines: Iterable[bytes], source: str) -> Iterator[str]:
    """Decode lines strictly; names the line that is not text."""
    for number, raw in enumerate(lines, 1):
        try:
            line = raw.decode("utf-8-sig" if number == 1 else "utf-8").strip()
        except UnicodeDecodeError:
            raise BadInput(f"{source}, line {number}: not UTF-8 text") from None
        if "\x00" in line:
            raise BadInput(f"{source}, line {number}: binary data, not text")
        if line and not line.startswith("#"):
            yield line
