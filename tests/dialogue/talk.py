"""A session driven by text, as the command line drives it, with what followed kept for looking at."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import lru_cache

from voicefit.dialogue import Knowledge, Session, Settings, Snapshot
from voicefit.driver import open_knowledge
from voicefit.interpretation.segment import each_once
from voicefit.records import Append, Command, Do, Effect, Event, Heard, Say, Stop, Tone


@lru_cache(maxsize=1)
def knowledge_of_the_project() -> Knowledge:
    return open_knowledge()


class Talk:
    """One session; ``say`` returns what is spoken."""

    def __init__(self, knowledge: Knowledge, settings: Settings | None = None) -> None:
        self.knowledge = knowledge
        self.session = Session(knowledge, settings)
        self.journal: list[Append] = []
        self.effects: tuple[Effect, ...] = ()
        self.called: set[str] = set()  # functions that were called by their phrases

    def handle(self, event: Event) -> str:
        self.effects = self.session.handle(event)
        # What is appended goes through JSON, as it does in a journal.
        self.journal += [Append(e.kind, json.loads(json.dumps(e.data))) for e in self.written]
        return self.reply

    def say(self, text: str) -> str:
        meanings = self.knowledge.language.interpret(text, self.session.context())
        self.called |= {item.name for item in meanings[0].items if isinstance(item, Command)}
        return self.handle(Heard(meanings))

    def hear(self, *alternatives: tuple[str, float]) -> str:
        """Several texts with their shares, as from a recogniser."""
        meant = (
            replace(meaning, log_weight=math.log(share) + meaning.log_weight)
            for text, share in alternatives
            for meaning in self.knowledge.language.interpret(text, self.session.context())
        )
        return self.handle(Heard(each_once(meant)))

    @property
    def reply(self) -> str:
        return " ".join(effect.text for effect in self.effects if isinstance(effect, Say))

    @property
    def written(self) -> list[Append]:
        return [effect for effect in self.effects if isinstance(effect, Append)]

    @property
    def kinds(self) -> list[str]:
        return [effect.kind for effect in self.written]

    @property
    def deeds(self) -> list[str]:
        return [f"{e.name} {e.argument}".strip() for e in self.effects if isinstance(e, Do)]

    @property
    def tones(self) -> list[str]:
        return [effect.name for effect in self.effects if isinstance(effect, Tone)]

    @property
    def stopped(self) -> bool:
        return any(isinstance(effect, Stop) for effect in self.effects)

    @property
    def snapshot(self) -> Snapshot:
        return self.session.snapshot()

    @property
    def leader(self) -> str | None:
        """Id of the likeliest end; a hose has none."""
        candidates = self.snapshot.candidates
        return self.knowledge.catalogue.ends[candidates[0][0]].id if candidates else None

    @property
    def check(self) -> str | None:
        """Id of the check that was prompted."""
        prompted = self.session.state.focus.check
        return None if prompted is None else prompted.id

    def replayed(self) -> Session:
        return Session.replay(self.knowledge, self.journal, self.session.settings)
