"""The sentences that the classifier is trained on, and that the shipped one was trained on their kinds."""

from __future__ import annotations

from training.kinds.rows import kinds_of, rows_of
from voicefit.interpretation.grammar import CATEGORIES
from voicefit.records import Measurand
from voicefit.sentences import open_classifier

ROWS = rows_of()


def test_the_shipped_classifier_knows_the_kinds_of_the_sentences() -> None:
    assert list(open_classifier().kinds) == kinds_of(ROWS)


def test_every_value_is_one_of_its_measurand() -> None:
    for kind in kinds_of(ROWS):
        measurand, is_value, value = kind.partition("=")
        if is_value and Measurand(measurand) is not Measurand.COUNTRY:
            assert value in CATEGORIES[Measurand(measurand)], kind


def test_no_sentence_has_two_kinds_in_one_file() -> None:
    """What was said of it twice, in one hand, was said so: "it is the nut" may be a gender and a side."""
    for name, rows in rows_of().items():
        if name != "words":
            assert len({text for _, text in rows}) > 0.99 * len(rows), name


def test_sentences_are_as_transcribed_speech() -> None:
    for name, rows in ROWS.items():
        for kind, text in rows:
            assert text == text.strip() and text, (name, kind)
            assert name == "words" or not any(map(str.isdigit, text)), text
