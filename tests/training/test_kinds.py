"""The sentences that the classifier is trained on, and that the shipped one was trained on their kinds."""

from __future__ import annotations

from training.kinds.rows import kinds_of, marked, rows_of
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
    for name, rows in ROWS.items():
        if name != "words":
            assert len({row.text for row in rows}) > 0.99 * len(rows), name


def test_sentences_are_as_transcribed_speech() -> None:
    for name, rows in ROWS.items():
        for row in rows:
            assert row.text == row.text.strip() and row.text, (name, row)
            assert name in ("words", "typed") or not any(map(str.isdigit, row.text)), row


def test_what_is_told_lies_in_the_sentence() -> None:
    for name, rows in ROWS.items():
        for row in rows:
            assert row.kind or row.told is not None, (name, row)
            ends = [place for span in row.told or () for place in span]
            assert ends == sorted(set(ends)) and (not ends or ends[-1] <= len(row.text)), (name, row)


def test_marks_are_places_of_the_sentence() -> None:
    kind, text, told = marked("the tag says nine, [outside] it's, er, [twenty mil]")
    assert (kind, [text[start:end] for start, end in told or ()]) == ("", ["outside", "twenty mil"])
