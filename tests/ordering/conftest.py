from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.ordering.room import Ordering
from voicefit.resources import data_folder, read_texts


@pytest.fixture(scope="session")
def data() -> dict[str, str]:
    return read_texts(data_folder(), ".csv", ".toml")


@pytest.fixture(scope="session")
def catalogue(data: dict[str, str]) -> Catalogue:
    return load_catalogue(data)


@pytest.fixture(scope="session")
def ordering(catalogue: Catalogue, data: dict[str, str]) -> Ordering:
    return Ordering.build(catalogue, data)
