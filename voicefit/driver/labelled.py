"""A labelled set: recordings of sentences that were read aloud, in a folder with ``manifest.tsv``.

Columns: file, speaker, kind, transcript, and the measurand asked for. The hearing benchmark reads such a folder; so a
set that somebody collects, and the phrases that a hearing check keeps, are data for it as they are.

Duty: read the manifest, add a recording durably, remove all; what its sentences ask and mean. It must not record or
recognise.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import BadInput
from voicefit.interpretation import Language
from voicefit.private_files import write_private
from voicefit.records import SAMPLE_RATE_HZ, Context, Meaning, Measurand, item_key

MANIFEST = "manifest.tsv"
COLUMNS = ("file", "speaker", "kind", "transcript", "asked")
_NEEDED = COLUMNS[:4]
_NAME = re.compile(r"\d{4,}\.flac")


@dataclass(frozen=True, slots=True)
class ReadAloud:
    """One row of the manifest; ``asked``, an optional column, is the measurand in question. ``backwards``: to be
    played so."""

    file: str
    speaker: str
    kind: str
    transcript: str
    asked: str = ""
    backwards: bool = False


def read_manifest(folder: Path) -> list[ReadAloud]:
    """Rows of ``folder/manifest.tsv``. Raises ``BadInput`` naming the file, and the row or column that is missing."""
    path = folder / MANIFEST
    if not path.is_file():
        raise BadInput(f"{path}: there is no such file")
    with path.open(encoding="utf-8", newline="") as lines:
        rows = csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE)
        if lacking := set(_NEEDED) - set(rows.fieldnames or ()):
            raise BadInput(f"{path}: no column {min(lacking)}")
        found = [_row(row) for row in rows]
    for number, row in enumerate(found, 2):
        if not (folder / row.file).is_file():
            raise BadInput(f"{path}, row {number}: {row.file} is not there")
    return found


def _row(row: dict[str, str]) -> ReadAloud:
    file, speaker, kind, transcript = (row[column] or "" for column in _NEEDED)
    return ReadAloud(file, speaker, kind, transcript, row.get("asked") or "")


class LabelledSet:
    """The set in ``folder``, which is made with the first recording; only the user may read what is written there."""

    def __init__(self, folder: Path) -> None:
        """Raises ``BadInput`` where a manifest is there and cannot be read."""
        self.folder = folder
        self._rows = read_manifest(folder) if (folder / MANIFEST).is_file() else []

    @property
    def rows(self) -> Sequence[ReadAloud]:
        return self._rows

    def add(self, samples: NDArray[np.float32], speaker: str, kind: str, transcript: str, asked: str = "") -> ReadAloud:
        """Keep one recording (float32, shape (n,), 16 kHz); sound and row are durable on return.

        Raises ``BadInput`` for a name that would break the manifest, ``StoreError`` where it cannot be written.
        """
        import soundfile

        for text in (speaker, kind, transcript, asked):
            if any(not character.isprintable() for character in text):
                raise BadInput(f"{text!r}: no tabs or line breaks in a manifest")
        taken = [int(path.stem) for path in self.folder.glob("*.flac") if _NAME.fullmatch(path.name)]
        row = ReadAloud(f"{max(taken, default=0) + 1:04}.flac", speaker, kind, transcript, asked)
        content = io.BytesIO()
        soundfile.write(content, samples, SAMPLE_RATE_HZ, format="FLAC", subtype="PCM_16")
        write_private(self.folder / row.file, content.getvalue())
        self._rows.append(row)
        self._write()
        return row

    def remove_all(self) -> int:
        """Remove every recording that was added here, and the manifest; how many. Other files stay."""
        ours = [row.file for row in self._rows if _NAME.fullmatch(row.file)]
        for name in ours:
            (self.folder / name).unlink(missing_ok=True)
        (self.folder / MANIFEST).unlink(missing_ok=True)
        self._rows = []
        return len(ours)

    def _write(self) -> None:
        lines = ["\t".join(COLUMNS)]
        lines += ["\t".join((row.file, row.speaker, row.kind, row.transcript, row.asked)) for row in self._rows]
        write_private(self.folder / MANIFEST, "".join(f"{line}\n" for line in lines).encode())


def context_of(asked: str) -> Context:
    """The question that a sentence answers, by the measurand's name; empty: none."""
    return Context(expected=(Measurand(asked),)) if asked else Context()


def same_meaning(language: Language, said: str, heard: tuple[Meaning, ...]) -> bool:
    """Whether what was heard most likely means what a text of the language most likely means."""
    first, second = language.interpret(said)[0], heard[0] if heard else None
    return second is not None and [*map(item_key, first.items)] == [*map(item_key, second.items)]
