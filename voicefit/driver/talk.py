"""The live session as who is talked to: the conversation, with the journal, notes and settings around it.

Duty: turn what the edge brings into the session's events, and do what the session asks of its edge. It must not
understand, match or word anything.
"""

from __future__ import annotations

import contextlib
import queue
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from voicefit.audio.events import Line, Recorded
from voicefit.audio.files import to_int16
from voicefit.audio.live import ConversationSound
from voicefit.dialogue import Deed, Knowledge, Settings, Snapshot
from voicefit.driver.conversation import Conversation, Hands, joined
from voicefit.driver.edges import Speaking
from voicefit.errors import BadAudio, BadInput, StoreError, VoicefitError
from voicefit.interpretation import Language
from voicefit.journal.notes import SPEECH, NoteShelf
from voicefit.journal.session_log import SessionLog
from voicefit.recognition.protocol import Recogniser
from voicefit.records import (
    SAMPLE_RATE_HZ,
    Append,
    Chosen,
    Context,
    Do,
    Event,
    Heard,
    NoteDone,
    Quiet,
    Refused,
    Resumed,
    Sound,
    Transcript,
    Trouble,
    Utterance,
)


@dataclass(slots=True)
class Edges:
    """What a live session is connected to. ``show`` prints an answer; ``keep`` stores a changed setting.

    ``speaking``, ``recogniser`` : none where nothing is spoken or heard. ``log`` : where the session is recorded.
    ``entries`` : what is on record of it already. ``begin`` : the first event. ``greets`` : the answer to it is
    shown even where nothing is said. ``tell`` : prints what went wrong, in full, beside the few words that are spoken.
    ``news`` : what goes wrong behind the session's back comes this way, from any thread, and is said with the next
    answer.
    """

    sound: ConversationSound
    speaking: Speaking | None = None
    recogniser: Recogniser | None = None
    log: SessionLog | None = None
    entries: tuple[Append, ...] = ()
    begin: Event = field(default_factory=Resumed)
    greets: bool = False
    shelf: NoteShelf | None = None
    show: Callable[[Snapshot], None] = lambda snapshot: None
    tell: Callable[[str], None] = lambda text: None
    keep: Callable[[Settings], None] = lambda settings: None
    names_of: Callable[[str], list[str]] = lambda what: []  # devices or voices to choose from, by name
    news: queue.SimpleQueue[Event] = field(default_factory=queue.SimpleQueue)
    write_slip: Callable[[Conversation, str, str], None] = lambda conversation, session, job: None


