"""The reader of tables: CSV text in, validated rows out, or errors that name file, row, column and reason.

Duty: the form of a table (header, cells, types, ranges, unique ids, known sources). It must not open files, must
not know any one table, and must not compute: a row holds what the table says.

A table is a plain CSV with a header. Column names end in their unit (``_mm``, ``_in``, ``_deg``, ``_bar``,
``_nm``). An empty cell means "not given" and takes the column's default; a column without a default must be
filled. A cell with several values separates them by ``;``. Numbers are exact text: ``13/16``, ``1-5/16``, ``15.1``.

To read a table, write a :class:`Row` with one field a column and call :func:`read_table`:

>>> class Leaf(Row):
...     id: Text
...     pitch_mm: Exact = positive()
>>> (leaf,) = read_table("leaves.csv", "id,pitch_mm,source,basis\\na,1.5,iso261,memory\\n", Leaf)
>>> leaf.pitch_mm, leaf.line
(Fraction(3, 2), 2)
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, TypeAdapter, ValidationError

from voicefit.catalogue.ends import Basis
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.errors import BadTable
from voicefit.quantities import Exact as Exact
from voicefit.quantities import written

UNREAD = "\ufffd"  # in the place of what is no UTF-8
ADDED = "added/"  # prefix of the user's own tables, so that an error says whose table it is


def _to_float(value: object) -> object:
    return float(written(value)) if isinstance(value, str) else value


def split(value: object) -> object:
    """The parts of a cell with several values."""
    return tuple(part for text in value.split(";") if (part := text.strip())) if isinstance(value, str) else value


Text = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]
Number = Annotated[float, BeforeValidator(_to_float)]  # the same spellings, kept as a float
Several = Annotated[tuple[Text, ...], BeforeValidator(split)]  # texts separated by ;
SeveralExact = Annotated[tuple[Annotated[Exact, Field(gt=0, le=500)], ...], BeforeValidator(split)]


def positive(limit: float = 5000, default: Any = ...) -> Any:
    """Column constraint: greater than 0 and at most ``limit``; pass ``default=None`` for a column that may be empty."""
    return Field(default=default, gt=0, le=limit)


class Row(BaseModel):
    """One row of a table. Subclasses add one field a column; ``file`` and ``line`` are filled by the reader."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    file: str
    line: int  # in the file, the header being 1
    source: Text  # key of sources.csv
    basis: Basis
    note: str = ""

    def bad(self, column: str | None, reason: str) -> BadTable:
        """The error to raise when this row's ``column`` is found wrong later on."""
        return BadTable(self.file, self.line, column, reason)

    def either(self, first: str, factor: Fraction, second: str) -> float:
        """What stands in one of two columns, in the second's unit: ``factor`` is the first's. Exactly one is filled."""
        one: Fraction | None = getattr(self, first)
        other: Fraction | None = getattr(self, second)
        if one is not None and other is None:
            return float(one * factor)
        if other is not None and one is None:
            return float(other)
        raise self.bad(second, f"give either {first} or {second}")


R = TypeVar("R", bound=Row)

FILLED_BY_READER = frozenset({"file", "line"})


@lru_cache(maxsize=64)
def _adapter(model: type[R]) -> TypeAdapter[list[R]]:
    return TypeAdapter(list[model])  # type: ignore[valid-type]  # the element type is known only at run time


