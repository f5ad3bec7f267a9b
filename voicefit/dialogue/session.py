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

from voicefit.dialogue import asking, identification, slips, taking
from voicefit.dialogue.expecting import context_of
from voicefit.dialogue.functions import FUNCTIONS
from voicefit.dialogue.functions.jobs import resumed
from voicefit.dialogue.functions.notes import recorded
from voicefit.dialogue.functions.settings import chosen, go_on
from voicefit.dialogue.knowledge import Knowledge
from voicefit.dialogue.record import Record, applied
from voicefit.dialogue.settings import Settings
from voicefit.dialogue.snapshot import Snapshot
from voicefit.dialogue.state import Attention, State
from voicefit.dialogue.turn import Turn
from voicefit.ordering.job_slip import JobFacts
from voicefit.records import (
    Append,
    Chosen,
    Command,
    Context,
    Effect,
    Event,
    Heard,
    Meaning,
    NoteDone,
    Quiet,
    Reason,
    Refused,
    Rejection,
    Resumed,
    Trouble,
)

SHOWN = 10  # candidates in a snapshot
REFUSALS_SAID = 3  # so many in a row are spoken of
NOT_SPOKEN = frozenset({Reason.SILENCE, Reason.NOISE})  # refused by a tone: an engine near by makes many
UNWRITTEN = "store"  # the trouble that means: the last turn's entries could not all be made durable
NAMED_TROUBLES = frozenset({"microphone", "speaker", "voice", "recogniser", "disk", "store", "note", "slip"}) | {
    "settings",
    "screen",
    "shared",
    "store-moved",
    "store-branched",
}
TOLD_EACH_TIME = frozenset({UNWRITTEN, "note", "slip", "settings", "store-moved", "store-branched"})


class Session:
    """One person's session, from the first word to "stop".

    Parameters
    ----------
    knowledge : what is known of ends, language and wording; shared between sessions
    settings : the user's, as stored
    record : what is on record already, from :meth:`replay`

    Opening a session says nothing and computes nothing.
    """

    def __init__(self, knowledge: Knowledge, settings: Settings | None = None, record: Record | None = None) -> None:
        self.knowledge = knowledge
        self.state = State(record=record or Record(), settings=settings or Settings())
        self._before = self.state  # the last turn can be taken back when it could not be made durable
        self._written = False  # whether the last turn has entries
        self.voiding = False  # a turn was taken back, and no entry has said so yet

    @classmethod
    def replay(cls, knowledge: Knowledge, entries: Iterable[Append], settings: Settings | None = None) -> Session:
        """The session whose appended entries these are. Raises ``StoreError`` for an entry that does not fit."""
        record = Record()
        for entry in entries:
            record = applied(record, entry)
        return cls(knowledge, settings, record)

    # ---- what the edge asks -----------------------------------------------------------------------------

    @property
    def record(self) -> Record:
        return self.state.record

    @property
    def settings(self) -> Settings:
        return self.state.settings

    @property
    def asleep(self) -> bool:
        return self.state.focus.attention is Attention.ASLEEP

    @property
    def attends(self) -> bool:
        """Whether what is said now is answered: asleep, or without the attention word, it is not."""
        focus = self.state.focus
        if focus.attention is Attention.ASLEEP:
            return False
        attended = focus.attention is Attention.ATTENDING or focus.question is not None
        return self.settings.listening != "attention" or attended

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
        state = self.state
        work = state.record.work
        belief = self.knowledge.believe(work.piece)
        check = belief.advice.check
        return Snapshot(
            heard=state.last.heard,
            readings=belief.taken,
            rejected=state.last.rejected,
            candidates=tuple((part.row, part.probability) for part in belief.parts[:SHOWN]),
            none_probability=belief.none_probability,
            advice=belief.advice,
            prompt="" if check is None else self.knowledge.prompt(check),
            cautions=state.last.cautions,
            reply=state.last.reply,
            job=work.job.number,
            piece=work.job.current + 1,
            concluded=state.record.concluded.get(work.piece.number),
        )

    def handle(self, event: Event) -> tuple[Effect, ...]:
        """What follows from an event, in the order in which it must be done.

        An edge that cannot make an ``Append`` durable performs nothing after it and hands in ``Trouble("store")``:
        the turn is then taken back, as if it had not been said, and the next entry voids what was written of it.
        """
        if isinstance(event, Trouble) and event.what == UNWRITTEN and not event.back and self._written:
            self.state = replace(self._before, last=self.state.last)
            self.voiding = True
        turn = Turn(self.knowledge, self.state, FUNCTIONS, voiding=self.voiding)
        match event:
            case Heard():
                _heard(turn, event)
            case Refused(rejection):
                turn.rejected.append(rejection)
                _refused(turn, rejection)
            case Quiet():
                _quiet(turn)
            case Trouble():
                _trouble(turn, event)
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


# ---- one function an event ----------------------------------------------------------------------------


