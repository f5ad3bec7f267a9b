"""A question that names an end is answered for that one, by its name; nothing it names goes on record."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

FLARE = "half inch j i c male outside three quarter inch sixteen pitch"
PARALLEL = "half inch british parallel female sixty degree cone"


def said_after(knowledge: Knowledge, before: str, question: str) -> str:
    """The reply to a question; the readings stay as they were."""
    talk = Talk(knowledge)
    if before:
        talk.say(before)
    readings = [kept.reading for kept in talk.session.state.record.work.piece.readings]
    reply = talk.say(question)
    assert [kept.reading for kept in talk.session.state.record.work.piece.readings] == readings
    return reply.casefold()


@pytest.mark.parametrize(
    ("before", "question", "answer"),
    [
        (PARALLEL, "how tight is a quarter inch", "of one-quarter british parallel"),
        (PARALLEL, "what pressure does the three quarter take", "of three-quarters british parallel"),
        (PARALLEL, "which dash is three eighths", "dash six is three-eighths"),
        (FLARE, "torque for the dash sixteen", "of one inch thirty seven degree flare, male, dash sixteen"),
        (FLARE, "and for a one inch what torque", "of one inch thirty seven degree flare"),
        (FLARE, "on a three quarter, what pressure", "of three-quarters thirty seven degree flare"),
        (FLARE, "what spanner fits the dash ten", "of five-eighths thirty seven degree flare"),
        (FLARE, "tightening figure for the five eighths", "of five-eighths thirty seven degree flare"),
        ("", "what size thread is dash six j i c", "of three-eighths thirty seven degree flare"),
        (FLARE, "what torque for a sixteen heavy", "of sixteen millimeter heavy"),
        (FLARE, "adapter to half inch n p t", "adapter from one-half thirty seven degree flare, female"),
        (FLARE, "adapter from this to n p t male half inch", "one-half n p t taper pipe, male"),
        ("", "torque for an m twenty two light cone", "of fifteen millimeter light"),
        ("", "torque of the m thirty metric twenty four degree cone", "thread m thirty by two"),
        ("", "torque for the twenty two light", "of twenty-two millimeter light"),
        ("", "torque for the s twenty", "of twenty millimeter heavy"),
        (FLARE, "dash twelve torque", "of three-quarters thirty seven degree flare, male, dash twelve"),
        (FLARE, "torque on dash six", "of three-eighths thirty seven degree flare, male, dash six"),
        (FLARE, "eight torque", "of one-half thirty seven degree flare"),
        (FLARE, "if it were a one inch, what would i tighten it to", "of one inch thirty seven degree flare"),
        (FLARE, "how much does a dash twenty hold", "bar"),
        (FLARE, "what would dash sixteen take", "bar"),
        (FLARE, "what mates with dash sixteen", "of one inch thirty seven degree flare"),
        ("", "can british taper go in an n p t hole", "never one-quarter n p t taper pipe, female"),
        (
            "",
            "adapter from three quarter j i c male to half n p t female",
            "of three-quarters thirty seven degree flare",
        ),
        ("", "how tight is a half inch j i c", "of one-half thirty seven degree flare"),
        ("", "what dash is three quarter", "dash twelve is three-quarters"),
        ("", "which o ring for dash eight boss", "nine zero eight"),
        ("", "what torque for dash twelve o ring face seal", "of three-quarters o-ring face seal"),
        ("", "does n p t fit british taper", "it screws on, but does not seal"),
        ("", "what adapter from half j i c male to half british parallel female", "adapter from one-half thirty seven"),
        ("", "how many millimetres is seven eighths", "twenty-two point two two millimeters"),
        ("", "torque for dash twelve", "say its name and the size"),
        ("", "how tight is a j i c", "which size of thirty seven degree flare"),
    ],
)
def test_the_end_that_is_named_is_meant(knowledge: Knowledge, before: str, question: str, answer: str) -> None:
    assert answer in said_after(knowledge, before, question)


@pytest.mark.parametrize(
    "question", ["I was told you can screw a forty five on it", "fits a forty five nut?", "can a forty five go on it"]
)
def test_what_screws_on_and_does_not_seal_is_said_to(knowledge: Knowledge, question: str) -> None:
    assert "it screws on, but does not seal: never one-half forty five" in said_after(knowledge, FLARE, question)


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("what ends may join with it", "it mates with"),
        ("is that male then", "so far, yes"),
        ("two fifty bar ok?", "the hose is not counted"),
        ("temp minus twenty ok?", "of that the end says nothing"),
        ("torque in aluminium", "aluminium"),
    ],
)
def test_of_the_end_in_hand(knowledge: Knowledge, question: str, answer: str) -> None:
    assert answer in said_after(knowledge, FLARE, question)


@pytest.mark.parametrize(
    "question", ["can these two be joined", "what adapter between the two ends", "torque other end"]
)
def test_of_two_ends_of_a_job(knowledge: Knowledge, question: str) -> None:
    talk = Talk(knowledge)
    for line in (FLARE, "other end", "half inch n p t male"):
        talk.say(line)
    pieces = len(talk.session.state.record.work.job.pieces)
    reply = talk.say(question)
    assert "adapter from" in reply or "newton meters" in reply
    assert len(talk.session.state.record.work.job.pieces) == pieces


LIGHT = "fifteen light male"


@pytest.mark.parametrize(
    ("before", "question", "answer"),
    [
        (LIGHT, "does it take an o ring nose nut", "yes: fifteen millimeter light twenty four degree cone with o-ring"),
        (LIGHT, "does it take the light eighteen nut", "no"),
        (LIGHT, "can it go by the heavy fourteen", "another tube"),
        (LIGHT, "torque heavy twenty", "of twenty millimeter heavy"),
        (LIGHT, "torque for heavy sixteen and heavy twenty", "of twenty millimeter heavy"),
        (FLARE, "torque dash sixteen and dash twenty", "of one and one-quarter inch thirty seven degree flare"),
        (FLARE, "difference in torque dash twelve and dash sixteen", "of one inch thirty seven degree flare"),
        (FLARE, "next size up, torque", "of five-eighths thirty seven degree flare"),
        (FLARE, "torque for the next size down", "of three-eighths thirty seven degree flare"),
        (FLARE, "three hundred bar enough", "bar"),
        (FLARE, "two hundred and eighty bar, will it hold", "bar"),
        (FLARE, "mate", "mates with"),
        (FLARE, "what is it called", "thirty seven degree flare"),
        (FLARE, "torque in cast iron", "no figure for iron"),
        (LIGHT, "will light and heavy screw together", "no"),
        (FLARE, "it's like the forty five degree one my brother has", "does not narrow"),
        (FLARE, "it goes with the thirty degree, the pitch is the same", "does not narrow"),
    ],
)
def test_a_question_or_a_comparison_is_no_reading(
    knowledge: Knowledge, before: str, question: str, answer: str
) -> None:
    assert answer in said_after(knowledge, before, question)


@pytest.mark.parametrize("question", ["is it british or american", "my chief says it is the british, is true"])
def test_a_choice_and_hearsay_are_answered_without_yes(knowledge: Knowledge, question: str) -> None:
    reply = said_after(knowledge, "half inch british parallel female sixty degree cone", question)
    assert "british" in reply
    assert " or " not in question or "yes" not in reply
