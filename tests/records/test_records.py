"""The nouns: what makes two of them the same, and what is read out of one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests.matching.saying import option, said
from voicefit.records import (
    Advice,
    Alternative,
    Certainty,
    Check,
    Command,
    Hedge,
    Measurand,
    Option,
    Reading,
    Reason,
    Rejection,
    Transcript,
    Utterance,
    item_key,
    option_key,
)


def test_a_second_of_sound_is_sixteen_thousand_samples() -> None:
    assert Utterance(np.zeros(8_000, dtype=np.float32)).duration_s == 0.5


def test_the_text_of_a_transcript_is_its_best() -> None:
    assert Transcript((Alternative("nineteen", -0.1), Alternative("ninety", -2.3))).text == "nineteen"
    assert Transcript(()).text == ""


def test_the_same_said_in_other_words_is_one_item() -> None:
    pitch = Reading("nineteen pitch", (option("pitch", "19 tpi", -0.3),))
    assert item_key(pitch) == item_key(replace(pitch, heard="pitch nineteen", options=(option("pitch", "19 tpi"),)))
    command = Command("why", "why", (pitch,), "orfs")
    assert item_key(command) == item_key(replace(command, heard="why that"))
    rejection = Rejection("blah", Reason.OUT_OF_RANGE, "900")
    assert item_key(rejection) == item_key(replace(rejection, text="bleh"))


@pytest.mark.parametrize(
    "other",
    [
        option("pitch", "18 tpi"),
        option("outside_diameter", "19 mm"),
        option("pitch", "19 tpi", negated=True),
        replace(option("pitch", "19 tpi"), hedge=Hedge.ABOUT),
    ],
)
def test_what_is_said_differently_is_another_item(other: Option) -> None:
    assert option_key(other) != option_key(option("pitch", "19 tpi"))
    assert item_key(Reading("", (other,))) != item_key(said("pitch", "19 tpi"))


def test_threads_arguments_and_details_tell_items_apart() -> None:
    reading, command, rejection = said("pitch", "19 tpi"), Command("why", "why"), Rejection("a", Reason.SILENCE)
    assert item_key(replace(reading, threads_engaged=8)) != item_key(reading)
    changes: tuple[dict[str, Any], ...] = ({"name": "what-else"}, {"argument": "orfs"}, {"readings": (reading,)})
    for change in changes:
        assert item_key(replace(command, **change)) != item_key(command)
    assert item_key(replace(rejection, text="b")) != item_key(rejection)
    assert item_key(replace(rejection, reason=Reason.NOISE)) != item_key(rejection)


def test_advice_names_its_check_and_whether_it_concludes() -> None:
    first, second = Check("pitch", Measurand.PITCH, 10.0), Check("gender", Measurand.GENDER, 3.0)
    assert Advice(checks=(first, second)).check is first and Advice().check is None
    assert [Advice(certainty=each).identified for each in Certainty] == [False, False, False, True]


def test_a_reading_is_of_all_that_its_options_are_of() -> None:
    both = Reading("", (option("pitch", "19 tpi"), option("outside_diameter", "19 mm"), option("pitch", "19 mm")))
    assert both.measurands == {Measurand.PITCH, Measurand.OUTSIDE_DIAMETER}
