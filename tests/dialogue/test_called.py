"""Whether it is what somebody names: yes only where all of the name is its own, and no of what only comes near."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge

FRENCH_18 = ("male, M twenty seven by one and a half", "cone goes in, French twenty four degree cone", "tube eighteen")
LIGHT_15 = ("male, M twenty two by one and a half", "twenty four degrees", "tube fifteen")
PORT = ("G one half port",)
BOSS = ("seven eighths fourteen boss stud with o-ring at base",)
STUD = ("stud, fourteen outside, one and a half pitch", "o-ring at its base", "yes")
FLANGE = ("flange, head sixty point three, eight thick",)
STAPLE = ("staple, male", "forty five nine outside")
FACE = ("female face seal, thirteen sixteenths sixteen",)


def asked(knowledge: Knowledge, said: tuple[str, ...], question: str) -> tuple[str, bool]:
    """The reply, and whether nothing was put on record by the question."""
    talk = Talk(knowledge)
    for each in said:
        talk.say(each)
    before = talk.snapshot.readings
    return talk.say(question), talk.snapshot.readings == before


@pytest.mark.parametrize(
    ("said", "questions"),
    [
        (LIGHT_15, ("is it fourteen", "is it sixteen", "it's fourteen then, is it", "is it fourteen light")),
        (PORT, ("is it three quarter", "is it three quarter British", "is it M twenty", "could it be half inch NPT")),
        (FLANGE, ("is it inch and a quarter", "is it the two inch")),
        (FACE, ("is it three eighths", "is it the three quarter face seal", "is it an M thirty", "is it a male")),
    ],
)
def test_another_size_is_no_yes(knowledge: Knowledge, said: tuple[str, ...], questions: tuple[str, ...]) -> None:
    for question in questions:
        reply, kept = asked(knowledge, said, question)
        assert reply.startswith(("No", "Not ruled out: fourteen millimeter heavy")), (question, reply)
        assert "es: " not in reply
        assert kept


@pytest.mark.parametrize("question", ["is it the German eighteen", "is it the same as the German eighteen"])
def test_a_country_names_the_ends_of_its_machines(knowledge: Knowledge, question: str) -> None:
    reply, _ = asked(knowledge, FRENCH_18, question)
    assert reply.startswith(("No", "Not ruled out: eighteen millimeter light")), reply


@pytest.mark.parametrize(
    ("said", "questions"),
    [
        (
            LIGHT_15,
            ("is it fifteen", "is it the light fifteen", "is it M twenty two", "is it German", "is it twenty two"),
        ),
        (PORT, ("is it half inch", "is it a half")),
        (BOSS, ("is it seven eighths fourteen", "is it five eighths", "is it dash ten", "is it twenty two point two")),
        (FLANGE, ("is it the inch and a half", "is it the inch and a half sixty one")),
        (FACE, ("is it half inch face seal", "could it be half inch")),
    ],
)
def test_its_own_name_is_a_yes(knowledge: Knowledge, said: tuple[str, ...], questions: tuple[str, ...]) -> None:
    for question in questions:
        reply, kept = asked(knowledge, said, question)
        assert reply.startswith(("Yes: ", "So far, yes: ")), (question, reply)
        assert kept


@pytest.mark.parametrize(
    ("said", "question", "own"),
    [
        (BOSS, "is it the metric twenty two", "five-eighths O-ring boss"),
        (BOSS, "is it M twenty two", "five-eighths O-ring boss"),
        (BOSS, "is it M twenty two by one and a half", "five-eighths O-ring boss"),
        (BOSS, "could it be the twenty two metric boss", "five-eighths O-ring boss"),
        (STUD, "is it nine sixteenths", "M fourteen"),
        (STUD, "is it nine sixteenths eighteen", "M fourteen"),
    ],
)
def test_of_a_thread_that_comes_near_it_is_said_that_it_is_none(
    knowledge: Knowledge, said: tuple[str, ...], question: str, own: str
) -> None:
    reply, kept = asked(knowledge, said, question)
    assert reply.startswith((f"No. It is {own}", f"No. So far it is {own}")), reply
    assert "never force it" in reply
    assert kept


@pytest.mark.parametrize("said", ["near enough", "close enough", "that's near enough isn't it", "is that close enough"])
def test_near_enough_is_no_decision(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    for each in ("male, tapered thread", "outside twenty one", "fourteen pitch", "no seat"):
        talk.say(each)
    reply = talk.say(said)
    assert "one-half N P T taper pipe" in reply
    assert "On your word" not in reply
    assert talk.snapshot.concluded is None
    assert "On your word" in talk.say("good enough, take it")


@pytest.mark.parametrize(
    ("said", "again"),
    [
        (FLANGE, ("inch and a half then", "so it's an inch and a half", "so it's the one and a half")),
        (STAPLE, ("so it's the inch and a quarter", "so it's one and a quarter", "inch and a quarter then")),
        (FACE, ("so it's a half inch", "half inch then")),
        (LIGHT_15, ("so it's the fifteen",)),
    ],
)
def test_its_name_said_back_is_a_yes_and_no_reading(
    knowledge: Knowledge, said: tuple[str, ...], again: tuple[str, ...]
) -> None:
    for each in again:
        reply, kept = asked(knowledge, said, each)
        assert reply.startswith(("Yes: ", "So far, yes: ")), (each, reply)
        assert kept


@pytest.mark.parametrize(
    ("said", "again"),
    [
        (FLANGE, ("so it's the inch and a quarter", "two inch then")),
        (STAPLE, ("one and a half inch then",)),
        (FACE, ("so it's a three quarter",)),
    ],
)
def test_another_name_said_back_is_denied_or_asked_about(
    knowledge: Knowledge, said: tuple[str, ...], again: tuple[str, ...]
) -> None:
    for each in again:
        reply, kept = asked(knowledge, said, each)
        assert reply.startswith("No. "), (each, reply)
        assert kept


@pytest.mark.parametrize(
    ("said", "answer"),
    [
        (LIGHT_15, "fifteen point one"),
        (LIGHT_15, "it's fifteen"),
        (FLANGE, "head sixty point three"),
        (("male",), "so it's twenty two outside"),
    ],
)
def test_what_answers_or_says_its_measure_stays_a_reading(
    knowledge: Knowledge, said: tuple[str, ...], answer: str
) -> None:
    assert not asked(knowledge, said, answer)[1]


@pytest.mark.parametrize("said", ["it's nineteen, I'm certain", "eighteen, that will do, take it"])
def test_who_is_certain_of_a_reading_decides_on_no_end(knowledge: Knowledge, said: str) -> None:
    talk = Talk(knowledge)
    talk.say("male, nine sixteenths outside, cone sticks out")
    talk.say(said)
    assert talk.snapshot.decided_by is None


def test_who_is_certain_of_what_it_is_decides(knowledge: Knowledge) -> None:
    talk = Talk(knowledge)
    talk.say("male, nine sixteenths outside, cone sticks out")
    talk.say("it's the thirty seven flare, I'm sure")
    assert talk.snapshot.decided_by == "person"