def read_table(file: str, text: str, model: type[R], faults: Faults = AT_ONCE) -> tuple[R, ...]:
    """Read one table.

    Parameters
    ----------
    file : name of the table, for errors
    text : the whole CSV
    model : the row's type; its fields (but ``file`` and ``line``) are the columns allowed

    faults : notes what is wrong; without it the first thing wrong is raised as :class:`BadTable`

    Returns the rows in order, without those that are wrong.
    """
    before, unread, _ = text.partition(UNREAD)
    if unread:
        faults.note(BadTable(file, before.count("\n") + 1, None, "not text in UTF-8; save it as CSV UTF-8"))
        return ()
    lines = text.removeprefix("\ufeff").splitlines(keepends=True)
    reader = csv.reader(lines, strict=True)
    cells: list[dict[str, Any]] = []
    header: list[str] | None = None
    unknown: set[str] = set()
    try:
        for record in reader:
            if not any(cell.strip() for cell in record):
                continue
            if header is None:
                header = [name.strip() for name in record]
                if not _check_header(file, reader.line_num, header, model, faults):
                    return ()
                unknown = {name for name in header if name not in model.model_fields}
                continue
            if len(record) != len(header):
                reason = f"{len(record)} cells where the header has {len(header)}"
                faults.note(BadTable(file, reader.line_num, None, reason), record[0].strip())
                continue
            row: dict[str, Any] = {
                name: cell for name, cell in zip(header, record, strict=True) if cell.strip() and name not in unknown
            }
            row["file"], row["line"] = file, reader.line_num
            cells.append(row)
    except csv.Error as error:
        faults.note(BadTable(file, reader.line_num, None, f"not CSV: {error}"))
    if header is None:
        faults.note(BadTable(file, None, None, "empty: not even a header"))
    return _validated(file, cells, model, faults)


def _validated(file: str, cells: Sequence[dict[str, Any]], model: type[R], faults: Faults) -> tuple[R, ...]:
    try:
        return tuple(_adapter(model).validate_python(cells))
    except ValidationError as error:
        wrong = set()
        for each in error.errors(include_url=False):
            row = int(each["loc"][0])
            if (row, each["loc"][1:2]) not in wrong:  # one error a cell: of alternatives the first
                faults.note(_cell_error(file, cells[row], each), *_ids(file, cells[row]))
            wrong.add((row, each["loc"][1:2]))
        bad_rows = {row for row, _ in wrong}
        for at in bad_rows:
            if source := str(cells[at].get("source", "")).strip():
                faults.source_of(BadTable(file, cells[at]["line"], "source", source), source)
        return _validated(file, [row for at, row in enumerate(cells) if at not in bad_rows], model, faults)


def _ids(file: str, row: Mapping[str, Any]) -> Iterator[str]:
    """What nobody is to miss because this row is wrong."""
    if row.get("id"):
        yield str(row["id"])
    for column in ("series", "dash"):  # the rows of a series in this family; a dash
        yield f"{name_of(file).partition('-')[0]} of {row.get(column)}"


def _check_header(file: str, line: int, header: Sequence[str], model: type[Row], faults: Faults) -> bool:
    """Whether the rows can be read at all: also where a column is not known, for what else is wrong."""
    wrong: list[BadTable] = []
    readable = True
    fields = {name: field for name, field in model.model_fields.items() if name not in FILLED_BY_READER}
    for index, name in enumerate(header):
        if name in header[:index]:
            wrong.append(BadTable(file, line, name, "the column appears twice"))
            readable = False
        elif (
            name not in fields and len(header) == 1 and (between := next((each for each in ";\t" if each in name), ""))
        ):
            what = {"\t": "tabs"}.get(between, between)
            faults.note(BadTable(file, line, None, f"the cells are separated by {what} and must be by commas"))
            return False
        elif name not in fields:
            there = ", ".join(fields)
            wrong.append(BadTable(file, line, name or str(index + 1), f"no such column; there are: {there}"))
    for name, field in fields.items():
        if field.is_required() and name not in header:
            wrong.append(BadTable(file, line, name, "the column is missing"))
            readable = False
    for error in wrong:
        faults.note(error)
    return readable


def _cell_error(file: str, row: Mapping[str, Any], first: Mapping[str, Any]) -> BadTable:
    _, *rest = first["loc"]
    column = str(rest[0]) if rest else None
    if first["type"] == "missing":
        reason = "must not be empty"
    else:
        reason = str(first["msg"]).removeprefix("Value error, ")
        given = row.get(column) if column is not None else None
        if given is not None and repr(given) not in reason:
            reason += f", not {given!r}"
    return BadTable(file, row["line"], column, reason)


