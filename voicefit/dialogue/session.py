"""The session: events in, effects out.

    event ->  session.handle(event)  -> Append* (Do | Tone)* Say? Stop?

Every event is answered: by words, or by a silence that has a name (``Do("silent", why)``). The state is one frozen
value; what must last is changed only by the entries that are appended, so that replaying them brings it back.

Duty: route events. It must not do I/O, and must not decide what readings mean (:mod:`voicefit.dialogue.taking`) or
what is said of them (:mod:`voicefit.dialogue.identification`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from voicefit.dialogue import asking, events, slips, standing
from voicefit.dialogue.expecting import context_of
from voicefit.dialogue.functions import FUNCTIONS
from voicefit.dialogue.functions.jobs import resumed
from voicefit.dialogue.functions.notes import recorded
from voicefit.dialogue.functions.settings import chosen
from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.record import OnRecord, applied
from voicefit.dialogue.settings import Settings
from voicefit.dialogue.snapshot import Belief, Snapshot
from voicefit.dialogue.state import Attention, State
from voicefit.dialogue.turn import Turn
from voicefit.ordering.job_slip import JobFacts
from voicefit.records import (
    Append,
    Certainty,
    Chosen,
    Context,
    Effect,
    Event,
    Heard,
    NoteDone,
    Quiet,
    Refused,
    Resumed,
    Trouble,
)

SHOWN = 10  # candidates in a snapshot


class Session:
    """One person's session, from the first word to "stop".

    Parameters
    ----------
    knowledge : what is known of ends, language and wording; shared between sessions
    settings : the user's, as stored
    record : what is on record already, from :meth:`replay`

    Opening a session says nothing and computes nothing.
    """

    def __init__(self, knowledge: Knowledge, settings: Settings | None = None, record: OnRecord | None = None) -> None:
        self.knowledge = knowledge
        self.state = State(record=record or OnRecord(), settings=settings or Settings())
        self._before = self.state  # the last turn can be taken back when it could not be made durable
        self._written = False  # whether the last turn has entries
        self.voiding = False  # a turn was taken back, and no entry has said so yet

    @classmethod
    def replay(cls, knowledge: Knowledge, entries: Iterable[Append], settings: Settings | None = None) -> Session:
        """The session whose appended entries these are. Raises ``StoreError`` for an entry that does not fit."""
        record = OnRecord()
        for entry in entries:
            record = applied(record, entry)
        return cls(knowledge, settings, record)

    # ---- what the edge asks -----------------------------------------------------------------------------

    @property
    def record(self) -> OnRecord:
        return self.state.record

    @property
    def settings(self) -> Settings:
        return self.state.settings

    @property
    def asleep(self) -> bool:
        return self.state.focus.attention is Attention.ASLEEP

    def context(self) -> Context:
        """What the next words are likely to be: for the recogniser and the interpreter."""
        return context_of(self.knowledge, self.state)

    def job_facts(self, number: int | None = None) -> JobFacts:
        """What the order slip of a job is made of; the job in hand where no number is given.

        Raises ``KeyError`` when no job has that number.
        """
        record = self.state.record
        return slips.job_facts(self.knowledge, record, record.work.job.number if number is None else number)

    def snapshot(self) -> Snapshot:
        """The state after the last event, for documents and screens."""
        state, knowledge = self.state, self.knowledge
        work = state.record.work
        belief = knowledge.believe(*state.in_hand)
        decided = work.piece.decided
        checks = state.focus.open_checks
        end = state.record.end_of(work.piece)
        rows = (knowledge.row_of(each) for each in work.piece.look_alikes)
        return Snapshot(
            heard=state.last.heard,
            readings=belief.taken,
            rejected=state.last.rejected,
            candidates=self._candidates(belief),
            none_probability=belief.none_probability,
            advice=replace(belief.advice, checks=checks, certainty=self._certainty(belief)),
            prompt=knowledge.prompts(checks) if checks else "",
            cautions=state.last.cautions,
            reply=state.last.reply,
            job=work.job.number,
            piece=work.job.current + 1,
            concluded=end,
            decided_by=None if end is None else "checks" if decided is None else "person",
            look_alikes=tuple(row for row in rows if row is not None),
            next_checks=tuple((check, knowledge.prompt(check)) for check in checks),
            pending=asking.pending(knowledge, state),
            did=state.last.did,
            hose=belief.hose,
        )

    def _candidates(self, belief: Belief) -> tuple[tuple[int, float], ...]:
        """The likeliest parts by the row of the end that names each; of the first, the variant that was said."""
        parts = tuple((part.row, part.probability) for part in belief.parts[:SHOWN])
        return ((standing.the_end(self.knowledge, belief), parts[0][1]), *parts[1:]) if parts else ()

    def _certainty(self, belief: Belief) -> Certainty:
        """How sure it is; an end of another trade, which is refused, is never identified."""
        certainty, leader = belief.advice.certainty, belief.leader
        refused = leader is not None and self.knowledge.catalogue.ends[leader.row].trade is not None
        return Certainty.LIKELY if refused and certainty is Certainty.IDENTIFIED else certainty

    def handle(self, event: Event) -> tuple[Effect, ...]:
        """What follows from an event, in the order in which it must be done.

        An edge that cannot make an ``Append`` durable performs nothing after it and hands in ``Trouble("store")``:
        the turn is then taken back, as if it had not been said, and the next entry voids what was written of it.
        """
        if isinstance(event, Trouble) and event.what == events.UNWRITTEN and not event.back and self._written:
            self.state = replace(self._before, last=self.state.last)
            self.voiding = True
        turn = Turn(self.knowledge, self.state, FUNCTIONS, voiding=self.voiding)
        match event:
            case Heard():
                events.heard(turn, event)
            case Refused(rejection):
                events.refused(turn, rejection)
            case Quiet():
                events.quiet(turn)
            case Trouble():
                events.trouble(turn, event)
            case NoteDone():
                recorded(turn, event)
            case Chosen():
                chosen(turn, event)
            case Resumed():
                resumed(turn, event)
        self._before = self.state
        self.state, effects = turn.outcome()
        self._written = any(isinstance(effect, Append) for effect in effects)
        self.voiding = self.voiding and not self._written
        return effects