def _heard(turn: Turn, event: Heard) -> None:
    if not event.meanings:
        _refused(turn, Rejection("", Reason.OUT_OF_GRAMMAR))
        return
    addressed = event.meanings if event.typed else _addressed(turn, event.meanings)
    if not addressed:
        return
    question = turn.focus.question
    turn.look(quiets=0)
    if turn.focus.attention is Attention.PAUSED:
        turn.look(attention=Attention.OPEN)
    taking.heard(turn, addressed)
    if turn.report and turn.focus.question is None:
        identification.report(turn)
    elif turn.report:
        identification.read_back_new(turn)
        asking.ask_again(turn)
    elif question is not None and turn.focus.question is question and not (turn.asked or turn.ends or _paused(turn)):
        asking.ask_again(turn)  # something else was said in between: the question is still open
    if turn.rejected and not turn.new_readings:
        turn.keep_reply = True  # "repeat" repeats what came before the refusal
    _count_refusals(turn)
    if not turn.said and not turn.acted:
        turn.silent("nothing_to_say")


def _addressed(turn: Turn, meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """The meanings that are meant for the session: none while it sleeps or waits for the attention word."""
    focus, settings = turn.focus, turn.settings
    if focus.attention is Attention.ASLEEP:
        waking = tuple(m for m in meanings if m.items == m.items[:1] and _names(m, "wake-up"))
        if waking and waking[0] is meanings[0]:
            return waking[:1]
        turn.silent("asleep")
        return ()
    if settings.listening != "attention":
        return tuple(_without_attention(meaning) for meaning in meanings)
    if focus.attention is Attention.ATTENDING or focus.question is not None:
        _attended(turn)
        return tuple(_without_attention(meaning) for meaning in meanings)
    best = meanings[0]
    first = best.items[0] if best.items else None
    if isinstance(first, Command) and first.name == "attention" and first.heard == settings.attention_word:
        return (_without_attention(best),)
    turn.silent("not_addressed")
    return ()


def _paused(turn: Turn) -> bool:
    return turn.focus.attention is Attention.PAUSED


def _attended(turn: Turn) -> None:
    """What followed the attention word has been heard."""
    if turn.focus.attention is Attention.ATTENDING:
        turn.look(attention=Attention.OPEN)


def _without_attention(meaning: Meaning) -> Meaning:
    """A meaning without the attention word before it; the word alone stays."""
    return (
        replace(meaning, items=meaning.items[1:])
        if len(meaning.items) > 1 and _names(meaning, "attention")
        else (meaning)
    )


def _names(meaning: Meaning, function: str) -> bool:
    first = meaning.items[0] if meaning.items else None
    return isinstance(first, Command) and first.name == function


def _count_refusals(turn: Turn) -> None:
    """Refusals in a row; anything taken ends the row."""
    if not turn.rejected or turn.new_readings:
        turn.look(refusals=0)
        return
    turn.look(refusals=turn.focus.refusals + 1)
    if turn.focus.refusals == REFUSALS_SAID:
        turn.say("refused-three")


def _refused(turn: Turn, rejection: Rejection) -> None:
    if turn.focus.attention is Attention.ASLEEP:
        turn.silent("asleep")
        return
    if (
        turn.settings.listening == "attention"
        and turn.focus.attention is not Attention.ATTENDING
        and turn.focus.question is None
    ):
        turn.silent("not_addressed")
        return
    turn.tone("refused")
    turn.look(refusals=turn.focus.refusals + 1)
    _attended(turn)
    if turn.focus.refusals == REFUSALS_SAID:
        turn.say("refused-three")
    elif rejection.reason in NOT_SPOKEN:
        turn.silent(rejection.reason.value)
    else:
        taking.say_refusal(turn, rejection)


def _quiet(turn: Turn) -> None:
    """Nobody speaks: said twice, then a silence until somebody does."""
    if turn.focus.attention in (Attention.ASLEEP, Attention.PAUSED):
        turn.silent(turn.focus.attention.value)
        return
    if turn.settings.listening != "open" and turn.focus.question is None:
        _attended(turn)  # the attention word does not last
        turn.silent("not_addressed")
        return
    turn.look(quiets=turn.focus.quiets + 1)
    turn.keep_reply = True
    if turn.focus.quiets == 1:
        turn.say("quiet-first")
        go_on(turn)
    elif turn.focus.quiets == 2:
        turn.say("quiet-second")
    else:
        turn.silent("quiet")


def _trouble(turn: Turn, event: Trouble) -> None:
    """Something failed or came back. Once each way; the edge says it by whatever still works."""
    known = event.what in NAMED_TROUBLES
    turn.keep_reply = True
    if event.back:
        if event.what not in turn.focus.troubles:
            turn.silent("no_trouble")
            return
        turn.look(troubles=turn.focus.troubles - {event.what})
        turn.say(f"back-{event.what}" if known else "back-other", what=event.what)
        if turn.focus.attention is not Attention.ASLEEP:
            go_on(turn)
        return
    if event.what in turn.focus.troubles and event.what not in TOLD_EACH_TIME:
        turn.silent("known_trouble")
        return
    turn.look(troubles=turn.focus.troubles | {event.what})
    turn.say(f"trouble-{event.what}" if known else "trouble-other", what=event.what)
