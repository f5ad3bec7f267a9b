"""What is wrong in a folder of tables, all of it in one run.

Every reader of tables takes a :class:`Faults`. It *notes* what is wrong and goes on with what is left; whoever began
raises all of it at the end. An id whose row was wrong is remembered, so that a row which names it is not blamed too.

Duty: collect. It must not know a table, and must not decide what is wrong.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from contextlib import contextmanager

from voicefit.errors import BadTable, BadTables


class Faults:
    """Errors found so far. ``at_once`` : raise the first instead of noting it, where one table alone is read."""

    def __init__(self, *, at_once: bool = False) -> None:
        self.found: list[BadTable] = []
        self._at_once = at_once
        self._broken: set[str] = set()
        self._half_read: list[tuple[BadTable, str]] = []  # what to note where the source turns out not to be there

    def source_of(self, place: BadTable, source: str) -> None:
        """Remember the source of a row that could not be read, to be looked up when the bibliography is known."""
        self._half_read.append((place, source))

    def check_sources(self, sources: Container[str]) -> None:
        """Note the sources of rows that could not be read and that are not in the bibliography either."""
        for place, source in self._half_read:
            if self.lacks(source, sources):
                self.note(BadTable(place.file, place.row, place.column, f"{source!r} is not in sources.csv"))

    def note(self, error: BadTable, *broken: str) -> None:
        """Remember an error, and the ids that nobody is to miss because of it."""
        if self._at_once:
            raise error
        self.found += error.errors if isinstance(error, BadTables) else [error]
        self._broken |= set(broken)

    def spoil(self, *ids: str) -> None:
        """Remember ids whose rows were wrong."""
        self._broken |= set(ids)

    def broken(self, key: str) -> bool:
        """Whether the row of an id was wrong; of an end (``series/size/variant``), also the size's or the series'."""
        parts = key.split("/")
        return any("/".join(parts[:count]) in self._broken for count in range(1, len(parts) + 1))

    def lacks(self, key: str, table: Container[str]) -> bool:
        """Whether ``table`` has no such id, and not because that id's own row is wrong."""
        return key not in table and not self.broken(key)

    @contextmanager
    def noting(self, *broken: str) -> Iterator[None]:
        """Note what is raised within; ``broken`` : ids that are spoiled by it."""
        try:
            yield
        except BadTable as error:
            self.note(error, *broken)

    def raise_all(self) -> None:
        """Raise what was noted, file by file and row by row: the one error itself, or all of them as one."""
        files = list(dict.fromkeys(error.file for error in self.found))
        errors = list({str(error): error for error in self.found}.values())
        errors.sort(key=lambda error: (files.index(error.file), error.row or 0))
        if len(errors) == 1:
            raise errors[0]
        if errors:
            raise BadTables(errors)


AT_ONCE = Faults(at_once=True)