class Talk:
    """One live session, a :class:`~voicefit.driver.loop.Partner`."""

    def __init__(self, knowledge: Knowledge, settings: Settings, edges: Edges) -> None:
        self.edges = edges
        self.log = edges.log
        hands = Hands(self._append, edges.sound.say, edges.sound.tone, self._do, self._tell)
        self.conversation = Conversation(knowledge, settings, hands, edges.entries)
        self._follow_up = edges.news  # what came of the session's wishes goes the same way
        self._unwritten = self._unseen = False
        self._push = settings.listening == "push"

    # ---- what the loop asks -------------------------------------------------------------------------------

    @property
    def language(self) -> Language:
        return self.conversation.knowledge.language

    @property
    def stopped(self) -> bool:
        return self.conversation.stopped

    @property
    def asleep(self) -> bool:
        return self.conversation.session.asleep

    @property
    def answers(self) -> bool:
        return self.conversation.session.state.attends

    def context(self) -> Context:
        return self.conversation.session.context()

    def get_ready(self, transcript: Transcript) -> None:
        event = Heard(transcript.meanings, self.edges.sound.now_s, transcript=transcript)
        for sentence in self.conversation.foresee(event):
            if self.edges.speaking is not None:
                self.edges.speaking.prepare(sentence)

    # ---- what comes in ------------------------------------------------------------------------------------

    def begin(self) -> None:
        """What is open from before is named, or nothing is said."""
        self.edges.sound.listen(not self._push)
        self.edges.sound.tone("listening")
        self._answer(self.edges.begin, show=self.edges.greets)

    def hear(self, utterance: Utterance, transcript: Transcript) -> None:
        job = self.conversation.session.record.work.job.number
        at_s = utterance.start_s + utterance.duration_s
        self._answer(Heard(transcript.meanings, at_s, transcript=transcript))
        if self.conversation.session.settings.keep_speech:
            self._keep_speech(utterance, job)
        if self._push:
            self.edges.sound.listen(False)

    def take(self, event: Refused | Quiet | Trouble | Line | Recorded) -> None:
        if isinstance(event, Recorded):
            self._answer(self._kept_note(event))
        elif not isinstance(event, Line):
            self._answer(event)
        elif event.text or not self._push:
            self._answer(self.conversation.event_of_text(event.text, typed=event.by_person))
        else:
            self.edges.sound.listen(True)
            self.edges.sound.tone("listening")

    def _answer(self, event: Event, *, show: bool = False) -> None:
        """Whatever the session makes of one event, and of what comes of its wishes, is one answer."""
        self._tell_of(event)
        snapshot = self.conversation.take(event)
        while not self._follow_up.empty():
            wish = self._follow_up.get()
            self._tell_of(wish)
            snapshot = joined(snapshot, self.conversation.take(wish))
        if show or snapshot.reply or snapshot.heard or (isinstance(event, Heard) and not snapshot.rejected):
            self._show(snapshot)

    def _show(self, snapshot: Snapshot) -> None:
        """A screen that takes nothing (a full disk, a closed pipe) is told aloud, once."""
        try:
            self.edges.show(snapshot)
        except (OSError, ValueError) as error:
            if not self._unseen:
                self._unseen = True
                self._tell(f"the screen takes nothing: {error}")
                self.conversation.take(Trouble("screen", str(error), at_s=self.edges.sound.now_s))

    def _tell(self, text: str) -> None:
        with contextlib.suppress(OSError, ValueError):
            self.edges.tell(text)

    def _tell_of(self, event: Event) -> None:
        if isinstance(event, Trouble) and event.detail and not event.back:
            self._tell(event.detail)

    def _kept_note(self, recorded: Recorded) -> Event:
        if self.edges.shelf is None or self.log is None:
            return Trouble("note", "there is no journal to keep a note beside")
        job = self.conversation.session.record.work.job.number
        samples = recorded.utterance.samples
        now_s = self.edges.sound.now_s
        try:
            name = self.edges.shelf.keep(self.log.session, job, samples, "note")
        except BadAudio:
            return Quiet(0.0, at_s=now_s)
        except StoreError as error:
            return Trouble("note", str(error), at_s=now_s)
        return NoteDone(name, len(samples) / SAMPLE_RATE_HZ, at_s=now_s)

    def _keep_speech(self, utterance: Utterance, job: int) -> None:
        """Beside the job in which it was said, where the user turned keeping on; the record names it."""
        if self.edges.shelf is None or self.log is None:
            return
        try:
            name = self.edges.shelf.keep(self.log.session, job, utterance.samples, SPEECH)
            self.log.append(SPEECH, {"job": job, "name": name, "seconds": len(utterance.samples) / SAMPLE_RATE_HZ})
        except VoicefitError as error:
            self._answer(Trouble("note", str(error)))

    # ---- what the session asks for --------------------------------------------------------------------------

    def _append(self, effect: Append) -> None:
        if self.log is None:
            return
        before, self._unwritten = self._unwritten, True
        self.log.append(effect.kind, effect.data)
        self._unwritten = False
        if before:
            self._follow_up.put(Trouble("store", back=True, at_s=self.edges.sound.now_s))

    def _do(self, effect: Do) -> None:
        match effect.name:
            case Deed.SET:
                self._set()
            case Deed.NEXT:
                self._choose_next(effect.argument)
            case Deed.HUSH:
                self.edges.sound.hush()
            case Deed.RECORD:
                self.edges.sound.record()
            case Deed.PLAY:
                self._play(effect.argument)
            case Deed.REMOVE:
                self._remove(effect.argument)
            case Deed.SLIP:
                self._write_slip(effect.argument)
            case Deed.SILENT | Deed.LISTEN:
                pass  # the silence is on the screen's side only; a sleeping session still hears its waking words

    def _set(self) -> None:
        settings = self.conversation.session.settings
        if self.edges.speaking is not None:
            self.edges.speaking.settings = settings
        self.edges.sound.tone_volume = settings.volume
        self.edges.sound.use(microphone=settings.microphone, speaker=settings.speaker, barge_in=settings.barge_in)
        self._push = settings.listening == "push"
        self.edges.sound.listen(not self._push)
        self.edges.keep(settings)

    def _choose_next(self, what: str) -> None:
        """The next voice or device by name; what is chosen is used at once."""
        names = self.edges.names_of(what)
        settings = self.conversation.session.settings
        now = getattr(settings, what)
        later = [name for name in names if name != now]
        name = names[(names.index(now) + 1) % len(names)] if now in names and later else (later or [""])[0]
        if name and what == "voice" and self.edges.speaking is not None:
            self.edges.speaking.settings = replace(settings, voice=name)
        self._follow_up.put(Chosen(what, name, at_s=self.edges.sound.now_s))

    def _write_slip(self, job: str) -> None:
        self.edges.write_slip(self.conversation, "" if self.log is None else self.log.session, job)

    def _remove(self, what: str) -> None:
        """A sound by its name, or all of a job (``job 2``); one that is gone already is no trouble."""
        shelf, log = self.edges.shelf, self.log
        if shelf is None or log is None:
            return
        try:
            if what.startswith("job "):
                shelf.prune(session=log.session, job=int(what.removeprefix("job ")))
            else:
                shelf.remove(what)
        except BadInput as error:
            self._tell(str(error))

    def _play(self, name: str) -> None:
        if self.edges.shelf is None:
            raise BadInput(f"{name}: there is no such note")
        samples = self.edges.shelf.samples(name)
        self.edges.sound.play(Sound(to_int16(samples), SAMPLE_RATE_HZ))
