"""The live session: sound in, speech out, the journal beside it, until told to stop.

Duty: take what the sound edge brings, let the conversation answer, and do what the session asks of its edge. It must
not understand, match or word anything. A microphone with a speaker and a recording with a WAV file run the same way.
"""

from __future__ import annotations

import contextlib
import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import IO, TYPE_CHECKING

from voicefit.app import Conversation, Hands
from voicefit.audio.ears import BargedIn, Ended, Recorded, Tentative
from voicefit.audio.files import to_int16
from voicefit.dialogue import Deed, Settings
from voicefit.errors import BadAudio, BadInput, Missing, StoreError, VoicefitError
from voicefit.journal.notes import SPEECH
from voicefit.listener import Listener
from voicefit.records import SAMPLE_RATE_HZ, Append, Chosen, Do, NoteDone, Quiet, Refused, Trouble, Utterance
from voicefit.synthesis import Speech, VoiceSettings

if TYPE_CHECKING:
    from voicefit.audio.live import ConversationSound
    from voicefit.audio.sinks import Sound
    from voicefit.dialogue import Knowledge, Snapshot
    from voicefit.journal.notes import NoteShelf
    from voicefit.journal.session_log import SessionLog
    from voicefit.recognition.protocol import Recogniser
    from voicefit.records import Event
    from voicefit.synthesis import Voice

LOOK_S = 0.05  # how often typed lines are looked at between sounds


class Speaking:
    """The voice with the settings that hold now; what the sound edge calls for each sentence."""

    def __init__(self, voice: Voice, settings: Settings) -> None:
        self.voice, self.settings = voice, settings
        self._ready: tuple[str, VoiceSettings, Sound] | None = None

    def __call__(self, text: str) -> Sound:
        ready = self._ready
        return ready[2] if ready is not None and ready[:2] == (text, self._manner) else self._speak(text)

    def prepare(self, text: str) -> None:
        """Speak it in silence: it is soon to be heard. A voice that cannot is told of when it is its turn."""
        with contextlib.suppress(Missing, BadInput):
            self._ready = (text, self._manner, self._speak(text))

    def _speak(self, text: str) -> Sound:
        return self.voice.speak(text, self._manner)

    @property
    def _manner(self) -> VoiceSettings:
        s = self.settings
        return VoiceSettings(s.words_per_minute, s.pitch, s.volume, s.voice)


class TypedLines:
    """Lines typed on a keyboard (or by a caliper that is one), read on a thread of their own.

    ``ended`` : the keyboard (or the file in its place) has come to its end, and no line waits.
    """

    def __init__(self, stream: IO[str]) -> None:
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._at_end = threading.Event()
        threading.Thread(target=self._read, args=(stream,), name="typed lines", daemon=True).start()

    def _read(self, stream: IO[str]) -> None:
        for line in stream:
            self._lines.put(line.strip())
        self._at_end.set()

    @property
    def ended(self) -> bool:
        return self._at_end.is_set() and self._lines.empty()

    def next(self) -> str | None:
        """The next line; ``None`` when none waits; empty for the bare Enter key, which is push-to-talk."""
        try:
            return self._lines.get_nowait()
        except queue.Empty:
            return None


@dataclass(slots=True)
class Edges:
    """What a live session is connected to. ``show`` prints an answer; ``keep`` stores a changed setting.

    ``log`` : where the session is recorded. ``entries`` : what is on record of it already. ``begin`` : the first event,
    where it goes on with them. ``tell`` : prints what went wrong, in full, beside the few words that are spoken.
    """

    sound: ConversationSound
    speaking: Speaking
    recogniser: Recogniser | None = None  # a session that is typed needs none
    log: SessionLog | None = None
    entries: tuple[Append, ...] = ()
    begin: Event | None = None
    shelf: NoteShelf | None = None
    typed: TypedLines | None = None
    show: Callable[[Snapshot], None] = lambda snapshot: None
    tell: Callable[[str], None] = lambda text: None
    keep: Callable[[Settings], None] = lambda settings: None
    names_of: Callable[[str], list[str]] = lambda what: []  # devices or voices to choose from, by name
    write_slip: Callable[[Conversation, str, str], None] = lambda conversation, session, job: None


