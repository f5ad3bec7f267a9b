from __future__ import annotations

import pytest

from voicefit.catalogue import CandidateEnd, Catalogue, load_catalogue
from voicefit.ordering.adapters import Chain
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


def chain_to_series(ordering: Ordering, start: CandidateEnd | str, series: str) -> tuple[CandidateEnd, Chain] | None:
    """The end of a series that is reached best."""
    return ordering.chain_to_any(start, [end for end in ordering.catalogue.ends if end.series == series])
