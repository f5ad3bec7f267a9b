"""The model's written tokens: read from its file, and reduced to the letters a grammar is written in.

Duty: bytes of each token, and their reduced form (lower case, hyphens as spaces), so that one grammar in lower
case serves every way the model has of writing a text. It must not know any grammar.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from voicefit.errors import BadInput

START, END = 1, 2
_SPACE = "▁".encode()
_SPECIAL_PREFIX = b"<<ST_"  # placeholders without sound


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """``written``: each token's bytes, spaces plain. ``reduced``: the same for the grammar, empty if unusable there."""

    written: tuple[bytes, ...]
    reduced: tuple[bytes, ...]

    def text(self, tokens: tuple[int, ...]) -> str:
        """What the model wrote, with its own capitals and stops."""
        return b"".join(self.written[token] for token in tokens).decode("utf-8", "replace").strip()


def _reduce(written: bytes) -> bytes:
    """Lower case; hyphens become spaces. What no grammar can want (control bytes, two spaces) becomes empty."""
    text = written.replace(b"-", b" ").replace("’".encode(), b"'").lower()
    if b"  " in text or any(byte < 32 for byte in text):
        return b""
    return text


def read_vocabulary(path: Path) -> Vocabulary:
    """Read the token file: byte strings, each after its length in one byte, or two when the first is 128 or more.

    Raises ``BadInput`` naming the file and the offset when a length points past the end.
    """
    data = path.read_bytes()
    tokens: list[bytes] = []
    at = 0
    while at < len(data):
        length = data[at]
        at += 1
        if length >= 128 and at < len(data):
            length += 128 * data[at] - 128
            at += 1
        if at + length > len(data):
            raise BadInput(f"{path}: a token at byte {at} is cut off")
        tokens.append(data[at : at + length])
        at += length
    written = tuple(token.replace(_SPACE, b" ") for token in tokens)
    reduced = tuple(
        b"" if token <= END or word.startswith(_SPECIAL_PREFIX) else _reduce(word) for token, word in enumerate(written)
    )
    return Vocabulary(written, reduced)
