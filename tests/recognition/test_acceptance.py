from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from voicefit.errors import BadTable
from voicefit.recognition.acceptance import TABLE, Acceptance, read_acceptance
from voicefit.recognition.signal import Prepared
from voicefit.records import Reason

SURE = {
    "log_odds": 10.0,
    "log_odds_alone": 10.0,
    "log_odds_alike": 10.0,
    "log_prior": 0.0,
    "log_probability": -1.0,
    "log_ratio": 0.0,
    "snr_db": 40.0,
}
DOUBTFUL = SURE | {"log_odds": 0.2, "log_probability": -1.5}
FOREIGN = SURE | {"log_probability": -8.0, "log_ratio": -12.0}


@pytest.fixture(scope="module")
def table() -> Acceptance:
    return read_acceptance()


def sound(speech_dbfs: float = -25.0, clipped: bool = False) -> Prepared:
    return Prepared(np.zeros(1, np.float32), speech_dbfs, -70.0, clipped)


def test_the_sure_is_taken_and_everything_else_has_its_reason(table: Acceptance) -> None:
    def reason(scores: dict[str, float], free: str = "words", prepared: Prepared | None = None) -> Reason | None:
        verdict = table.judge(scores, "heard", free, prepared or sound())
        return verdict.reason if verdict else None

    assert reason(SURE) is None
    assert reason(DOUBTFUL) is Reason.LOW_CONFIDENCE
    assert reason(SURE | {"log_odds_alone": 0.5}) is Reason.LOW_CONFIDENCE  # only the context decided
    assert reason(SURE | {"log_odds_alike": 6.5}) is Reason.LOW_CONFIDENCE  # fifteen, or fifty
    assert reason(SURE | {"log_odds_alike": 7.5}) is None
    assert reason(SURE | {"log_odds_alike": 7.5, "snr_db": 15.0}) is Reason.LOW_CONFIDENCE  # and noise hides the end
    assert reason(SURE | {"log_odds_alike": 9.0, "snr_db": 15.0}) is None
    assert reason(SURE | {"log_prior": -3.5}) is Reason.LOW_CONFIDENCE  # no such value
    assert reason(FOREIGN) is Reason.OUT_OF_GRAMMAR
    assert reason(FOREIGN, free="...") is Reason.NOISE
    assert reason(DOUBTFUL, prepared=sound(clipped=True)) is Reason.TOO_LOUD
    assert reason(DOUBTFUL, prepared=sound(speech_dbfs=-60)) is Reason.TOO_QUIET
    assert reason(SURE, prepared=sound(speech_dbfs=-60)) is None


def test_in_the_quiet_less_is_enough(table: Acceptance) -> None:
    def as_sure_as(probability: float) -> dict[str, float]:
        at_zero = table.confidence(SURE | {"log_odds": 0.0})
        shift = math.log(probability / (1 - probability)) - math.log(at_zero / (1 - at_zero))
        return SURE | {"log_odds": shift / table.weights["log_odds"]}

    between = as_sure_as((table.accept_from + table.accept_from_quiet) / 2)
    assert table.takes(between | {"snr_db": table.quiet_from_db})
    assert not table.takes(between | {"snr_db": table.quiet_from_db - 1})
    assert not table.takes(as_sure_as(table.accept_from_quiet - 0.02))


def test_confidence_falls_with_every_doubt(table: Acceptance) -> None:
    sure = table.confidence(SURE)
    assert sure > table.accept_from
    for name, worse in {"log_odds": 1.0, "log_probability": -3.0, "log_ratio": -6.0}.items():
        assert table.confidence(SURE | {name: worse}) < sure


def test_what_is_written_freely_is_trusted_more_and_less_where_it_is_hardly_heard(table: Acceptance) -> None:
    def free(log_probability: float) -> dict[str, float]:
        return SURE | {"log_probability": log_probability, "free": 1.0, "free_log_probability": log_probability}

    assert table.takes(free(-2.5)) and not table.takes(SURE | {"log_probability": -2.5})
    assert table.confidence(free(-4.0)) < table.confidence(free(-2.5))
    assert not table.takes(free(-2.5) | {"log_odds": 0.2})


def test_a_wrong_table_names_the_key(tmp_path: Path) -> None:
    text = TABLE.read_text(encoding="utf-8")
    path = tmp_path / "hearing.toml"
    path.write_text(text.replace("accept_from", "accept_form"), encoding="utf-8")
    with pytest.raises(BadTable, match="accept_form"):
        read_acceptance(path)
