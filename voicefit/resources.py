"""Where the files of ``grammar/`` and ``data/`` are: beside the package in a checkout, inside it in a wheel.

Duty: read them as text for the core rooms, which do no I/O. It must not parse.
"""

from __future__ import annotations

from pathlib import Path

from voicefit.errors import BadInput, BadTable, Missing

DATA_SUFFIXES = (".csv", ".toml")

_HERE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    for folder in (_HERE / f"_{name}", _HERE.parent / name):
        if folder.is_dir():
            return folder
    raise Missing(f"the folder {name}/", "install voicefit again")


def grammar_folder() -> Path:
    return _folder("grammar")


def data_folder() -> Path:
    return _folder("data")


def read_data(own: Path | None = None) -> dict[str, str]:
    """The tables and numbers of ``data/``, joined with those of the user's own folder, by path relative to either.

    Everything that reads a user's folder reads it here. Raises ``BadInput`` where ``own`` is no folder or holds no
    table, ``BadTable`` where a file is not text or replaces nothing: see :func:`voicefit.catalogue.tables.merged`.
    """
    from voicefit.catalogue.tables import ADDED, merged

    data = read_texts(data_folder(), *DATA_SUFFIXES)
    if own is None:
        return data
    if not own.is_dir():
        raise BadInput(f"{own} is not a folder of tables")
    added = read_texts(own, *DATA_SUFFIXES, called=ADDED)
    if not added:
        raise BadInput(f"{own}: there is no table in it; names end in {' or '.join(DATA_SUFFIXES)}")
    return merged(data, added)


def read_texts(folder: Path, *suffixes: str, called: str = "") -> dict[str, str]:
    """All files below ``folder`` with one of the suffixes, by path relative to it, in sorted order; no hidden files.

    ``called`` : put before the path in errors. Raises ``BadTable`` for a file that is not UTF-8; a table comes with the
    sign for what could not be read (U+FFFD) in its place, which the table's reader tells with whatever else is wrong.
    """
    found = {}
    for path in sorted(folder.rglob("*")):
        suffix = path.suffix.casefold()
        if path.is_file() and suffix in suffixes and not path.name.startswith("."):
            name = path.relative_to(folder).with_suffix(suffix).as_posix()
            found[name] = _text(path, called + name)
    return found


def is_named_pipe(path: Path) -> bool:
    """Whether it is a pipe that lies in a folder: reading it waits until somebody writes, which may be never.

    What a shell hands over (``/dev/stdin``, ``/dev/fd/63``) has its writer.
    """
    try:
        return path.is_fifo() and path.absolute().parts[1:2] not in (("dev",), ("proc",))
    except OSError:
        return False


def _text(path: Path, name: str) -> str:
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadTable(name, None, None, f"cannot read ({error.strerror})") from None
    try:
        return content.decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        if path.suffix.casefold() == ".csv":
            return content.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n")
        row = content[: error.start].count(b"\n") + 1
        raise BadTable(name, row, None, "not text in UTF-8; save it as UTF-8") from None
