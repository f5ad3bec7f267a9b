"""Finds the neural model's files and holds them to their checksums.

How it works: the folder that the user names, or the one that ships inside this package; there is no third place. Each
folder of weights has its ``SHA256SUMS``; the public weights, which have none, are known by theirs.

Duty: a folder whose files are what they should be, or ``Missing`` that names the file and the checksum expected. It
must not download, and must not pass over a folder for another.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from voicefit.errors import Missing

ENCODER, DECODER, TOKENS = "encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin"
FILES = (ENCODER, DECODER, TOKENS)
SUMS = "SHA256SUMS"
SHIPPED: Final = Path(__file__).with_name("model")
PUBLIC: Final[Mapping[str, str]] = {
    ENCODER: "94e90a4654fc45cdfedb77c4c08e1739f48862998e58fada384b25118134f221",
    DECODER: "cf524c4862d36e9e5ab032eddc73637efd822d70e868ac575cf1a46e1e4708a0",
    TOKENS: "6884b35fd6377d4c4d32336a0bc152f36b64d1e45b6503683cdc238250a8472d",
}
"""SHA-256 of the model tiny-en in the wheel moonshine-voice 0.0.73, which the shipped weights were trained from."""


def find_weights(named: str | None = None) -> Path:
    """The folder with the model: the one the user names, else the one that ships with the tool.

    Raises
    ------
    Missing
        A file is not there, is cut short, or is another than its checksum says.
    """
    folder = SHIPPED if named is None else Path(named).expanduser()
    remedy = "install voicefit again" if named is None else f"name a folder that holds {', '.join(FILES)} and {SUMS}"
    if absent := [name for name in FILES if not (folder / name).is_file()]:
        expected = "; ".join(f"{name} has SHA-256 {_expected(folder)[name]}" for name in absent)
        raise Missing(f"{', '.join(absent)} in the model folder {folder}", f"{remedy} ({expected})")
    found = {name: checksum(folder / name) for name in FILES}
    if found == PUBLIC:
        return folder
    expected_sums = _expected(folder)
    for name, sum_ in found.items():
        if sum_ != expected_sums[name]:
            size = (folder / name).stat().st_size
            raise Missing(
                f"{folder / name} as it should be: its SHA-256 is {sum_} ({size} bytes), "
                f"{expected_sums[name]} is expected",
                remedy,
            )
    return folder


def checksum(path: Path) -> str:
    """SHA-256 in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _expected(folder: Path) -> Mapping[str, str]:
    """What ``SHA256SUMS`` of the folder says of the three files; of the public weights where it has no such file.

    Raises ``Missing`` naming a file that it says nothing of.
    """
    path = folder / SUMS
    if not path.is_file():
        if folder == SHIPPED:
            raise Missing(str(path), "install voicefit again")
        return PUBLIC
    lines = (line.split() for line in path.read_text(encoding="utf-8").splitlines())
    sums = {pair[1].removeprefix("*"): pair[0] for pair in lines if len(pair) == 2}
    if absent := [name for name in FILES if name not in sums]:
        raise Missing(f"the checksum of {', '.join(absent)} in {path}", "install voicefit again")
    return sums
