from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path

import pytest

from voicefit.errors import Missing
from voicefit.recognition import weights
from voicefit.recognition.network import Network


def model_in(folder: Path, content: bytes = b"x") -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name in weights.FILES:
        (folder / name).write_bytes(content)
    sums = [f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name in weights.FILES]
    (folder / weights.SUMS).write_text("".join(sums), encoding="utf-8")
    return folder


def test_the_weights_that_ship_are_found_and_are_what_they_should_be() -> None:
    assert weights.find_weights() == weights.SHIPPED
    assert sum((weights.SHIPPED / name).stat().st_size for name in weights.FILES) <= 44_000_000
    assert "MIT" in (weights.SHIPPED / "LICENSE").read_text(encoding="utf-8")
    assert "changed" in (weights.SHIPPED / "NOTICE.md").read_text(encoding="utf-8")


def test_a_named_folder_is_taken(tmp_path: Path) -> None:
    named = model_in(tmp_path / "named")
    assert weights.find_weights(str(named)) == named


def test_the_public_weights_need_no_sums_of_their_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    named = model_in(tmp_path / "public")
    (named / weights.SUMS).unlink()
    monkeypatch.setattr(weights, "PUBLIC", {name: hashlib.sha256(b"x").hexdigest() for name in weights.FILES})
    assert weights.find_weights(str(named)) == named


def test_missing_files_are_named_with_the_checksum_expected(tmp_path: Path) -> None:
    named = model_in(tmp_path / "half")
    (named / weights.ENCODER).unlink()
    expected = hashlib.sha256(b"x").hexdigest()
    with pytest.raises(Missing, match=rf"encoder_model\.ort in the model folder .*half.*{expected}"):
        weights.find_weights(str(named))


@pytest.mark.parametrize(("content", "size"), [(b"", "0 bytes"), (b"y", "1 bytes")], ids=["cut short", "foreign"])
def test_another_file_is_named_with_the_checksum_expected(tmp_path: Path, content: bytes, size: str) -> None:
    named = model_in(tmp_path)
    (named / weights.DECODER).write_bytes(content)
    expected = hashlib.sha256(b"x").hexdigest()
    with pytest.raises(Missing, match=rf"{re.escape(str(named / weights.DECODER))}.*{size}.*{expected} is expected"):
        weights.find_weights(str(named))


def test_a_folder_without_sums_is_held_to_the_public_ones(tmp_path: Path) -> None:
    named = model_in(tmp_path)
    (named / weights.SUMS).unlink()
    with pytest.raises(Missing, match=weights.PUBLIC[weights.ENCODER]):
        weights.find_weights(str(named))


def test_what_ships_is_held_to_its_sums_and_nothing_else_is_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shipped = model_in(tmp_path / "model")
    monkeypatch.setattr(weights, "SHIPPED", shipped)
    assert weights.find_weights() == shipped
    shutil.copyfile(shipped / weights.SUMS, shipped / weights.TOKENS)
    with pytest.raises(Missing, match=r"tokenizer\.bin as it should be.*install voicefit again"):
        weights.find_weights()
    (shipped / weights.SUMS).unlink()
    with pytest.raises(Missing, match="SHA256SUMS"):
        weights.find_weights()


def test_a_broken_model_is_named(tmp_path: Path) -> None:
    with pytest.raises(Missing, match=r"a readable .*encoder_model\.ort"):
        Network(model_in(tmp_path))
