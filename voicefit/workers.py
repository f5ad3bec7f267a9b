"""A child process that answers in frames: what hangs or raves in it is killed with it, and another is started.

A library that is not ours and can hang, crash or flood its error output (a voice, the sound system) runs in a process
of its own. Frames: a kind byte, a length (4 bytes, little endian), a payload. Two threads do the reading and the
writing, so that no caller waits for a child that has stopped taking or giving.

Duty: start, send, receive, end. It must not know what the frames mean.
"""

from __future__ import annotations

import contextlib
import queue
import struct
import subprocess
import threading
from collections.abc import Sequence

HEADER = struct.Struct("<cI")
_ENDING_S = 2.0

Frame = tuple[bytes, bytes]
DIED: Frame = (b"!", b"")  # the last frame of every worker


def frame(kind: bytes, payload: bytes = b"") -> bytes:
    return HEADER.pack(kind, len(payload)) + payload


class Worker:
    """One child process. Its error output goes nowhere: some libraries write gigabytes. Raises ``OSError``.

    ``most_waiting`` : frames that nobody takes are dropped from there on, and counted in ``dropped``; 0: no limit.
    """

    def __init__(self, command: Sequence[str], *, most_waiting: int = 0) -> None:
        self.process = subprocess.Popen(
            list(command), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        self.dropped = 0
        self._most = most_waiting
        self._received: queue.SimpleQueue[Frame] = queue.SimpleQueue()
        self._to_send: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        self._threads = [
            threading.Thread(target=work, name=f"worker {name}", daemon=True)
            for name, work in (("reader", self._read), ("writer", self._write))
        ]
        for thread in self._threads:
            thread.start()

    def send(self, raw: bytes) -> None:
        """Returns at once; a worker that is dead answers with ``DIED``."""
        self._to_send.put(raw)

    def next_frame(self, timeout_s: float) -> Frame | None:
        """The next frame; ``None`` when none came for so long."""
        try:
            return self._received.get(timeout=timeout_s) if timeout_s > 0 else self._received.get_nowait()
        except queue.Empty:
            return None

    def end(self) -> None:
        """Kill it, whatever state it is in. Safe to call twice."""
        self.process.kill()
        with contextlib.suppress(subprocess.TimeoutExpired):  # one that the system itself holds is left to it
            self.process.wait(_ENDING_S)
        self._to_send.put(None)
        for thread in self._threads:
            if thread is not threading.current_thread():
                thread.join(timeout=1.0)
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):  # what was still buffered has nobody left to read it
                    pipe.close()

    def _read(self) -> None:
        pipe = self.process.stdout
        assert pipe is not None
        try:
            while len(header := pipe.read(HEADER.size)) == HEADER.size:
                kind, length = HEADER.unpack(header)
                payload = pipe.read(length)
                if len(payload) < length:
                    break
                if self._most and self._received.qsize() >= self._most:
                    self.dropped += 1
                else:
                    self._received.put((kind, payload))
        except (OSError, ValueError):
            pass  # closed while reading: the worker was ended
        self._received.put(DIED)

    def _write(self) -> None:
        pipe = self.process.stdin
        assert pipe is not None
        with contextlib.suppress(OSError, ValueError):
            while (raw := self._to_send.get()) is not None:
                pipe.write(raw)
                pipe.flush()
