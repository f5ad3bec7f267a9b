"""What is known, read once at the start: the catalogue, the language, and the digests that name them in a record.

Duty: read the files that came with the tool, and the user's own. It must not keep anything.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from voicefit.catalogue.load import digest_of
from voicefit.dialogue import Knowledge
from voicefit.ordering.room import check_tables
from voicefit.resources import grammar_folder, read_data, read_texts
from voicefit.sentences import open_classifier

GRAMMAR_SUFFIXES = (".toml", ".lark", ".txt")


def open_knowledge(own: Path | None = None) -> Knowledge:
    """The catalogue, the language and the matcher, from the files that came with the tool and the user's own folder.

    Raises ``BadTable`` or ``BadGrammar`` naming file, row and column, ``BadInput`` where ``own`` is no folder of them.
    """
    with _to_stay():
        data = read_data(own)
        if own is not None:
            check_tables(data)  # all that is wrong in the user's tables is told now, before the first job
        return Knowledge.build(data, read_texts(grammar_folder(), *GRAMMAR_SUFFIXES), open_classifier())


@contextmanager
def _to_stay() -> Iterator[None]:
    """Half a million objects are made, and stay: looking among them for garbage, now, later and at the end, would take
    as long as making them."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        if collecting:
            gc.enable()


def grammar_digest() -> str:
    """SHA-256 over the files of ``grammar/``, hexadecimal: names this language in a record."""
    return digest_of(read_texts(grammar_folder(), *GRAMMAR_SUFFIXES))
