"""The language of the tests: the real grammar, with a few names of series and hose types of their own tables' kind."""

from __future__ import annotations

import pytest

from voicefit.interpretation import Language
from voicefit.resources import grammar_folder, read_texts
from voicefit.sentences import open_classifier

SERIES = {
    "flare37": ("JIC", "thirty seven degree flare"),
    "orfs": ("ORFS", "face seal"),
    "orb": ("ORB", "o ring boss"),
    "npt": ("NPT",),
    "bspp-cone60": ("BSPP", "BSP"),
    "bspt": ("BSPT",),
    "flare30-g": ("JIS", "thirty degree flare"),
    "flare30-m": ("thirty degree flare", "metric thirty degree flare"),
    "flange61": ("code sixty one",),
    "banjo": ("banjo",),
}
HOSES = {"sae-r2": ("R two", "one hundred R two"), "en-853-2sn": ("two SN",), "en-856-4sh": ("four SH",)}


@pytest.fixture(scope="session")
def texts() -> dict[str, str]:
    return read_texts(grammar_folder(), ".toml")


@pytest.fixture(scope="session")
def language(texts: dict[str, str]) -> Language:
    return Language.from_texts(texts, SERIES, HOSES, classifier=open_classifier())
