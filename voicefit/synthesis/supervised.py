"""A voice in a child process, watched: one that hangs or dies is replaced, and the sentence is said by the next one.

Duty: start the worker, send it a sentence, collect the sound, notice silence and death, replace it within a second. It
must not know how a worker makes sound.
"""

from __future__ import annotations

import contextlib
import json
import queue
import struct
import subprocess
import threading
from collections.abc import Sequence
from typing import IO, Any

import numpy as np

from voicefit.errors import BadInput, Missing
from voicefit.synthesis.protocol import Speech, VoiceSettings

_HEADER = struct.Struct("<cI")
_LONGEST_TEXT = 20_000  # characters
_CONTROL = dict.fromkeys((*range(32), 127), " ")  # some engines take control characters as commands

Frame = tuple[bytes, bytes]
_DIED: Frame = (b"!", b"")


class _Worker:
    """One child process and the thread that reads from it."""

    def __init__(self, command: Sequence[str]) -> None:
        self.process = subprocess.Popen(
            list(command), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self._frames: queue.SimpleQueue[Frame] = queue.SimpleQueue()
        self._reader = threading.Thread(target=self._read, name="voice reader", daemon=True)
        self._reader.start()

    def _read(self) -> None:
        pipe = self.process.stdout
        assert pipe is not None
        try:
            while len(header := pipe.read(_HEADER.size)) == _HEADER.size:
                kind, length = _HEADER.unpack(header)
                payload = pipe.read(length)
                if len(payload) < length:
                    break
                self._frames.put((kind, payload))
        except (OSError, ValueError):
            pass  # closed while reading: the worker was ended
        self._frames.put(_DIED)

    def ask(self, request: dict[str, Any]) -> bool:
        """Send a request; ``False`` when the worker is dead."""
        pipe: IO[bytes] | None = self.process.stdin
        assert pipe is not None
        try:
            pipe.write(json.dumps(request).encode() + b"\n")
            pipe.flush()
        except (OSError, ValueError):
            return False
        return True

    def next_frame(self, timeout_s: float) -> Frame:
        """The next frame; the kind is ``!`` when the worker died or said nothing for so long."""
        try:
            return self._frames.get(timeout=timeout_s)
        except queue.Empty:
            return _DIED

    def end(self) -> None:
        self.process.kill()
        self.process.wait()
        self._reader.join(timeout=1.0)
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):  # what was still buffered has nobody left to read it
                    pipe.close()


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
        self._worker: _Worker | None = self._start()

    # ---- what others use --------------------------------------------------------------------------------

    def speak(self, text: str, settings: VoiceSettings) -> Speech:
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
        return Speech(np.frombuffer(sound, dtype="<i2").astype(np.int16), self._rate_hz)

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

    def _try(self, worker: _Worker, request: dict[str, Any]) -> list[Frame] | None:
        if not worker.ask(request):
            return None
        frames: list[Frame] = []
        while (frame := worker.next_frame(self._silence_s))[0] != b".":
            if frame is _DIED:
                return None
            frames.append(frame)
        return frames

    def _start(self) -> _Worker:
        try:
            worker = _Worker(self._command)
        except OSError as error:
            raise Missing(f"the voice {self.name}", f"{self._remedy} ({error.strerror})") from None
        kind, payload = worker.next_frame(timeout_s=10.0)
        if kind != b"R":
            worker.end()
            reason = f" ({payload.decode('utf-8', 'replace')})" if kind == b"E" else ""
            raise Missing(f"the voice {self.name}", self._remedy + reason)
        self._rate_hz = int(payload)
        return worker
