from __future__ import annotations

import pytest

from voicefit.catalogue import Catalogue, load_catalogue
from voicefit.matching import Advisor, Checks, Matcher, MeasurementModel, Prior, load_checks, load_model, load_prior
from voicefit.resources import data_folder, grammar_folder, read_texts


@pytest.fixture(scope="session")
def data() -> dict[str, str]:
    return read_texts(data_folder(), ".csv", ".toml")


@pytest.fixture(scope="session")
def grammar() -> dict[str, str]:
    return read_texts(grammar_folder(), ".toml")


@pytest.fixture(scope="session")
def catalogue(data: dict[str, str]) -> Catalogue:
    return load_catalogue({name: text for name, text in data.items() if name.endswith(".csv")})


@pytest.fixture(scope="session")
def model(data: dict[str, str]) -> MeasurementModel:
    return load_model(data)


@pytest.fixture(scope="session")
def prior(data: dict[str, str]) -> Prior:
    return load_prior(data)


@pytest.fixture(scope="session")
def checks(grammar: dict[str, str]) -> Checks:
    return load_checks(grammar)


@pytest.fixture(scope="session")
def matcher(catalogue: Catalogue, prior: Prior, model: MeasurementModel, checks: Checks) -> Matcher:
    return Matcher(catalogue, prior, model, checks)


@pytest.fixture(scope="session")
def advisor(matcher: Matcher, checks: Checks) -> Advisor:
    return Advisor(matcher, checks)
