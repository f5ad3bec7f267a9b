"""Typed lines: a session of nothing else, lines beside a microphone, and the lines of a script.

Duty: read lines, from a keyboard (or a caliper that is one), a pipe or a file, and stand where sound would. It must not
interpret them.
"""

from __future__ import annotations

import io
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import IO

from voicefit.audio.events import Ended, Line, SoundEvent
from voicefit.audio.live import ConversationSound
from voicefit.errors import BadInput, Missing
from voicefit.records import Sound
from voicefit.resources import is_named_pipe


def lines_of(path: Path) -> list[str]:
    """The utterances of a text script, one a line; blank lines and lines that begin with ``#`` are left out.

    Raises ``BadInput`` naming the file and the line where it is no UTF-8 text.
    """
    if is_named_pipe(path):
        raise BadInput(f"{path}: is a pipe, not a file")
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


def typed(stream: IO[str] | None) -> Iterator[str]:
    """Lines as they are typed, or piped in. What is not UTF-8 is replaced, and refused by the language; a keyboard that
    was never there, or goes away, has come to its end."""
    if stream is None:
        return
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        yield from stream
    except (OSError, ValueError):
        return


def read_beside(stream: IO[str] | None, put: Callable[[Line], None]) -> None:
    """Let each line that is typed take its place among the events of a microphone, until the keyboard ends."""

    def read() -> None:
        for line in typed(stream):
            put(Line(line.strip()))

    threading.Thread(target=read, name="typed lines", daemon=True).start()


class Lines(ConversationSound):
    """An edge without sound: replies are shown. It ends with its lines; nobody is told that it is quiet, for
    nobody listens."""

    tone_volume = 0

    def __init__(self, lines: Iterable[str], *, by_person: bool = True) -> None:
        """``by_person`` : typed, and meant for the session even while it sleeps; else a transcript of what was said."""
        self._lines = iter(lines)
        self._by_person = by_person
        self._start = time.monotonic()

    def next(self, timeout_s: float | None = None) -> SoundEvent:
        line = next(self._lines, None)
        return Ended(self.now_s) if line is None else Line(line.strip(), self._by_person)

    def play(self, sound: Sound) -> None:
        raise Missing("a speaker", "a typed session has none")

    def wait(self, timeout_s: float | None = None) -> bool:
        return True

    def record(self, longest_s: float = 120.0, silence_s: float = 2.5) -> None:
        raise Missing("a microphone", "a typed session has none")

    def deciding(self) -> AbstractContextManager[None]:
        return nullcontext()

    @property
    def pausing(self) -> bool:
        return True  # a line is at its end

    @property
    def now_s(self) -> float:
        return time.monotonic() - self._start
