"""Questions by bare names: each is answered for the piece that it names, with that said, and none writes a reading."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import Talk
from voicefit.dialogue import Knowledge
from voicefit.records import Command


@pytest.fixture
def talk(knowledge: Knowledge) -> Talk:
    """A stud, and in hand a flange's head; both are identified."""
    talk = Talk(knowledge)
    talk.say("stud, ring at the base, one and five sixteenths twelve")
    talk.say("next end")
    talk.say("flange code sixty one, head fifty point eight, male")
    return talk


def written(talk: Talk) -> object:
    return [piece.readings for piece in talk.session.state.record.work.job.pieces]


@pytest.mark.parametrize(
    ("asked", "order"),
    [
        ("seal on end one and torque on end two", ["piece one", "in the port", "piece two", "M twelve"]),
        ("torque for the flange bolts?", ["piece two", "M twelve"]),
        ("torque on number one", ["piece one", "one hundred twenty-eight"]),
        ("torque for the stud", ["piece one", "one hundred twenty-eight"]),
        ("what's the seal on the first", ["piece one", "O-ring"]),
        ("o-ring on end one?", ["piece one", "O-ring"]),
        ("end one seal size", ["piece one", "O-ring"]),
        ("turns for end one", ["piece one"]),
        ("torque for the far end", ["piece one", "one hundred twenty-eight"]),
        (
            "torque both, seal both",
            ["piece one", "one hundred twenty-eight", "O-ring", "piece two", "M twelve", "O-ring"],
        ),
    ],
)
def test_it_is_answered_for_the_piece_that_it_names(talk: Talk, asked: str, order: list[str]) -> None:
    before, reply = written(talk), talk.say(asked).casefold()
    assert written(talk) == before
    at = 0
    for words in order[: 1 if words_may_differ(asked) else None]:
        at = reply.find(words.casefold(), at)
        assert at >= 0, (words, reply)


def words_may_differ(asked: str) -> bool:
    """Of what seals, the catalogue's words are not held to here, only whose it is."""
    return "seal on end" in asked


@pytest.mark.parametrize(
    ("asked", "calls"),
    [
        ("sealant and turns", ["sealant", "torque"]),
        ("torque seal hose", ["torque", "what-seals-it", "which-hose"]),
        ("torque, seal, what hose", ["torque", "what-seals-it", "which-hose"]),
        ("torque seal hose pressure", ["torque", "what-seals-it", "which-hose", "pressure"]),
    ],
)
def test_each_of_several_questions_in_a_breath_is_asked(talk: Talk, asked: str, calls: list[str]) -> None:
    before = written(talk)
    talk.say(asked)
    assert written(talk) == before
    items = talk.knowledge.language.interpret(asked, talk.session.context())[0].items
    assert [item.name for item in items if isinstance(item, Command)] == calls


@pytest.mark.parametrize("asked", ["both back", "read it all back", "what've you got for both sides"])
def test_both_ends_are_read_back_each_by_its_name(talk: Talk, asked: str) -> None:
    reply = talk.say(asked)
    first, second = reply.index("piece one"), reply.index("piece two")
    assert "tud" in reply[first:second] and "Code sixty one" in reply[second:]


@pytest.mark.parametrize("asked", ["what've you got on one", "what have you got for the first end"])
def test_one_end_is_read_back_by_its_name(talk: Talk, asked: str) -> None:
    reply = talk.say(asked)
    assert "piece one" in reply and "tud" in reply and "Code sixty one" not in reply


def test_what_about_an_end_says_where_it_stands(talk: Talk) -> None:
    reply = talk.say("what about the first end")
    assert "piece one" in reply and "O-ring boss" in reply


def test_an_end_has_a_ring_where_nothing_asks(talk: Talk) -> None:
    before = written(talk)
    talk.say("o-ring on end one")
    talk.say("next end")
    talk.say("sealing ring, male")
    assert written(talk) != before


def test_turns_of_an_end_that_is_known_is_how_tight(talk: Talk) -> None:
    before = written(talk)
    assert "M twelve" in talk.say("turns")
    assert written(talk) == before
