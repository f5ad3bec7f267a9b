from __future__ import annotations

import csv
import importlib.util
from collections.abc import Iterable
from pathlib import Path

import pytest

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.catalogue.ends import Figure
from voicefit.resources import data_folder, read_texts


@pytest.fixture(scope="session")
def texts() -> dict[str, str]:
    """The tables as they are shipped."""
    return read_texts(data_folder(), ".csv")


@pytest.fixture(scope="session")
def catalogue(texts: dict[str, str]) -> Catalogue:
    return load_catalogue(texts)


def warehouse_table(name: str) -> list[dict[str, str]]:
    """An open table of bd_warehouse (PyPI), read without importing the package, which wants a CAD kernel."""
    spec = importlib.util.find_spec("bd_warehouse")
    assert spec is not None and spec.origin is not None, "pip install --no-deps bd_warehouse"
    path = Path(spec.origin).parent / name
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def span(figures: Iterable[Figure]) -> tuple[float, float]:
    """Least and greatest over all figures, which are of one unit."""
    known = tuple(figures)
    assert len({figure.unit for figure in known}) == 1
    return min(figure.low for figure in known), max(figure.high for figure in known)
