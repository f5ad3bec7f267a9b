"""Speaking: sentences and tones to the speaker, on a thread of its own, one after the other.

Duty: make each sentence sound when its turn comes, stop at once when hushed, tell of a lost voice or speaker and take
it up again when it is back. It must not choose words, and it must not listen.
"""

from __future__ import annotations

import contextlib
import queue
import threading
from collections.abc import Callable
from typing import Protocol

from voicefit.audio.ears import RETRY_S
from voicefit.audio.sinks import Sink
from voicefit.errors import BadInput, DeviceLost, Missing
from voicefit.records import Sound, Trouble

Item = str | Sound  # a sentence, or a ready sound
_CHECK_S = 0.2


class CheckedSink(Sink, Protocol):
    def check(self) -> None:
        """Raises ``DeviceLost`` when the device has gone."""


class Mouth:
    """Runs until closed. Troubles go to ``emit``, on the mouth's thread.

    ``speak`` makes a sentence into sound (``Missing`` when the voice is gone). ``open_sink`` opens the speaker; where
    there is none at first, that is a trouble too, and the session goes on in print.
    """

    def __init__(
        self,
        open_sink: Callable[[], CheckedSink],
        speak: Callable[[str], Sound],
        emit: Callable[[Trouble], None],
    ) -> None:
        self._open_sink = open_sink
        self._speak = speak
        self._emit = emit
        self._items: queue.Queue[tuple[int, Item, bool]] = queue.Queue()
        self._lock = threading.Lock()
        self._round = 0  # goes up with each hush: what was queued before is dropped
        self._halt = threading.Event()  # of what sounds now
        self._gives_way = False  # what sounds now
        self._speaking = threading.Event()
        self._closed = threading.Event()
        self._voice_is_gone = False
        self._other_speaker = threading.Event()
        self._sink: CheckedSink | None = None
        try:
            self._sink = open_sink()
        except (DeviceLost, Missing) as error:
            emit(Trouble("speaker", str(error)))
        self._thread = threading.Thread(target=self._run, name="mouth", daemon=True)
        self._thread.start()

    # ---- from other threads -----------------------------------------------------------------------------

    def say(self, item: Item, *, gives_way: bool = False) -> None:
        """Queue a sentence or a sound; returns at once. One that ``gives_way`` is stopped by what is queued next."""
        if isinstance(item, str):
            self._speaking.set()  # from now on: the ears close before the first sound, not after it
        with self._lock:
            self._items.put((self._round, item, gives_way))
            if self._gives_way:
                self._halt.set()

    def hush(self) -> None:
        """Stop what sounds and forget what was queued."""
        with self._lock:
            self._round += 1
            self._halt.set()

    def reopen(self) -> None:
        """The speaker may be another one now: let go of this one and open it before the next sound."""
        self._other_speaker.set()

    @property
    def speaking(self) -> bool:
        """Whether a sentence sounds or waits to. Tones do not count: a person may talk over them."""
        return self._speaking.is_set()

    def wait(self, timeout_s: float | None = None) -> bool:
        """Wait until all that was queued has sounded; ``False`` when the time ran out."""
        with self._items.all_tasks_done:
            return self._items.all_tasks_done.wait_for(lambda: self._items.unfinished_tasks == 0, timeout_s)

    def close(self) -> None:
        self._closed.set()
        self.hush()
        self._thread.join(timeout=5.0)

    # ---- the thread -------------------------------------------------------------------------------------

    def _run(self) -> None:
        while not self._closed.is_set():
            try:
                begun, item, gives_way = self._items.get(timeout=_CHECK_S)
            except queue.Empty:
                self._look_after_speaker()
                continue
            try:
                self._change_speaker()
                self._perform(begun, item, gives_way)
            finally:
                if self._items.empty():
                    self._speaking.clear()
                self._items.task_done()
        if self._sink is not None:
            self._sink.close()

    def _perform(self, begun: int, item: Item, gives_way: bool) -> None:
        if begun != self._round:
            return
        if isinstance(item, str):
            self._speaking.set()
        sound = self._sound(item) if isinstance(item, str) else item
        if sound is None or self._sink is None:
            return
        with self._lock:
            if begun != self._round or (gives_way and not self._items.empty()):
                return
            halt = self._halt = threading.Event()
            self._gives_way = gives_way
        try:
            self._sink.play(sound, 0.0, halt)
        except DeviceLost as error:
            self._lose(error)
        finally:
            self._gives_way = False

    def _sound(self, text: str) -> Sound | None:
        try:
            sound = self._speak(text)
        except (Missing, BadInput) as error:
            if not self._voice_is_gone:
                self._voice_is_gone = True
                self._emit(Trouble("voice", str(error)))
            return None
        if self._voice_is_gone:
            self._voice_is_gone = False
            self._emit(Trouble("voice", back=True))
        return sound

    def _change_speaker(self) -> None:
        if not self._other_speaker.is_set():
            return
        self._other_speaker.clear()
        if self._sink is not None:
            self._sink.close()
            self._sink = None
        try:
            self._sink = self._open_sink()
        except (DeviceLost, Missing) as error:
            self._emit(Trouble("speaker", str(error)))

    def _look_after_speaker(self) -> None:
        self._change_speaker()
        if self._sink is None:
            self._regain()
            return
        try:
            self._sink.check()
        except DeviceLost as error:
            self._lose(error)

    def _lose(self, error: DeviceLost) -> None:
        self._emit(Trouble("speaker", str(error)))
        if self._sink is not None:
            self._sink.close()
            self._sink = None

    def _regain(self) -> None:
        if self._closed.wait(RETRY_S):
            return
        with contextlib.suppress(DeviceLost, Missing):
            self._sink = self._open_sink()
            self._emit(Trouble("speaker", self._sink.name, back=True))