class Talk:
    """One live session. ``run`` returns when the person stops it or the recording ends."""

    def __init__(self, knowledge: Knowledge, settings: Settings, edges: Edges) -> None:
        self.edges = edges
        self.log = edges.log
        hands = Hands(append=self._append, say=edges.sound.say, tone=edges.sound.tone, do=self._do)
        self.conversation = Conversation(knowledge, settings, hands, edges.entries)
        self._recording_for = "note"
        self._follow_up: queue.SimpleQueue[Event] = queue.SimpleQueue()
        self._push = settings.listening == "push"
        self._listener = (
            None
            if edges.recogniser is None
            else Listener(edges.recogniser, self.conversation, edges.sound, edges.speaking.prepare)
        )

    def run(self) -> None:
        """Until "stop", or the end of the recording; then what was said is spoken to its end."""
        sound = self.edges.sound
        sound.listen(not self._push)
        sound.tone("listening")
        if self.edges.begin is not None:
            self._take(self.edges.begin)
        while not self.conversation.stopped:
            self._typed()
            while not self._follow_up.empty():
                self._take(self._follow_up.get())
            if self.conversation.stopped:
                break
            if self._listener is not None:
                self._listener.expect()
            event = sound.next(LOOK_S if self.edges.typed is not None else None)
            if isinstance(event, Ended):
                break
            if isinstance(event, Utterance):
                self._hear(event)
                if self._push:
                    sound.listen(False)
            elif isinstance(event, Tentative):
                if self._listener is not None:
                    self._listener.hear_early(event)
            elif isinstance(event, Recorded):
                self._keep_note(event)
            elif isinstance(event, Refused | Quiet | Trouble):
                self._take(event)
            elif isinstance(event, BargedIn):
                continue  # the reply was stopped; what is said over it comes as an utterance
        sound.wait()

    # ---- what comes in ------------------------------------------------------------------------------------

    def _hear(self, utterance: Utterance) -> None:
        if self._listener is None:
            return
        job = self.conversation.session.record.work.job.number
        transcript = self._listener.hear(utterance)
        self._take(self.conversation.event_of(transcript, utterance.start_s + utterance.duration_s))
        if self.conversation.session.settings.keep_speech:
            self._keep_speech(utterance, job)

    def _take(self, event: Event) -> None:
        if isinstance(event, Trouble) and event.detail:
            self.edges.tell(event.detail)
        self._show(self.conversation.take(event))

    def _show(self, snapshot: Snapshot) -> None:
        if snapshot.reply or snapshot.heard:
            self.edges.show(snapshot)

    def _typed(self) -> None:
        line = None if self.edges.typed is None else self.edges.typed.next()
        if line is None:
            return
        if line:
            self._show(self.conversation.take_text(line))
        elif self._push:
            self.edges.sound.listen(True)
            self.edges.sound.tone("listening")

    def _keep_note(self, recorded: Recorded) -> None:
        if self.edges.shelf is None or self.log is None:
            self._take(Trouble("note", "there is no journal to keep a note beside"))
            return
        job = self.conversation.session.record.work.job.number
        samples = recorded.utterance.samples
        try:
            name = self.edges.shelf.keep(self.log.session, job, samples, "note")
        except BadAudio:
            self._take(Quiet(0.0, at_s=self.edges.sound.now_s))
        except StoreError as error:
            self._take(Trouble("note", str(error)))
        else:
            self._take(NoteDone(name, len(samples) / SAMPLE_RATE_HZ, at_s=self.edges.sound.now_s))

    def _keep_speech(self, utterance: Utterance, job: int) -> None:
        """Beside the job in which it was said, where the user turned keeping on; the record names it."""
        if self.edges.shelf is None or self.log is None:
            return
        try:
            name = self.edges.shelf.keep(self.log.session, job, utterance.samples, SPEECH)
            self.log.append(SPEECH, {"job": job, "name": name, "seconds": len(utterance.samples) / SAMPLE_RATE_HZ})
        except VoicefitError as error:
            self._take(Trouble("note", str(error)))

    # ---- what the session asks for --------------------------------------------------------------------------

    def _append(self, effect: Append) -> None:
        if self.log is None:
            return
        try:
            self.log.append(effect.kind, effect.data)
        except StoreError as error:
            self.edges.tell(str(error))
            raise

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
        if name and what == "voice":
            self.edges.speaking.settings = replace(settings, voice=name)
        self._follow_up.put(Chosen(what, name, at_s=self.edges.sound.now_s))

    def _write_slip(self, job: str) -> None:
        try:
            self.edges.write_slip(self.conversation, "" if self.log is None else self.log.session, job)
        except VoicefitError as error:
            self._follow_up.put(Trouble("slip", str(error)))

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
            self.edges.tell(str(error))
        except StoreError as error:
            self._follow_up.put(Trouble("note", str(error)))

    def _play(self, name: str) -> None:
        try:
            if self.edges.shelf is None:
                raise BadInput(f"{name}: there is no such note")
            samples = self.edges.shelf.samples(name)
        except VoicefitError as error:
            self._follow_up.put(Trouble("note", str(error)))
            return
        self.edges.sound.play(Speech(to_int16(samples), SAMPLE_RATE_HZ))
