"""Where the files of ``grammar/`` and ``data/`` are: beside the package in a checkout, inside it in a wheel.

Duty: read them as text for the core rooms, which do no I/O. It must not parse.
"""

from __future__ import annotations

from pathlib import Path

from voicefit.errors import Missing

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


def read_texts(folder: Path, *suffixes: str) -> dict[str, str]:
    """All files below ``folder`` with one of the suffixes, by path relative to it, in sorted order."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix in suffixes
    }
