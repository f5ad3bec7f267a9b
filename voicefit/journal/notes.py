"""Sound kept beside the journal: voice notes, and speech where the user turned keeping on.

Duty: write, list, read and remove sound files that only the user may read. It must not record anything by itself: what
is kept was asked for.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from voicefit.errors import BadAudio, BadInput, StoreError
from voicefit.private_files import sync_folder, write_private
from voicefit.records import SAMPLE_RATE_HZ

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NOTE, SPEECH = "note", "speech"
_NAME = re.compile(r"(?P<session>[0-9a-f]{8})-(?P<job>\d+)-(?P<kind>note|speech)-(?P<number>\d+)\.flac")


@dataclass(frozen=True, slots=True)
class KeptSound:
    """One kept sound. ``session`` : first 8 digits. ``kept_at`` : UTC, by the file's own date."""

    name: str
    session: str
    job: int
    kind: str
    number: int
    seconds: float
    size_byte: int
    kept_at: str


class NoteShelf:
    """The sounds in ``folder``, which is made when the first one is kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, session: str, job: int, samples: NDArray[np.float32], kind: str = NOTE) -> str:
        """Keep sound (float32, shape (n,), 16 kHz mono) and return its name; durable on return.

        Raises ``BadAudio`` for no samples, ``StoreError`` when it cannot be written.
        """
        import soundfile

        if kind not in (NOTE, SPEECH):
            raise BadInput(f"{kind!r}: kept sound is a {NOTE} or {SPEECH}")
        if len(samples) == 0:
            raise BadAudio("the note", "no sound came")
        start = f"{session[:8]}-{job}-{kind}-"
        taken = [int(m["number"]) for path in self.folder.glob(f"{start}*") if (m := _NAME.fullmatch(path.name))]
        name = f"{start}{max(taken, default=0) + 1}.flac"
        content = io.BytesIO()
        soundfile.write(content, samples, SAMPLE_RATE_HZ, format="FLAC", subtype="PCM_16")
        write_private(self.folder / name, content.getvalue())
        return name

    def sounds(self) -> list[KeptSound]:
        """All kept sounds, oldest job first. Files that are not ours are passed over."""
        import soundfile

        found = []
        for path in sorted(self.folder.glob("*.flac")):
            match = _NAME.fullmatch(path.name)
            if match is None:
                continue
            state = path.stat()
            try:
                seconds = soundfile.info(path).duration
            except soundfile.LibsndfileError:
                seconds = 0.0  # damaged: still listed, so that it can be removed
            when = datetime.fromtimestamp(state.st_mtime, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
            found.append(
                KeptSound(
                    name=path.name,
                    session=match["session"],
                    job=int(match["job"]),
                    kind=match["kind"],
                    number=int(match["number"]),
                    seconds=seconds,
                    size_byte=state.st_size,
                    kept_at=when,
                )
            )
        return sorted(found, key=lambda s: (s.session, s.job, s.kind, s.number))

    def samples(self, name: str) -> NDArray[np.float32]:
        """The sound, float32, shape (n,), 16 kHz mono. Raises ``BadInput`` or ``BadAudio``."""
        import soundfile

        path = self._path(name)
        try:
            samples, _ = soundfile.read(path, dtype="float32")
        except soundfile.LibsndfileError as error:
            raise BadAudio(path, str(error)) from None
        result: NDArray[np.float32] = samples
        return result

    def remove(self, name: str) -> None:
        """Remove one sound. Raises ``BadInput`` when there is none of that name."""
        path = self._path(name)
        try:
            path.unlink()
            sync_folder(self.folder)
        except OSError as error:
            raise StoreError(f"{path}: cannot remove ({error.strerror})") from None

    def prune(
        self, *, older_than_days: float | None = None, session: str | None = None, job: int | None = None
    ) -> list[str]:
        """Remove all sounds that meet every condition given, and return their names."""
        now = datetime.now(UTC)
        gone = []
        for sound in self.sounds():
            age_days = (now - datetime.fromisoformat(sound.kept_at)).total_seconds() / 86_400
            if older_than_days is not None and age_days < older_than_days:
                continue
            if session is not None and sound.session != session[:8]:
                continue
            if job is not None and sound.job != job:
                continue
            self.remove(sound.name)
            gone.append(sound.name)
        return gone

    def _path(self, name: str) -> Path:
        path = self.folder / name
        if not _NAME.fullmatch(name) or not path.is_file():
            raise BadInput(f"{name}: there is no such note")
        return path