def name_of(path: str) -> str:
    """The file's name without its folders and suffix: ``added/ends-own.csv`` gives ``ends-own``."""
    return path.rsplit("/", 1)[-1].removesuffix(".csv")


def read_family(texts: Mapping[str, str], family: str, model: type[R], faults: Faults = AT_ONCE) -> tuple[R, ...]:
    """All rows of ``FAMILY.csv`` and every ``FAMILY-*.csv`` among ``texts``: files sorted, the user's own last."""
    rows: list[R] = []
    for path in sorted(texts, key=lambda path: (path.startswith(ADDED), path)):
        if path.endswith(".csv") and belongs(path, family):
            rows += read_table(path, texts[path], model, faults)
    return tuple(rows)


def belongs(path: str, family: str) -> bool:
    """Whether the file is one of the family's."""
    return name_of(path) == family or name_of(path).startswith(f"{family}-")


def check_families(texts: Mapping[str, str], families: Iterable[str], faults: Faults = AT_ONCE) -> None:
    """Note :class:`BadTable` for an added CSV that belongs to no family and for a TOML that takes the place of none: a
    misspelt name must not pass in silence.

    ``families`` : those that are known beside the project's own tables among ``texts``.
    """
    known = {*families, *(name_of(path) for path in texts if path.endswith(".csv") and not path.startswith(ADDED))}
    for path in texts:
        if path.startswith(ADDED) and path.endswith(".csv") and not any(belongs(path, family) for family in known):
            first = sorted(family for family in known if not any(family.startswith(f"{each}-") for each in known))
            faults.note(BadTable(path, None, None, f"no such table; names begin with one of {', '.join(first)}"))
        elif path.startswith(ADDED) and path.endswith(".toml"):
            own = ", ".join(sorted(name for name in texts if name.endswith(".toml") and not name.startswith(ADDED)))
            faults.note(BadTable(path, None, None, f"takes the place of nothing; there are {own}"))


def merged(texts: Mapping[str, str], extra: Mapping[str, str] | None) -> dict[str, str]:
    """The project's files and the user's own: tables are added, under ``added/``; a TOML takes its like's place."""
    joined = dict(texts)
    for path, text in (extra or {}).items():
        joined[path if path in texts and path.endswith(".toml") else ADDED + path] = text
    return joined


def unique(rows: Iterable[R], column: str = "id", faults: Faults = AT_ONCE) -> dict[str, R]:
    """The rows by a column that must not repeat; of two the second is wrong, and kept for what else is wrong in it."""
    found: dict[str, R] = {}
    for row in rows:
        key = getattr(row, column)
        if (before := found.get(key)) is not None:
            faults.note(row.bad(column, f"{key!r} is already in {before.file}, row {before.line}"))
            key = f"{key}, again in {row.file}, row {row.line}"
        found[key] = row
    return found


def read_rows(
    texts: Mapping[str, str],
    family: str,
    model: type[R],
    sources: Mapping[str, object] | None = None,
    faults: Faults = AT_ONCE,
    column: str = "id",
) -> dict[str, R]:
    """The rows of a family by id, or by another ``column`` that must not repeat. Notes where it does, and with
    ``sources`` a source that is not among them."""
    rows = unique(read_family(texts, family, model, faults), column, faults)
    check_sources(rows.values(), sources, faults)
    return rows


def no_check(row: Row) -> None:
    """The check of a row where nothing else is known that it could contradict."""


def check_sources(rows: Iterable[Row], sources: Mapping[str, object] | None, faults: Faults = AT_ONCE) -> None:
    """Note a :class:`BadTable` where a row's ``source`` is not in the bibliography; nothing where there is none."""
    for row in rows:
        if sources is not None and faults.lacks(row.source, sources):
            faults.note(row.bad("source", f"{row.source!r} is not in sources.csv"))
