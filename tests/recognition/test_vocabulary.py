from pathlib import Path

import pytest

from voicefit.errors import BadInput
from voicefit.recognition.vocabulary import END, read_vocabulary
from voicefit.recognition.weights import TOKENS, find_weights


def test_the_models_own_file() -> None:
    vocabulary = read_vocabulary(find_weights() / TOKENS)
    assert len(vocabulary.written) == 32_768
    assert vocabulary.written[END] == b"</s>" and vocabulary.reduced[END] == b""
    one = [token for token, word in enumerate(vocabulary.reduced) if word == b" one"]
    assert {vocabulary.written[token] for token in one} == {b" one", b" One"}


def test_lengths_in_one_byte_and_in_two(tmp_path: Path) -> None:
    long = b"x" * 300
    path = tmp_path / "tokens"
    path.write_bytes(b"\x05<unk>" + b"\x03<s>" + b"\x04</s>" + b"\x00" + bytes([300 % 128 + 128, 300 // 128]) + long)
    assert read_vocabulary(path).written == (b"<unk>", b"<s>", b"</s>", b"", long)


def test_capitals_hyphens_and_quotes_are_reduced(tmp_path: Path) -> None:
    path = tmp_path / "tokens"
    tokens = [b"<unk>", b"<s>", b"</s>", "▁Thirty".encode(), b"-S", "’t".encode(), "▁▁".encode(), b"\n", b"<<ST_1>>"]
    path.write_bytes(b"".join(bytes([len(token)]) + token for token in tokens))
    assert read_vocabulary(path).reduced[3:] == (b" thirty", b" s", b"'t", b"", b"", b"")


def test_a_file_cut_short_is_named(tmp_path: Path) -> None:
    path = tmp_path / "tokens"
    path.write_bytes(b"\x03<s>\x09</s>")
    with pytest.raises(BadInput, match="at byte 5 is cut off"):
        read_vocabulary(path)
