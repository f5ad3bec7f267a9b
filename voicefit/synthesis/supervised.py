"""A voice in a child process, watched: one that hangs or dies is replaced, and the sentence is said by the next one.

Duty: start the worker, send it a sentence, collect the sound, notice silence and death, replace it within a second. It
must not know how a worker makes sound.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Sequence
from typing import Any

import numpy as np

from voicefit.errors import BadInput, Missing
from voicefit.records import Sound
from voicefit.synthesis.protocol import VoiceSettings
from voicefit.workers import DIED, Frame, Worker

_LONGEST_TEXT = 20_000  # characters
_CONTROL = dict.fromkeys((*range(32), 127), " ")  # some engines take control characters as commands


class SupervisedVoice:
    """A voice whose engine lives in a child process started by ``command``.

    ``silence_s`` : a worker that sends nothing for so long is taken for hung.
    ``replaced`` counts the workers that had to be replaced.

    Raises ``Missing`` when the engine does not start, or when a second worker fails on the same sentence.
    """

    def __init__(self, name: str, command: Sequence[str], *, silence_s: float = 0.6, remedy: str = "") -> None:
        self.name = name
        self.replaced = 0
        self._command = tuple(command)
        self._silence_s = silence_s
        self._remedy = remedy or "install voicefit again"
        self._lock = threading.Lock()
        self._closed = False
        self._rate_hz = 0
        self._worker: Worker | None = self._start()

    # ---- what others use --------------------------------------------------------------------------------

    def speak(self, text: str, settings: VoiceSettings) -> Sound:
        """The whole sentence as sound; may be called from any thread.

        Raises ``BadInput`` for a voice name that the engine does not have, ``Missing`` when the engine is gone.
        """
        if len(text) > _LONGEST_TEXT:
            raise BadInput(f"a text of {len(text)} characters is too long to be spoken")
        request = {
            "text": text.translate(_CONTROL),
            "words_per_minute": min(400, max(80, settings.words_per_minute)),
            "pitch": min(100, max(0, settings.pitch)),
            "volume": min(100, max(0, settings.volume)),
            "name": settings.name,
        }
        sound = b"".join(payload for _, payload in self._answer(request, b"A"))
        return Sound(np.frombuffer(sound, dtype="<i2").astype(np.int16), self._rate_hz)

    def voices(self, language: str = "en") -> tuple[str, ...]:
        """Names of the voices of a language, the engine's order."""
        found = [json.loads(payload) for _, payload in self._answer({"list": True}, b"V")]
        return tuple(
            voice["name"]
            for voice in found
            if not language or any(tag.split("-")[0] == language for tag in voice["languages"])
        )

    @property
    def process_id(self) -> int | None:
        """Of the present worker."""
        return self._worker.process.pid if self._worker else None

    def close(self) -> None:
        with self._lock:
            self._closed = True
            if self._worker is not None:
                self._worker.end()
                self._worker = None

    def __enter__(self) -> SupervisedVoice:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # ---- supervision ------------------------------------------------------------------------------------

    def _answer(self, request: dict[str, Any], wanted: bytes) -> list[Frame]:
        with self._lock:
            if self._closed:
                raise Missing(f"the voice {self.name}", "it has been closed")
            for _attempt in range(2):
                if self._worker is None:
                    self._worker = self._start()
                frames = self._try(self._worker, request)
                if frames is not None:
                    for kind, payload in frames:
                        if kind == b"E":
                            raise BadInput(payload.decode("utf-8", "replace"))
                    return [frame for frame in frames if frame[0] == wanted]
                self._worker.end()
                self._worker = None
                self.replaced += 1
            self._worker = self._start()  # ready for the next sentence; this one is printed
            raise Missing(f"the voice {self.name}", "it stopped twice over one sentence and was started again")

    def _try(self, worker: Worker, request: dict[str, Any]) -> list[Frame] | None:
        worker.send(json.dumps(request).encode() + b"\n")
        frames: list[Frame] = []
        while (frame := worker.next_frame(self._silence_s) or DIED)[0] != b".":
            if frame is DIED:
                return None
            frames.append(frame)
        return frames

    def _start(self) -> Worker:
        try:
            worker = Worker(self._command)
        except OSError as error:
            raise Missing(f"the voice {self.name}", f"{self._remedy} ({error.strerror})") from None
        kind, payload = worker.next_frame(10.0) or DIED
        if kind != b"R":
            worker.end()
            reason = f" ({payload.decode('utf-8', 'replace')})" if kind == b"E" else ""
            raise Missing(f"the voice {self.name}", self._remedy + reason)
        self._rate_hz = int(payload)
        return worker
