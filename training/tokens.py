"""Text to the model's tokens and back, by the pieces in ``tokenizer.bin``.

The pieces are merged as byte-pair encoding merges: of all neighbours that are a piece together, the one with the
lowest number first. What no piece covers is written in single bytes.

Duty: encode and decode. It needs neither the tool nor torch.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

START, END = 1, 2
_FIRST_BYTE, _FIRST_PIECE = 3, 259
_SPACE = "▁"


class Tokens:
    def __init__(self, path: Path) -> None:
        data = path.read_bytes()
        pieces: list[bytes] = []
        at = 0
        while at < len(data):
            length = data[at]
            at += 1
            if length >= 128:
                length += 128 * data[at] - 128
                at += 1
            pieces.append(data[at : at + length])
            at += length
        self._pieces = pieces
        self._numbers = {piece: n for n, piece in reversed(list(enumerate(pieces))) if piece and n >= _FIRST_PIECE}
        self._word = cache(self._encode_word)

    def encode(self, text: str) -> list[int]:
        """Start, the pieces, end."""
        return [START, *(token for word in text.split() for token in self._word(word)), END]

    def decode(self, tokens: list[int]) -> str:
        written = b"".join(self._bytes(token) for token in tokens if token not in (START, END))
        return written.decode("utf-8", "replace").replace(_SPACE, " ").strip()

    def _bytes(self, token: int) -> bytes:
        piece = self._pieces[token]
        return bytes([int(piece[3:5], 16)]) if len(piece) == 6 and piece.startswith(b"<0x") else piece

    def _encode_word(self, word: str) -> tuple[int, ...]:
        parts = [letter.encode() for letter in _SPACE + word]
        while True:
            pairs = [(self._numbers.get(parts[i] + parts[i + 1]), i) for i in range(len(parts) - 1)]
            known = [(number, i) for number, i in pairs if number is not None]
            if not known:
                break
            _, i = min(known)
            parts[i : i + 2] = [parts[i] + parts[i + 1]]
        numbers: list[int] = []
        for part in parts:
            number = self._numbers.get(part)
            numbers += [number] if number is not None else [_FIRST_BYTE + byte for byte in part]
        return tuple(numbers)
