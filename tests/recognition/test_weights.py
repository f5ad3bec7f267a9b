from __future__ import annotations

import sys
from pathlib import Path

import pytest

from voicefit.errors import Missing
from voicefit.recognition import weights
from voicefit.recognition.network import Network


def model_in(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name in weights.FILES:
        (folder / name).write_bytes(b"x")
    return folder


@pytest.fixture
def places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, Path]:
    package, cache = tmp_path / "package", tmp_path / "cache"
    monkeypatch.setattr(weights, "package_folder", lambda: package)
    monkeypatch.setattr(weights, "cache_folder", lambda: cache)
    return package, cache


def test_a_named_folder_comes_first_then_the_package_then_the_cache(tmp_path: Path, places: tuple[Path, Path]) -> None:
    package, cache = places
    named = model_in(tmp_path / "named")
    model_in(cache)
    assert weights.find_weights() == cache
    model_in(package)
    assert weights.find_weights() == package
    assert weights.find_weights(str(named)) == named


def test_a_package_without_the_files_is_passed_over(places: tuple[Path, Path]) -> None:
    package, cache = places
    package.mkdir()
    (package / weights.ENCODER).write_bytes(b"x")
    model_in(cache)
    assert weights.find_weights() == cache


def test_a_named_folder_is_never_passed_over(tmp_path: Path, places: tuple[Path, Path]) -> None:
    model_in(places[0])
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / weights.TOKENS).write_bytes(b"x")
    with pytest.raises(Missing, match=r"encoder_model\.ort, decoder_model_merged\.ort in the model folder .*half"):
        weights.find_weights(str(tmp_path / "half"))


def test_nothing_anywhere_says_how_to_get_it(places: tuple[Path, Path]) -> None:
    with pytest.raises(Missing, match=r"pip install moonshine-voice==0\.0\.73.*or put .*cache"):
        weights.find_weights()


def test_the_package_is_found_without_importing_it() -> None:
    sys.modules.pop(weights.PACKAGE, None)
    folder = weights.package_folder()
    assert folder is not None and not weights.lacking(folder)
    assert weights.PACKAGE not in sys.modules


def test_a_broken_model_is_named(tmp_path: Path) -> None:
    with pytest.raises(Missing, match=r"a readable .*encoder_model\.ort"):
        Network(model_in(tmp_path))
